using System.Globalization;

namespace Telemetry.Car;

/// <summary>Reads "2.95 m", "612 kg ± 1.5 kg" and "0.92 ± 0.004".</summary>
internal static class QuantityText
{
    /// <summary>A quantity that was read, in SI, with what a message needs to speak the writer's own unit.</summary>
    /// <param name="Value">The value and its standard uncertainty, SI.</param>
    /// <param name="Unit">The unit as it was written.</param>
    /// <param name="Size">That unit's size.</param>
    /// <param name="HasUncertainty">True when an uncertainty was written.</param>
    public readonly record struct Reading(Measured Value, string Unit, UnitConversion Size, bool HasUncertainty);

    /// <summary>Reads a text as a quantity of one dimension.</summary>
    /// <param name="text">The text of the file.</param>
    /// <param name="dimension">What it must measure.</param>
    /// <param name="reading">The quantity when the answer is null.</param>
    /// <returns>What was found and what to do about it; null when the text is good.</returns>
    public static (string Found, string Remedy)? Read(string text, Dimension dimension, out Reading reading)
    {
        reading = default;
        string example = dimension == Dimension.Plain ? "Write a number" : $"Write a number and a unit (allowed: {Units.Allowed(dimension)}).";
        (string main, string? spread) = Split(text);
        if (!TryNumber(main, out double value, out string unit))
        {
            return main.Contains(',', StringComparison.Ordinal)
                ? ($"\"{text}\" is not a number.", "Write decimals with a point, without thousands separators.")
                : ($"\"{text}\" is not a number.", example);
        }

        double uncertainty = 0;
        string spreadUnit = unit;
        if (spread is not null)
        {
            if (!TryNumber(spread, out uncertainty, out spreadUnit) || !(uncertainty >= 0))
            {
                return ($"\"{text}\" has no number of 0 or more behind the ±.", "Write the standard uncertainty like \"612 kg ± 1.5 kg\".");
            }

            // "612 ± 1.5 kg" and "612 kg ± 1.5" both leave no doubt.
            unit = unit.Length == 0 ? spreadUnit : unit;
            spreadUnit = spreadUnit.Length == 0 ? unit : spreadUnit;
        }

        if (unit.Length == 0 && dimension is not (Dimension.Plain or Dimension.Share))
        {
            return NoUnit(text, dimension);
        }

        if (Find(dimension, unit) is not { } size)
        {
            return Wrong(text, unit, dimension);
        }

        if (Find(dimension, spreadUnit) is not { } spreadSize)
        {
            return Wrong(text, spreadUnit, dimension);
        }

        double si = size.ToSi(value);
        double siSpread = uncertainty * spreadSize.Scale;
        if (!double.IsFinite(si) || !double.IsFinite(siSpread))
        {
            return ($"\"{text}\" is beyond all numbers.", "Correct the number.");
        }

        reading = new(new Measured(si, siSpread), unit, size, spread is not null);
        return null;
    }

    /// <summary>The words for a quantity without its unit.</summary>
    public static (string Found, string Remedy) NoUnit(string number, Dimension dimension)
    {
        string first = dimension == Dimension.StressPerLoad ? "MPa/kN" : Units.Allowed(dimension).Split(", ")[0];
        return ($"{number} has no unit.", $"Write \"{number} {first}\" if that is what is meant (allowed: {Units.Allowed(dimension)}).");
    }

    /// <summary>A number as messages show it: up to six digits.</summary>
    public static string Show(double value) => value.ToString("G6", CultureInfo.InvariantCulture);

    private static UnitConversion? Find(Dimension dimension, string unit) =>
        dimension == Dimension.Share && unit.Length == 0 ? new UnitConversion(1, 0) : Units.Find(dimension, unit);

    private static (string Found, string Remedy) Wrong(string text, string unit, Dimension dimension)
    {
        IReadOnlyList<Dimension> others = Units.Knowing(unit);
        string what = others.Count > 0 ? $"is {Units.Word(others[0])}" : $"has the unknown unit \"{unit}\"";
        return dimension == Dimension.Plain
            ? ($"\"{text}\" {what}; a number without unit is needed.", "Leave the unit out.")
            : ($"\"{text}\" {what}; {Units.Word(dimension)} is needed.", $"Write it in one of: {Units.Allowed(dimension)}.");
    }

    private static (string Main, string? Spread) Split(string text)
    {
        int at = text.IndexOf('±', StringComparison.Ordinal);
        int length = 1;
        if (at < 0)
        {
            at = text.IndexOf("+-", StringComparison.Ordinal);
            length = 2;
        }

        if (at < 0)
        {
            at = text.IndexOf("+/-", StringComparison.Ordinal);
            length = 3;
        }

        return at < 0 ? (text.Trim(), null) : (text[..at].Trim(), text[(at + length)..].Trim());
    }

    private static bool TryNumber(string text, out double value, out string unit)
    {
        string plain = text.Replace('−', '-');
        int end = 0;
        while (end < plain.Length && (char.IsAsciiDigit(plain[end]) || plain[end] is '.' or '+' or '-' || IsExponent(plain, end)))
        {
            end++;
        }

        unit = plain[end..].Trim();
        return double.TryParse(plain.AsSpan(0, end), NumberStyles.Float, CultureInfo.InvariantCulture, out value)
            && double.IsFinite(value)
            && !unit.StartsWith(',');
    }

    private static bool IsExponent(string text, int at) =>
        text[at] is 'e' or 'E' && at > 0 && at + 1 < text.Length && (char.IsAsciiDigit(text[at + 1]) || text[at + 1] is '+' or '-');
}
