using System.Buffers;
using System.Globalization;
using System.Security;
using System.Text;

namespace Telemetry.Output.Plots;

/// <summary>Puts right what the drawing library writes into an SVG: names of clip areas, fonts, and words for screen readers.</summary>
internal static class SvgText
{
    private static ReadOnlySpan<byte> ClipPrefix => "cl_"u8;

    /// <summary>The finished SVG.</summary>
    /// <param name="raw">The library's text in UTF-8: one tag a line; text in a line of its own, with <c>&lt;</c> escaped.</param>
    /// <param name="figure">The figure it shows.</param>
    /// <param name="width">Width of the canvas.</param>
    /// <param name="height">Height of the canvas.</param>
    /// <returns>UTF-8, ending with one line break.</returns>
    public static byte[] Finish(ReadOnlySpan<byte> raw, Figure figure, float width, float height)
    {
        raw = raw.TrimEnd((byte)'\n');
        ArrayBufferWriter<byte> text = new(raw.Length + 4096);
        Dictionary<string, string> clips = [];
        foreach (Range range in raw.Split((byte)'\n'))
        {
            ReadOnlySpan<byte> line = raw[range];
            ReadOnlySpan<byte> tag = line.TrimStart(" \t"u8);
            if (tag.StartsWith("<svg"u8))
            {
                Append(text, Root(Encoding.UTF8.GetString(line), figure, width, height));
            }
            else if (tag.StartsWith("<text"u8))
            {
                Append(text, WithFont(Encoding.UTF8.GetString(line)));
            }
            else if ((tag.StartsWith("<clipPath"u8) || tag.StartsWith("<g "u8)) && line.IndexOf(ClipPrefix) is >= 0 and int start)
            {
                AppendClip(text, line, start, figure.Name, clips);
            }
            else
            {
                text.Write(line);
            }

            text.Write("\n"u8);
        }

        return text.WrittenSpan.ToArray();
    }

    private static void Append(ArrayBufferWriter<byte> text, string part) => Encoding.UTF8.GetBytes(part, text);

    private static string Root(string line, Figure figure, float width, float height) => string.Create(
        CultureInfo.InvariantCulture,
        $"{line[..line.LastIndexOf('>')]} viewBox=\"0 0 {width:0.##} {height:0.##}\" role=\"img\"><title>{SecurityElement.Escape(figure.Title)}</title><desc>{SecurityElement.Escape(figure.Description)}</desc>");

    /// <summary>One family with its weight, and other sans-serifs for a reader that does not have it.</summary>
    private static string WithFont(string line)
    {
        const string family = $"font-family=\"{PlotFonts.Family}, Helvetica, Arial, sans-serif\"";
        return line
            .Replace($"font-weight=\"500\" font-family=\"{PlotFonts.Family} SemiBold, {PlotFonts.Family}\"", "font-weight=\"600\" " + family, StringComparison.Ordinal)
            .Replace($"font-family=\"{PlotFonts.Family}\"", family, StringComparison.Ordinal);
    }

    /// <summary>The library numbers clip areas over the whole process; here they are numbered in each picture, with its name, so that bytes repeat and pictures can stand in one page.</summary>
    private static void AppendClip(ArrayBufferWriter<byte> text, ReadOnlySpan<byte> line, int start, string figure, Dictionary<string, string> clips)
    {
        int end = start + ClipPrefix.Length;
        while (end < line.Length && char.IsAsciiLetterOrDigit((char)line[end]))
        {
            end++;
        }

        string old = Encoding.UTF8.GetString(line[start..end]);
        if (!clips.TryGetValue(old, out string? name))
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{figure}_{clips.Count + 1}");
            clips[old] = name;
        }

        text.Write(line[..start]);
        Append(text, name);
        text.Write(line[end..]);
    }
}
