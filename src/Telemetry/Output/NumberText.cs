using System.Globalization;

namespace Telemetry.Output;

/// <summary>How numbers are written for people and for files: invariant, in the trade's units, no more digits than the number carries.</summary>
internal static class NumberText
{
    /// <summary>Stands for a missing number wherever a person reads.</summary>
    public const string Missing = "-";

    public const double KmhPerMps = 3.6;
    public const double MmPerM = 1000;
    public const double DegPerRad = 180 / Math.PI;

    /// <summary>A number with a fixed number of decimals; a dash for NaN and the infinities, and never a negative zero.</summary>
    public static string Fixed(double value, int decimals)
    {
        if (!double.IsFinite(value))
        {
            return Missing;
        }

        string text = value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return text[0] == '-' && text.AsSpan().IndexOfAnyInRange('1', '9') < 0 ? text[1..] : text;
    }

    /// <summary>A number rounded to a count of significant digits, for files; null for NaN and the infinities, which JSON cannot hold.</summary>
    /// <remarks>Six digits are a part in a million: a hundred times finer than any load cell.</remarks>
    public static double? Rounded(double value, int digits = 6) =>
        double.IsFinite(value)
            ? double.Parse(value.ToString("E" + (digits - 1).ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture), CultureInfo.InvariantCulture) + 0.0
            : null;

    /// <summary>A small number such as a damage: three significant digits, with an exponent below a thousandth.</summary>
    public static string Small(double value)
    {
        if (!double.IsFinite(value))
        {
            return Missing;
        }

        double size = Math.Abs(value);
        return size is 0 or (>= 0.001 and < 1000)
            ? Fixed(value, size == 0 ? 0 : Math.Max(0, 2 - (int)Math.Floor(Math.Log10(size))))
            : value.ToString("0.00e+0", CultureInfo.InvariantCulture);
    }

    /// <summary>An estimate with its interval, as "3.42 (3.38 to 3.46)".</summary>
    /// <remarks>Decimals so that half the interval shows two significant digits, as JCGM 100:2008, 7.2.6 asks.</remarks>
    /// <param name="estimate">The estimate; a dash for null.</param>
    /// <param name="scale">Multiplier into the shown unit.</param>
    public static string Interval(Estimate? estimate, double scale = 1)
    {
        if (estimate is null)
        {
            return Missing;
        }

        int decimals = Decimals(estimate.HalfWidth * scale);
        return $"{Fixed(estimate.Value * scale, decimals)} ({Fixed(estimate.Low95 * scale, decimals)} to {Fixed(estimate.High95 * scale, decimals)})";
    }

    /// <summary>Decimals at which an uncertainty of that size shows two significant digits; 0 to 6.</summary>
    public static int Decimals(double uncertainty) =>
        uncertainty > 0 && double.IsFinite(uncertainty)
            ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(uncertainty)), 0, 6)
            : 3;

    /// <summary>A load for people: kN with two decimals.</summary>
    public static string Kn(double newtons) => Fixed(newtons / 1000, 2);

    /// <summary>A count with its noun: "1 lap", "4 laps".</summary>
    public static string Count(int count, string one, string? many = null) => CountText.Of(count, one, many);

    /// <summary>Text from a file made safe for a screen: control characters, which could steer a terminal, become '?'.</summary>
    public static string Printable(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return string.Create(text.Length, text, static (span, source) =>
        {
            for (int i = 0; i < span.Length; i++)
            {
                UnicodeCategory category = char.GetUnicodeCategory(source[i]);
                span[i] = category is UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator
                    ? '?'
                    : source[i];
            }
        });
    }
}
