using System.Text;

namespace Telemetry.Logs;

/// <summary>Fields that are no plain number.</summary>
internal static class CsvFieldText
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
    public static string Readable(ReadOnlySpan<byte> text, bool swapSigns)
    {
        string shown = TextEncoding.Decode(text);
        return CsvLayoutFinder.Short(swapSigns ? shown.Replace(',', '\u0001').Replace('.', ',').Replace('\u0001', '.') : shown).ReplaceLineEndings(" ");
    }
}
