namespace Telemetry.Car;

/// <summary>How a field is written.</summary>
internal enum FieldKind
{
    /// <summary>A text.</summary>
    Text,

    /// <summary>True or false.</summary>
    Flag,

    /// <summary>A day: 2026-03-31, with or without quotes.</summary>
    Date,

    /// <summary>A quantity with its unit.</summary>
    Quantity,

    /// <summary>A bare number.</summary>
    Number,

    /// <summary>A list of texts.</summary>
    Texts,

    /// <summary>A list of quantities.</summary>
    Quantities,

    /// <summary>A list of bare numbers.</summary>
    Numbers,

    /// <summary>One bare number or a list of them.</summary>
    NumberOrNumbers,

    /// <summary>One quantity or a list of them.</summary>
    QuantityOrQuantities,

    /// <summary>A constant ratio, or a table against damper travel.</summary>
    Ratio,

    /// <summary>A table with fields of its own.</summary>
    Table,

    /// <summary>Tables, each with the same fields.</summary>
    Tables,

    /// <summary>A channel: its name, or a table.</summary>
    Channel,
}

/// <summary>A field that the car file knows.</summary>
/// <param name="Path">Where it stands; "[]" marks a list of tables, "AXLE" is front or rear, "ROLE" a channel role, "CORNER" fl, fr, rl or rr.</param>
/// <param name="Kind">How it is written.</param>
/// <param name="Meaning">What it means, in words, for messages and the reference table.</param>
internal sealed record CarField(string Path, FieldKind Kind, string Meaning)
{
    /// <summary>What it measures; plain for bare numbers, null for what is no quantity.</summary>
    public Dimension? Dimension { get; init; }

    /// <summary>A second dimension that the field takes as well, or null: mass for a weight on scales, stress for an S-N line.</summary>
    public Dimension? Or { get; init; }

    /// <summary>Smallest plausible value, SI.</summary>
    public double Low { get; init; } = double.NegativeInfinity;

    /// <summary>Largest plausible value, SI.</summary>
    public double High { get; init; } = double.PositiveInfinity;

    /// <summary>True when a car file without it cannot be used.</summary>
    public bool IsRequired { get; init; }

    /// <summary>What the analysis does without it; empty when it is required.</summary>
    public string Otherwise { get; init; } = "";

    /// <summary>True when the field may carry an uncertainty.</summary>
    public bool TakesUncertainty { get; init; }

    /// <summary>The texts that are allowed, when the field is a choice.</summary>
    public string[] Choices { get; init; } = [];
}
