using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>A table of the car file with the fields that it may have. Every read checks kind, unit and plausible range, and notes a fault instead of throwing.</summary>
internal sealed class CarSection
{
    private readonly CarTable table;
    private readonly string pattern;

    private CarSection(CarTable table, string path, string pattern, CarFaultList faults, HashSet<string> given)
    {
        this.table = table;
        this.pattern = pattern;
        Path = path;
        Faults = faults;
        Given = given;
    }

    /// <summary>Where the section stands, as the file writes it; empty for the top of the file.</summary>
    public string Path { get; }

    /// <summary>The line of the section's head.</summary>
    public int Line => table.Line;

    /// <summary>Where faults are noted.</summary>
    public CarFaultList Faults { get; }

    /// <summary>The paths of all fields that were given, good or not.</summary>
    public HashSet<string> Given { get; }

    /// <summary>The whole file.</summary>
    public static CarSection Root(CarTable table, CarFaultList faults)
    {
        CarSection root = new(table, "", "", faults, new HashSet<string>(StringComparer.Ordinal));
        root.RefuseUnknown(CarFields.Below(""));
        return root;
    }

    /// <summary>True when the field is written, good or not.</summary>
    public bool Has(string name) => table.Find(name) is not null;

    /// <summary>The names that the section has, in the order of the file.</summary>
    public IEnumerable<string> Names => table.Entries.Select(e => e.Name);

    /// <summary>The full path of a field, for messages.</summary>
    public string PathOf(string name) => Path.Length == 0 ? name : $"{Path}.{name}";

    /// <summary>The line of a field, or the section's when it is not written.</summary>
    public int LineOf(string name)
    {
        foreach ((string Name, int Line, CarNode Value) entry in table.Entries)
        {
            if (entry.Name == name)
            {
                return entry.Line;
            }
        }

        return Line;
    }

    /// <summary>The line of a field by its path from here; the line of the nearest table above it when it is not written.</summary>
    public int LineAt(string path)
    {
        CarTable at = table;
        int line = Line;
        foreach (string part in path.Split('.'))
        {
            foreach ((string Name, int Line, CarNode Value) entry in at.Entries)
            {
                if (entry.Name == part)
                {
                    line = entry.Line;
                    break;
                }
            }

            if (at.Find(part) is not CarTable inner)
            {
                return line;
            }

            at = inner;
        }

        return line;
    }

    /// <summary>A text without any check; null when it is not written or no text.</summary>
    public string? Peek(string name) => (table.Find(name) as CarText)?.Value;

    /// <summary>True when the field of a full path is written and no fault was noted at it or below it.</summary>
    public bool IsGood(string path) => Given.Contains(path) && !Faults.HasFaultAt(path);

    /// <summary>Notes a fault at a field.</summary>
    public void Fault(string name, string found, string remedy) => Faults.Add(LineOf(name), PathOf(name), found, remedy);

    /// <summary>A text; null when it is not written or no text, or blank where that means nothing.</summary>
    public string? Text(string name, bool allowBlank = false)
    {
        CarField field = Field(name);
        CarNode? node = Take(name, field);
        if (node is null)
        {
            return null;
        }

        if (node is not CarText { Value: var text } || (!allowBlank && string.IsNullOrWhiteSpace(text)))
        {
            Fault(name, $"{Describe(node)} is not a text.", "Write a text in double quotes.");
            return null;
        }

        if (field.Choices.Length > 0 && !field.Choices.Contains(text, StringComparer.OrdinalIgnoreCase))
        {
            Fault(name, $"\"{text}\" is none of: {string.Join(", ", field.Choices)}.", "Write one of these.");
            return null;
        }

        return text;
    }

    /// <summary>True or false; null when it is not written or neither.</summary>
    public bool? Flag(string name)
    {
        switch (Take(name, Field(name)))
        {
            case null:
                return null;
            case CarFlag flag:
                return flag.Value;
            case var node:
                Fault(name, $"{Describe(node)} is neither true nor false.", "Write true or false, without quotes.");
                return null;
        }
    }

