using System.Globalization;
using System.Text;

namespace Telemetry.Cli;

/// <summary>Text from files and from the command line made safe for a screen.</summary>
internal static class SafeText
{
    /// <summary>
    /// Puts '?' in place of what could steer a terminal or turn the order of what is read: control characters of ISO/IEC 6429 (C0 with
    /// escape, C1, delete), format characters (right-to-left overrides, isolates, zero widths, tags), line and paragraph separators, and
    /// halves of a character. Line ends stay only where asked.
    /// </summary>
    /// <param name="text">Any text.</param>
    /// <param name="keepsLineEnds">True where a text of several lines is to stay one.</param>
    public static string Of(string text, bool keepsLineEnds = false)
    {
        int first = 0;
        while (first < text.Length && text[first] is >= ' ' and <= '~')
        {
            first++;
        }

        if (first == text.Length)
        {
            return text;
        }

        StringBuilder safe = new(text.Length);
        // Halves of a character come out of the enumeration as U+FFFD, which is a symbol and harmless.
        foreach (Rune rune in text.EnumerateRunes())
        {
            bool isLineEnd = rune.Value is '\n' or '\r';
            bool isUnsafe = Rune.GetUnicodeCategory(rune) is UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator;
            if (isUnsafe && !(isLineEnd && keepsLineEnds))
            {
                safe.Append('?');
            }
            else
            {
                safe.Append(rune.ToString());
            }
        }

        return safe.ToString();
    }
}
