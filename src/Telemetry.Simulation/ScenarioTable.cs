using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>A table of a scenario file. Every read notes a fault instead of throwing; <see cref="Done"/> refuses what nobody asked for.</summary>
internal sealed class ScenarioTable(CarTable table, string path, CarFaultList faults)
{
    private readonly List<string> asked = [];

    public CarFaultList Faults => faults;

    public bool Has(string name) => table.Find(name) is not null;

    /// <summary>A text, or the default where none is written; a fault where there is no default either.</summary>
    public string Text(string name, string? otherwise = null)
    {
        switch (Take(name))
        {
            case CarText { Value: var text } when text.Trim().Length > 0:
                return text;
            case null when otherwise is not null:
                return otherwise;
            case null:
                Missing(name, "Add it as a text in double quotes.");
                return "";
            case var node:
                Fault(name, $"{CarSection.Describe(node)} is not a text.", "Write a text in double quotes.");
                return "";
        }
    }

    /// <summary>One of several words.</summary>
    public int Choice(string name, int otherwise, params string[] words)
    {
        string text = Text(name, words[otherwise]);
        int index = Array.IndexOf(words, text);
        if (index < 0)
        {
            Fault(name, $"\"{text}\" is none of: {string.Join(", ", words)}.", "Write one of these.");
        }

        return Math.Max(0, index);
    }

    /// <summary>True or false.</summary>
    public bool Flag(string name, bool otherwise)
    {
        CarNode? node = Take(name);
        if (node is not null and not CarFlag)
        {
            Fault(name, $"{CarSection.Describe(node)} is neither true nor false.", "Write true or false, without quotes.");
        }

        return node is CarFlag flag ? flag.Value : otherwise;
    }

    /// <summary>A whole number of at least 0.</summary>
    public ulong Whole(string name, ulong otherwise)
    {
        CarNode? node = Take(name);
        if (node is CarNumber { Value: >= 0 and < 9e15 } number && number.Value == Math.Floor(number.Value))
        {
            return (ulong)number.Value;
        }

        if (node is not null)
        {
            Fault(name, $"{CarSection.Describe(node)} is not a whole number.", "Write a whole number of at least 0.");
        }

        return otherwise;
    }

    /// <summary>A list of whole numbers; empty when it is not written.</summary>
    public ImmutableArray<int> Wholes(string name)
    {
        CarNode? node = Take(name);
        if (node is CarList { Items: var items } && items.TrueForAll(i => i is CarNumber { Value: >= 0 and < 1e9 }))
        {
            return [.. items.Select(i => (int)((CarNumber)i).Value)];
        }

        if (node is not null)
        {
            Fault(name, $"{CarSection.Describe(node)} is not a list of whole numbers.", "Write it like [2, 5].");
        }

        return [];
    }

    /// <summary>A quantity in SI; a fault when it is not written and there is no default.</summary>
    public double Quantity(string name, ScenarioUnit unit, double? otherwise = null)
    {
        CarNode? node = Take(name);
        if (node is null)
        {
            if (otherwise is null)
            {
                Missing(name, $"Add it with a unit (allowed: {ScenarioUnits.Allowed(unit)}).");
            }

            return otherwise ?? 0;
        }

        return Read(name, node, unit) ?? otherwise ?? 0;
    }

    /// <summary>A quantity in SI, or null when it is not written.</summary>
    public double? Optional(string name, ScenarioUnit unit) => Has(name) ? Quantity(name, unit, 0) : Nothing(name);

    /// <summary>One quantity a corner: one for all, or a list of four.</summary>
    public PerCorner<double> Corners(string name, ScenarioUnit unit)
    {
        CarNode? node = Take(name);
        if (node is null)
        {
            return new(0, 0, 0, 0);
        }

        if (node is CarList { Items: var items })
        {
            if (items.Count != 4)
            {
                Fault(name, $"a list of {items.Count}.", "Write four values: FL, FR, RL, RR.");
                return new(0, 0, 0, 0);
            }

            double[] values = [.. items.Select(i => Read(name, i, unit) ?? 0)];
            return new(values[0], values[1], values[2], values[3]);
        }

        double one = Read(name, node, unit) ?? 0;
        return new(one, one, one, one);
    }

    /// <summary>Two quantities, the first below the second; null when they are not written.</summary>
    public (double Low, double High)? Range(string name, ScenarioUnit unit)
    {
        CarNode? node = Take(name);
        if (node is null)
        {
            return null;
        }

        if (node is CarList { Items: { Count: 2 } items } && Read(name, items[0], unit) is { } low && Read(name, items[1], unit) is { } high && low < high)
        {
            return (low, high);
        }

        Fault(name, $"{CarSection.Describe(node)} is not a range.", "Write it like [\"-12 kN\", \"20 kN\"].");
        return null;
    }

    /// <summary>A table below; an empty one when it is not written.</summary>
    public ScenarioTable Table(string name)
    {
        CarNode? node = Take(name);
        if (node is not null and not CarTable)
        {
            Fault(name, $"{CarSection.Describe(node)} is not a table.", $"Write [{PathOf(name)}] with its fields below.");
        }

        return new ScenarioTable(node as CarTable ?? new CarTable(table.Line), PathOf(name), faults);
    }

    /// <summary>The tables of a list; empty when it is not written.</summary>
    public IReadOnlyList<ScenarioTable> Tables(string name)
    {
        CarNode? node = Take(name);
        if (node is CarList { Items: var items } && items.TrueForAll(i => i is CarTable))
        {
            return [.. items.Select((item, i) => new ScenarioTable((CarTable)item, $"{PathOf(name)}[{i + 1}]", faults))];
        }

        if (node is not null)
        {
            Fault(name, $"{CarSection.Describe(node)} is not a list of tables.", $"Write [[{PathOf(name)}]] once for each.");
        }

        return [];
    }

    /// <summary>Notes a fault for every name that was not asked for.</summary>
    public void Done()
    {
        foreach ((string name, int line, CarNode _) in table.Entries)
        {
            if (!asked.Contains(name))
            {
                string? near = NearestName.Of(name, asked);
                faults.Add(line, PathOf(name), "is not a known name.", near is null ? $"Known here: {string.Join(", ", asked)}." : $"Did you mean \"{near}\"?");
            }
        }
    }

    /// <summary>Notes a fault at a field.</summary>
    public void Fault(string name, string found, string remedy) => faults.Add(LineOf(name), PathOf(name), found, remedy);

    private void Missing(string name, string remedy) => faults.Missing(table.Line, PathOf(name), "is missing.", remedy);

    private double? Nothing(string name)
    {
        asked.Add(name);
        return null;
    }

    private double? Read(string name, CarNode node, ScenarioUnit unit)
    {
        string text = node switch
        {
            CarText t => t.Value,
            CarNumber n when unit == ScenarioUnit.Share => n.Value.ToString("R", CultureInfo.InvariantCulture),
            _ => "",
        };
        if (ScenarioUnits.Read(text, unit) is { } value)
        {
            return value;
        }

        Fault(name, $"{CarSection.Describe(node)} is not what is needed here.", $"Write a number and a unit in one text (allowed: {ScenarioUnits.Allowed(unit)}).");
        return null;
    }

    private string PathOf(string name) => path.Length == 0 ? name : $"{path}.{name}";

    private int LineOf(string name)
    {
        foreach ((string Name, int Line, CarNode Value) entry in table.Entries)
        {
            if (entry.Name == name)
            {
                return entry.Line;
            }
        }

        return table.Line;
    }

    private CarNode? Take(string name)
    {
        asked.Add(name);
        return table.Find(name);
    }
}
