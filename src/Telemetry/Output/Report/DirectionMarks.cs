using System.Buffers;
using System.Globalization;
using System.Text;

namespace Telemetry.Output.Report;

/// <summary>Marks that change the direction of writing, made visible.</summary>
/// <remarks>
/// An override in a name turns round what follows it in the paragraph, so that a load beside the name would be read
/// backwards (Unicode Standard Annex 9, 2.1 to 2.6). The letters of right-to-left scripts need none of them and stay as they are.
/// </remarks>
internal static class DirectionMarks
{
    private static readonly SearchValues<char> Marks = SearchValues.Create("\u061C\u200E\u200F\u202A\u202B\u202C\u202D\u202E\u2066\u2067\u2068\u2069");

    /// <summary>The text with each mark as its number in brackets, "[U+202E]"; the text itself where it has none.</summary>
    public static string Shown(string text)
    {
        int next = text.AsSpan().IndexOfAny(Marks);
        if (next < 0)
        {
            return text;
        }

        StringBuilder shown = new(text.Length + 16);
        foreach (char c in text)
        {
            _ = Marks.Contains(c) ? shown.Append(CultureInfo.InvariantCulture, $"[U+{(int)c:X4}]") : shown.Append(c);
        }

        return shown.ToString();
    }
}
