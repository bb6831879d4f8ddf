using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;

namespace Telemetry.Logs;

/// <summary>Fields that are no plain number.</summary>
internal static partial class CsvFieldText
{
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

    /// <summary>True for digits in groups of three: a comma, point, blank or apostrophe between them is a thousands separator.</summary>
    /// <param name="readable">Text as <see cref="Readable"/> shows it; "1'23.456" is none, but a lap's time.</param>
    public static bool IsGrouped(string readable) => Grouped().IsMatch(readable);

    [GeneratedRegex(@"^[+-]?\d{1,3}((,|\.| |'|\u2019|<U\+00A0>|<U\+2009>|<U\+202F>)\d{3})+([.,]\d+)?$", RegexOptions.CultureInvariant)]
    private static partial Regex Grouped();

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
