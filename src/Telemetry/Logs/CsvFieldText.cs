using System.Buffers;
using System.Globalization;
using System.Text;

namespace Telemetry.Logs;

/// <summary>Fields that are no plain number.</summary>
internal static class CsvFieldText
{
    private static readonly SearchValues<char> InGroups = SearchValues.Create("+-0123456789., '\u2019");
    private static readonly SearchValues<char> BetweenGroups = SearchValues.Create(", '\u2019");

    /// <summary>The words of C's strtod (ISO/IEC 9899:2018, 7.22.1.3) in any case: inf, infinity, nan, with or without a sign.</summary>
    public static bool IsNotFiniteWord(ReadOnlySpan<byte> text)
    {
        text = text[0] is (byte)'+' or (byte)'-' ? text[1..] : text;
        return Ascii.EqualsIgnoreCase(text, "nan"u8) || Ascii.EqualsIgnoreCase(text, "inf"u8) || Ascii.EqualsIgnoreCase(text, "infinity"u8);
    }

    /// <summary>A field without the blanks around it.</summary>
    public static ReadOnlySpan<byte> Trim(ReadOnlySpan<byte> text) => text.Trim(" \t"u8);

    /// <summary>A field's text as it stands in the file: with the signs swapped back.</summary>
    public static string Whole(ReadOnlySpan<byte> text, bool swapSigns)
    {
        string shown = TextEncoding.Decode(text);
        return swapSigns ? shown.Replace(',', '\u0001').Replace('.', ',').Replace('\u0001', '.') : shown;
    }

    /// <summary>A field's text for a message: short, on one line, and with signs that nobody would see written as their code points.</summary>
    public static string Readable(ReadOnlySpan<byte> text, bool swapSigns) => Visible(CsvLayoutFinder.Short(Whole(text, swapSigns)));

    /// <summary>True for digits in groups: a comma, blank or apostrophe among them may be a thousands separator.</summary>
    /// <param name="readable">Text as <see cref="Readable"/> shows it.</param>
    public static bool IsGrouped(string readable)
    {
        string text = readable.Replace("<U+00A0>", " ", StringComparison.Ordinal).Replace("<U+2009>", " ", StringComparison.Ordinal).Replace("<U+202F>", " ", StringComparison.Ordinal);
        return text.Length > 1 && char.IsAsciiDigit(text[^1])
            && text.AsSpan().IndexOfAnyExcept(InGroups) < 0
            && text.AsSpan(1).IndexOfAny(BetweenGroups) >= 0;
    }

    private static string Visible(string text)
    {
        StringBuilder shown = new(text.Length);
        foreach (char sign in text.ReplaceLineEndings(" "))
        {
            bool isSeen = sign == ' ' || char.GetUnicodeCategory(sign) is not (UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.SpaceSeparator);
            _ = isSeen ? shown.Append(sign) : shown.Append(CultureInfo.InvariantCulture, $"<U+{(int)sign:X4}>");
        }

        return shown.ToString();
    }
}
