namespace Telemetry;

/// <summary>A number with its 95 % interval. A missing answer is a null <see cref="Estimate"/> with a reason beside it, never a zero.</summary>
/// <param name="Value">Best value, in the unit that the property's name or the table's column states.</param>
/// <param name="Low95">Lower end of the 95 % interval, same unit.</param>
/// <param name="High95">Upper end of the 95 % interval, same unit.</param>
public sealed record Estimate(double Value, double Low95, double High95)
{
    /// <summary>Half the width of the interval, same unit.</summary>
    public double HalfWidth => (High95 - Low95) / 2;
}

/// <summary>A value from a drawing, a scale or a data sheet, with its standard uncertainty (one standard deviation).</summary>
/// <param name="Value">Best value, in the unit that the property's name states.</param>
/// <param name="StandardUncertainty">Standard uncertainty as in the GUM (JCGM 100:2008, 2.3.1), same unit; 0 when none was given.</param>
public readonly record struct Measured(double Value, double StandardUncertainty)
{
    /// <summary>A value given without an uncertainty.</summary>
    public static Measured Exact(double value) => new(value, 0);
}
