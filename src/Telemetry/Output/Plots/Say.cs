using System.Globalization;
using System.Text;

namespace Telemetry.Output.Plots;

/// <summary>Numbers and names as the pictures write them.</summary>
internal static class Say
{
    public const double KmhPerMps = 3.6;
    public const double KnPerN = 1e-3;
    public const double MmPerM = 1e3;
    public const double DegPerRad = 180 / Math.PI;

    /// <summary>A number with fixed decimals, a true minus sign and a thin space between thousands.</summary>
    public static string Number(double value, int decimals)
    {
        string text = value.ToString("N" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        if (text.StartsWith('-') && text.All(c => c is '-' or '0' or '.' or ','))
        {
            text = text[1..];
        }

        return text.Replace(",", "\u2009", StringComparison.Ordinal).Replace('-', '\u2212');
    }

    /// <summary>A tick's number: as many decimals as it needs, at most six.</summary>
    public static string Tick(double value)
    {
        double rounded = Math.Round(value, 6);
        return rounded == 0 ? "0" : rounded.ToString("#,0.######", CultureInfo.InvariantCulture)
            .Replace(",", "\u2009", StringComparison.Ordinal).Replace('-', '\u2212');
    }

    /// <summary>Value and half width of its 95 % interval, to two digits of the half width; the ends where they are not symmetrical.</summary>
    /// <param name="estimate">The value in SI.</param>
    /// <param name="factor">Shown unit per SI unit.</param>
    /// <param name="unit">The shown unit with the space that goes before it.</param>
    /// <param name="most">Most decimals that the reader can use.</param>
    public static string Interval(Estimate estimate, double factor, string unit, int most = 3)
    {
        double half = Math.Abs(estimate.HalfWidth * factor);
        int decimals = double.IsFinite(half) && half > 0 ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(half)), 0, most) : Math.Min(2, most);
        string value = Number(estimate.Value * factor, decimals) + unit;
        double lean = Math.Abs(((estimate.High95 + estimate.Low95) / 2) - estimate.Value) * Math.Abs(factor);
        return lean > 0.1 * half
            ? $"{value} ({Number(estimate.Low95 * factor, decimals)} to {Number(estimate.High95 * factor, decimals)})"
            : $"{value} ± {Number(half, decimals)}{unit}";
    }

    /// <summary>A share of life or damage in % with two digits, which is all that a Miner sum is good for; very small ones as "under 0.001".</summary>
    public static string SmallPercent(double percent)
    {
        if (percent == 0)
        {
            return "0 %";
        }

        if (percent < 0.001)
        {
            return "under 0.001 %";
        }

        return Number(percent, Math.Clamp(1 - (int)Math.Floor(Math.Log10(percent)), 0, 4)) + " %";
    }

    /// <summary>A name from a file in a shape that can be drawn on one line: control and direction marks taken out, long ones cut in the middle.</summary>
    /// <remarks>Direction marks could turn the numbers beside a name around; control characters are not allowed in XML 1.0.</remarks>
    public static string Name(string name, int longest = 48)
    {
        StringBuilder plain = new(name.Length);
        foreach (Rune rune in name.EnumerateRunes())
        {
            switch (Rune.GetUnicodeCategory(rune))
            {
                case UnicodeCategory.Control or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator:
                    plain.Append(' ');
                    break;
                case UnicodeCategory.Format or UnicodeCategory.Surrogate or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned:
                    break;
                default:
                    plain.Append(rune.ToString());
                    break;
            }
        }

        string text = plain.ToString().Trim();
        if (text.Length <= longest)
        {
            return text;
        }

        int head = longest / 2;
        int tail = text.Length - (longest - head - 1);
        head -= char.IsHighSurrogate(text[head - 1]) ? 1 : 0;
        tail += char.IsLowSurrogate(text[tail]) ? 1 : 0;
        return string.Concat(text.AsSpan(0, head), "…", text.AsSpan(tail));
    }

    /// <summary>A sentence from a stage as a part of a title: short enough, without its full stop and its capital.</summary>
    public static string Clause(string sentence)
    {
        string clause = Name(sentence, 150).TrimEnd('.');
        return clause.Length > 1 && char.IsUpper(clause[0]) && char.IsLower(clause[1]) ? char.ToLowerInvariant(clause[0]) + clause[1..] : clause;
    }

    /// <summary>"1 lap", "3 laps", "2 passes".</summary>
    public static string Count(int count, string one) =>
        $"{Number(count, 0)} {one}{(count == 1 ? "" : one.EndsWith('s') ? "es" : "s")}";
}