    /// <summary>A day, year first; null when it is not written or no day.</summary>
    public DateOnly? Date(string name)
    {
        CarNode? node = Take(name, Field(name));
        string? text = node is CarText { Value: var quoted } ? quoted : (node as CarOther)?.Written;
        if (DateOnly.TryParseExact(text, "yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture, System.Globalization.DateTimeStyles.None, out DateOnly day))
        {
            return day;
        }

        if (node is not null)
        {
            Fault(name, $"{text ?? Describe(node)} is not a day.", "Write year, month and day: 2026-03-31.");
        }

        return null;
    }

    /// <summary>A quantity or bare number with its uncertainty; null when it is not written or has a fault.</summary>
    /// <param name="name">The field.</param>
    /// <param name="dimension">What it measures when the field's own list does not say.</param>
    /// <param name="or">A second dimension that it may measure instead, with <paramref name="dimension"/>.</param>
    /// <param name="patternName">The field's name in the list of fields where that differs.</param>
    public CarValue.Item? Item(string name, Dimension? dimension = null, Dimension? or = null, string? patternName = null)
    {
        CarField field = Field(patternName ?? name);
        CarNode? node = Take(name, field);
        return node is null ? null : CarValue.Read(this, name, dimension is { } given ? field with { Dimension = given, Or = or } : field, node);
    }

    /// <summary>The value of <see cref="Item"/>.</summary>
    public Measured? Measured(string name) => Item(name)?.Value;

    /// <summary>The same without the uncertainty.</summary>
    public double? Number(string name, string? patternName = null) => Item(name, patternName: patternName)?.Value.Value;

    /// <summary>A list of quantities or numbers; null when it is not written or one of them has a fault.</summary>
    public ImmutableArray<CarValue.Item>? Values(string name, Dimension? dimension = null, Dimension? or = null, string? patternName = null)
    {
        CarField field = Field(patternName ?? name);
        CarNode? node = Take(name, field);
        return node is null ? null : CarValue.ReadList(this, name, dimension is { } given ? field with { Dimension = given, Or = or } : field, node);
    }

    /// <summary>A list of texts; null when it is not written or one is no text.</summary>
    public ImmutableArray<string>? Texts(string name)
    {
        CarNode? node = Take(name, Field(name));
        if (node is null)
        {
            return null;
        }

        if (node is not CarList { Items: var items } || !items.TrueForAll(i => i is CarText))
        {
            Fault(name, $"{Describe(node)} is not a list of texts.", "Write it like [\"n/a\", \"---\"].");
            return null;
        }

        return [.. items.Select(i => ((CarText)i).Value)];
    }

    /// <summary>A section below; null when it is not written or no table.</summary>
    public CarSection? Section(string name, string? patternName = null)
    {
        string below = patternName ?? name;
        CarNode? node = Take(name, Field(below));
        if (node is null)
        {
            return null;
        }

        if (node is not CarTable inner)
        {
            Fault(name, $"{Describe(node)} is not a table.", $"Write [{PathOf(name)}] with its fields below.");
            return null;
        }

        return Inner(inner, PathOf(name), PatternOf(below));
    }

    /// <summary>The sections of a list of tables; empty when it is not written.</summary>
    /// <param name="name">The field.</param>
    /// <param name="again">True when the list was read before, so that its faults are not noted twice.</param>
    public IReadOnlyList<CarSection> Sections(string name, bool again = false)
    {
        if (again)
        {
            return table.Find(name) is CarList { Items: var before }
                ? [.. before.OfType<CarTable>().Select((item, i) => new CarSection(item, $"{PathOf(name)}[{i + 1}]", PatternOf(name) + "[]", Faults, Given))]
                : [];
        }

        CarNode? node = Take(name, Field(name));
        if (node is null)
        {
            return [];
        }

        if (node is not CarList { Items: var items } || !items.TrueForAll(i => i is CarTable))
        {
            Fault(name, $"{Describe(node)} is not a list of tables.", $"Write [[{PathOf(name)}]] once for each.");
            return [];
        }

        return [.. items.Select((item, i) => Inner((CarTable)item, $"{PathOf(name)}[{i + 1}]", PatternOf(name) + "[]"))];
    }

    /// <summary>The raw value of a field, for fields with several forms; null when it is not written.</summary>
    public CarNode? Node(string name, string? patternName = null) => Take(name, Field(patternName ?? name));

    /// <summary>Notes a fault for every name that is none of the known ones.</summary>
    public void RefuseUnknown(IReadOnlyList<string> known)
    {
        foreach ((string name, int line, CarNode _) in table.Entries)
        {
            if (!known.Contains(name))
            {
                string? near = NearestName.Of(name, known);
                Faults.Add(line, PathOf(name), "is not a known name.", near is null ? $"Known here: {string.Join(", ", known)}." : $"Did you mean \"{near}\"?");
            }
        }
    }

    /// <summary>A value as messages show it.</summary>
    public static string Describe(CarNode node) => node switch
    {
        CarText text => $"\"{text.Value}\"",
        CarNumber number => QuantityText.Show(number.Value),
        CarFlag flag => flag.Value ? "true" : "false",
        CarOther other => other.What,
        CarList => "a list",
        _ => "a table",
    };

    private CarSection Inner(CarTable inner, string path, string innerPattern)
    {
        CarSection section = new(inner, path, innerPattern, Faults, Given);
        if (innerPattern is not ("suspension" or "setup" or "channels" or "calibrations[]"))
        {
            section.RefuseUnknown(CarFields.Below(innerPattern));
        }

        return section;
    }

    private string PatternOf(string name) => pattern.Length == 0 ? name : $"{pattern}.{name}";

    private CarField Field(string name) => CarFields.At(PatternOf(name));

    private CarNode? Take(string name, CarField field)
    {
        CarNode? node = table.Find(name);
        if (node is not null)
        {
            Given.Add(PathOf(name));
        }
        else if (field.IsRequired)
        {
            Faults.Missing(Line, PathOf(name), "is missing.", field.Kind == FieldKind.Table
                ? $"Add [{PathOf(name)}] with {string.Join(", ", CarFields.RequiredBelow(field.Path))}: {field.Meaning}."
                : $"Add it: {field.Meaning}.");
        }

        return node;
    }
}
