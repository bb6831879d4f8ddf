using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>Reads one value or a list of values of a field, with unit and plausible range.</summary>
internal static class CarValue
{
    /// <summary>A value that was read.</summary>
    /// <param name="Value">SI.</param>
    /// <param name="Dimension">What it measures, for a field that takes two kinds.</param>
    /// <param name="Line">Where it stands.</param>
    public readonly record struct Item(Measured Value, Dimension Dimension, int Line);

    /// <summary>Reads one value; null after noting a fault.</summary>
    public static Item? Read(CarSection section, string name, CarField field, CarNode node)
    {
        Dimension dimension = field.Dimension ?? throw new InvalidOperationException($"{field.Path} has no dimension.");
        switch (node)
        {
            case CarText { Value: var text }:
                return ReadText(section, name, field, dimension, text, node.Line);

            case CarNumber { Value: var number } when !double.IsFinite(number):
                section.Faults.Add(node.Line, section.PathOf(name), $"{QuantityText.Show(number)} is no finite number.", "Correct the number.");
                return null;

            case CarNumber { Value: var number } when dimension is Dimension.Plain or Dimension.Share:
                return InRange(section, name, field, dimension, new(new Measured(number, 0), "", new(1, 0), false), node.Line);

            case CarNumber { Value: var number } when field.Path.EndsWith(".detail_category", StringComparison.Ordinal):
                // EN 1993-1-9 names a category by its stress range in N/mm2, so the bare number has one meaning only.
                return InRange(section, name, field, dimension, new(new Measured(number * 1e6, 0), "MPa", new(1e6, 0), false), node.Line);

            case CarNumber { Value: var number }:
                Add(section, name, node.Line, QuantityText.NoUnit(QuantityText.Show(number), dimension));
                return null;

            default:
                section.Faults.Add(
                    node.Line,
                    section.PathOf(name),
                    $"{CarSection.Describe(node)} is not {Units.Word(dimension)}.",
                    dimension == Dimension.Plain ? "Write a number." : $"Write it in one of: {Units.Allowed(dimension)}.");
                return null;
        }
    }

    /// <summary>Reads a list, or a single value as a list of one where the field allows both; null after noting a fault.</summary>
    public static ImmutableArray<Item>? ReadList(CarSection section, string name, CarField field, CarNode node)
    {
        if (node is not CarList { Items: var items })
        {
            if (field.Kind is FieldKind.NumberOrNumbers or FieldKind.QuantityOrQuantities)
            {
                return Read(section, name, field, node) is { } single ? [single] : null;
            }

            section.Faults.Add(node.Line, section.PathOf(name), $"{CarSection.Describe(node)} is not a list.", "Write a list in square brackets.");
            return null;
        }

        var read = ImmutableArray.CreateBuilder<Item>(items.Count);
        bool isGood = true;
        foreach (CarNode item in items)
        {
            if (Read(section, name, field, item) is { } value)
            {
                read.Add(value);
            }
            else
            {
                isGood = false;
            }
        }

        if (items.Count == 0)
        {
            section.Faults.Add(node.Line, section.PathOf(name), "the list is empty.", "Write at least one value.");
            return null;
        }

        return isGood ? read.ToImmutable() : null;
    }

    private static Item? ReadText(CarSection section, string name, CarField field, Dimension dimension, string text, int line)
    {
        (string Found, string Remedy)? wrong = QuantityText.Read(text, dimension, out QuantityText.Reading reading);
        if (wrong is null)
        {
            return InRange(section, name, field, dimension, reading, line);
        }

        if (field.Or is { } other)
        {
            if (QuantityText.Read(text, other, out QuantityText.Reading second) is null)
            {
                if (other == Dimension.Mass)
                {
                    UnitConversion weight = new(second.Size.Scale * StandardGravity.Mps2, 0);
                    Measured newtons = new(second.Value.Value * StandardGravity.Mps2, second.Value.StandardUncertainty * StandardGravity.Mps2);
                    return InRange(section, name, field, dimension, second with { Value = newtons, Size = weight }, line);
                }

                return InRange(section, name, field, other, second, line);
            }

            wrong = (wrong.Value.Found, $"Write it in one of: {Units.Allowed(dimension)}, {Units.Allowed(other)}.");
        }

        Add(section, name, line, wrong.Value);
        return null;
    }

    private static Item? InRange(CarSection section, string name, CarField field, Dimension dimension, QuantityText.Reading reading, int line)
    {
        (double value, double uncertainty) = (reading.Value.Value, reading.Value.StandardUncertainty);
        if (!(value >= field.Low && value <= field.High))
        {
            section.Faults.Add(
                line,
                section.PathOf(name),
                $"{Show(value, reading)} is not plausible; {Expected(field, reading)} is expected.",
                "Correct the number or its unit.");
            return null;
        }

        if (uncertainty > Math.Abs(value) && value != 0 && dimension != Dimension.Temperature)
        {
            section.Faults.Add(line, section.PathOf(name), "its uncertainty is larger than the value itself.", "Correct the number behind the ±.");
            return null;
        }

        if (reading.HasUncertainty && !field.TakesUncertainty)
        {
            section.Faults.Warn(line, section.PathOf(name), "its uncertainty is not used in any answer.", "Leave it out, or keep it as a note.");
        }

        return new Item(reading.Value, dimension, line);
    }

    private static string Expected(CarField field, QuantityText.Reading reading) => (field.Low, field.High) switch
    {
        (var low, double.PositiveInfinity) => $"at least {Show(low, reading)}",
        (double.NegativeInfinity, var high) => $"at most {Show(high, reading)}",
        var (low, high) => $"{Show(low, reading)} to {Show(high, reading)}",
    };

    private static string Show(double si, QuantityText.Reading reading) =>
        $"{QuantityText.Show(reading.Size.FromSi(si))} {reading.Unit}".TrimEnd();

    private static void Add(CarSection section, string name, int line, (string Found, string Remedy) words) =>
        section.Faults.Add(line, section.PathOf(name), words.Found, words.Remedy);
}
