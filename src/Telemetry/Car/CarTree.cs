using Tomlyn;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace Telemetry.Car;

/// <summary>A value of the car file with the line it stands on, from 1.</summary>
internal abstract record CarNode(int Line);

/// <summary>A text.</summary>
internal sealed record CarText(int Line, string Value) : CarNode(Line);

/// <summary>A bare number.</summary>
internal sealed record CarNumber(int Line, double Value) : CarNode(Line);

/// <summary>True or false.</summary>
internal sealed record CarFlag(int Line, bool Value) : CarNode(Line);

/// <summary>A kind of value that few fields of a car file have: a date.</summary>
internal sealed record CarOther(int Line, string What) : CarNode(Line)
{
    /// <summary>The value as it is written; null when that is of no use.</summary>
    public string? Written { get; init; }
}

/// <summary>A list of values or of tables.</summary>
internal sealed record CarList(int Line, List<CarNode> Items) : CarNode(Line);

/// <summary>A table: names in the order of the file.</summary>
internal sealed record CarTable(int Line) : CarNode(Line)
{
    /// <summary>The entries in the order of the file.</summary>
    public List<(string Name, int Line, CarNode Value)> Entries { get; } = [];

    /// <summary>The value of a name, or null.</summary>
    public CarNode? Find(string name)
    {
        foreach ((string Name, int Line, CarNode Value) entry in Entries)
        {
            if (entry.Name == name)
            {
                return entry.Value;
            }
        }

        return null;
    }
}

/// <summary>Turns TOML text into tables that know their lines; what is no TOML becomes a fault at its line and the rest is still read.</summary>
internal static class CarTree
{
    /// <summary>Reads TOML text.</summary>
    public static CarTable Parse(string text, CarFaultList faults)
    {
        CarTable root = new(1);
        DocumentSyntax document;
        try
        {
            document = SyntaxParser.Parse(text, faults.File, validate: false);
        }
        catch (TomlException error)
        {
            faults.Syntax(1, error.Message);
            return root;
        }

        int lastLine = 0;
        foreach (DiagnosticMessage message in document.Diagnostics)
        {
            int line = message.Span.Start.Line + 1;
            if (line != lastLine)
            {
                // One mistake makes the parser complain several times on its line; the first complaint is the one that helps.
                faults.Syntax(line, message.Message);
                lastLine = line;
            }
        }

        foreach (KeyValueSyntax pair in document.KeyValues)
        {
            Add(root, pair, faults);
        }

        foreach (TableSyntaxBase table in document.Tables)
        {
            CarTable? target = Open(root, table, faults);
            foreach (KeyValueSyntax pair in table.Items)
            {
                Add(target ?? new CarTable(LineOf(table)), pair, faults);
            }
        }

        return root;
    }

    private static int LineOf(SyntaxNode node) => node.Span.Start.Line + 1;

    private static CarTable? Open(CarTable root, TableSyntaxBase syntax, CarFaultList faults)
    {
        List<string> parts = Parts(syntax.Name);
        int line = LineOf(syntax);
        if (parts.Count == 0)
        {
            return null;
        }

        CarTable? parent = Descend(root, parts, line, faults);
        if (parent is null)
        {
            return null;
        }

        CarNode? present = parent.Find(parts[^1]);
        CarTable made = new(line);
        if (syntax is TableArraySyntax)
        {
            if (present is null)
            {
                present = new CarList(line, []);
                parent.Entries.Add((parts[^1], line, present));
            }

            if (present is CarList { Items: var items } && items.TrueForAll(i => i is CarTable))
            {
                items.Add(made);
                return made;
            }

            faults.Twice(line, string.Join('.', parts), present.Line);
            return null;
        }

        if (present is CarTable { } implied && implied.Entries.TrueForAll(e => e.Value is CarTable) && implied.Entries.Count > 0)
        {
            // [a.b] before [a] is legal TOML: the outer table was only implied so far.
            return implied;
        }

        if (present is not null)
        {
            faults.Twice(line, string.Join('.', parts), present.Line);
            return null;
        }

        parent.Entries.Add((parts[^1], line, made));
        return made;
    }

    private static void Add(CarTable table, KeyValueSyntax pair, CarFaultList faults)
    {
        List<string> parts = Parts(pair.Key);
        if (parts.Count == 0 || pair.Value is null)
        {
            return;
        }

        int line = LineOf(pair);
        CarTable? parent = Descend(table, parts, line, faults);
        if (parent is null)
        {
            return;
        }

        if (parent.Find(parts[^1]) is { } present)
        {
            faults.Twice(line, string.Join('.', parts), present.Line);
            return;
        }

        parent.Entries.Add((parts[^1], line, Value(pair.Value, faults)));
    }

    private static CarTable? Descend(CarTable from, List<string> parts, int line, CarFaultList faults)
    {
        CarTable table = from;
        for (int i = 0; i < parts.Count - 1; i++)
        {
            CarNode? next = table.Find(parts[i]);
            if (next is null)
            {
                next = new CarTable(line);
                table.Entries.Add((parts[i], line, next));
            }

            if (next is CarList { Items: [.., CarTable last] })
            {
                // TOML 1.0: a name below an array of tables means its last table.
                next = last;
            }

            if (next is not CarTable inner)
            {
                faults.Twice(line, string.Join('.', parts.Take(i + 1)), next.Line);
                return null;
            }

            table = inner;
        }

        return table;
    }

    private static CarNode Value(SyntaxNode value, CarFaultList faults)
    {
        int line = LineOf(value);
        switch (value)
        {
            case StringValueSyntax text:
                return new CarText(line, text.Value ?? "");
            case IntegerValueSyntax number:
                return new CarNumber(line, number.Value);
            case FloatValueSyntax number:
                return new CarNumber(line, number.Value);
            case BooleanValueSyntax flag:
                return new CarFlag(line, flag.Value);
            case ArraySyntax array:
                List<CarNode> items = [];
                foreach (ArrayItemSyntax item in array.Items)
                {
                    if (item.Value is not null)
                    {
                        items.Add(Value(item.Value, faults));
                    }
                }

                return new CarList(line, items);
            case InlineTableSyntax inline:
                CarTable table = new(line);
                foreach (InlineTableItemSyntax item in inline.Items)
                {
                    if (item.KeyValue is not null)
                    {
                        Add(table, item.KeyValue, faults);
                    }
                }

                return table;
            case DateTimeValueSyntax time:
                return new CarOther(line, "a date or time") { Written = time.Token?.Text?.Trim() };
            default:
                return new CarOther(line, "a value of an unknown kind");
        }
    }

    private static List<string> Parts(KeySyntax? key)
    {
        List<string> parts = [];
        if (key?.Key is null)
        {
            return parts;
        }

        parts.Add(NameOf(key.Key));
        foreach (DottedKeyItemSyntax item in key.DotKeys)
        {
            if (item.Key is not null)
            {
                parts.Add(NameOf(item.Key));
            }
        }

        return parts;
    }

    private static string NameOf(BareKeyOrStringValueSyntax key) => key switch
    {
        BareKeySyntax bare => bare.Key?.Text ?? "",
        StringValueSyntax text => text.Value ?? "",
        _ => "",
    };
}
