namespace Telemetry.Car;

/// <summary>Reads one quantity with its unit, as it stands in a car file or behind an option ("250 km/h", "-1.5 mm").</summary>
public static class Quantity
{
    /// <summary>Reads a speed.</summary>
    /// <param name="text">Number and unit.</param>
    /// <param name="speedMps">The speed, m/s; NaN when the text is none.</param>
    /// <returns>Null, or what was found and what to do about it, as one text.</returns>
    public static string? ReadSpeed(string text, out double speedMps) => Read(text, Dimension.Speed, out speedMps);

    /// <summary>Reads a length.</summary>
    /// <param name="text">Number and unit.</param>
    /// <param name="lengthM">The length, m; NaN when the text is none.</param>
    /// <returns>Null, or what was found and what to do about it, as one text.</returns>
    public static string? ReadLength(string text, out double lengthM) => Read(text, Dimension.Length, out lengthM);

    /// <summary>Reads an angle.</summary>
    /// <param name="text">Number and unit.</param>
    /// <param name="angleRad">The angle, rad; NaN when the text is none.</param>
    /// <returns>Null, or what was found and what to do about it, as one text.</returns>
    public static string? ReadAngle(string text, out double angleRad) => Read(text, Dimension.Angle, out angleRad);

    /// <summary>Reads a time.</summary>
    /// <param name="text">Number and unit.</param>
    /// <param name="timeS">The time, s; NaN when the text is none.</param>
    /// <returns>Null, or what was found and what to do about it, as one text.</returns>
    public static string? ReadTime(string text, out double timeS) => Read(text, Dimension.Time, out timeS);

    /// <summary>Reads a share.</summary>
    /// <param name="text">A number with %, or a bare share.</param>
    /// <param name="share">The share, 1 for 100 %; NaN when the text is none.</param>
    /// <returns>Null, or what was found and what to do about it, as one text.</returns>
    public static string? ReadShare(string text, out double share) => Read(text, Dimension.Share, out share);

    /// <summary>Reads a bare number with or without its standard uncertainty ("0.60 ± 0.15").</summary>
    /// <param name="text">The number.</param>
    /// <param name="measured">Value and standard uncertainty; NaN when the text is none.</param>
    /// <returns>Null, or what was found and what to do about it, as one text.</returns>
    public static string? ReadNumber(string text, out Measured measured)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (QuantityText.Read(text, Dimension.Plain, out QuantityText.Reading reading) is (string found, string remedy))
        {
            measured = new(double.NaN, double.NaN);
            return $"{found} {remedy}";
        }

        measured = reading.Value;
        return null;
    }

    private static string? Read(string text, Dimension dimension, out double value)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (QuantityText.Read(text, dimension, out QuantityText.Reading reading) is (string found, string remedy))
        {
            value = double.NaN;
            return $"{found} {remedy}";
        }

        value = reading.Value.Value;
        return null;
    }
}
