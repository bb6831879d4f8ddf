using System.Globalization;
using System.Security;
using System.Text;

namespace Telemetry.Output.Plots;

/// <summary>Puts right what the drawing library writes into an SVG: names of clip areas, fonts, and words for screen readers.</summary>
internal static class SvgText
{
    private const string ClipPrefix = "cl_";

    /// <summary>The finished SVG.</summary>
    /// <param name="raw">The library's text: one tag a line; text in a line of its own, with <c>&lt;</c> escaped.</param>
    /// <param name="figure">The figure it shows.</param>
    /// <param name="width">Width of the canvas.</param>
    /// <param name="height">Height of the canvas.</param>
    public static string Finish(string raw, Figure figure, float width, float height)
    {
        StringBuilder text = new(raw.Length + 2000);
        Dictionary<string, string> clips = [];
        foreach (ReadOnlySpan<char> line in raw.AsSpan().EnumerateLines())
        {
            ReadOnlySpan<char> tag = line.TrimStart();
            if (tag.StartsWith("<svg", StringComparison.Ordinal))
            {
                AppendRoot(text, line, figure, width, height);
            }
            else if (tag.StartsWith("<text", StringComparison.Ordinal))
            {
                AppendFont(text, line.ToString());
            }
            else if (tag.StartsWith("<clipPath", StringComparison.Ordinal) || tag.StartsWith("<g ", StringComparison.Ordinal))
            {
                AppendClip(text, line, figure.Name, clips);
            }
            else
            {
                text.Append(line);
            }

            text.Append('\n');
        }

        return text.ToString().TrimEnd('\n') + "\n";
    }

    private static void AppendRoot(StringBuilder text, ReadOnlySpan<char> line, Figure figure, float width, float height)
    {
        text.Append(line[..line.LastIndexOf('>')]);
        text.Append(CultureInfo.InvariantCulture, $" viewBox=\"0 0 {width:0.##} {height:0.##}\" role=\"img\">");
        text.Append("<title>").Append(SecurityElement.Escape(figure.Title)).Append("</title>");
        text.Append("<desc>").Append(SecurityElement.Escape(figure.Description)).Append("</desc>");
    }

    /// <summary>One family with its weight, and other sans-serifs for a reader that does not have it.</summary>
    private static void AppendFont(StringBuilder text, string line)
    {
        const string family = $"font-family=\"{PlotFonts.Family}, Helvetica, Arial, sans-serif\"";
        text.Append(line
            .Replace($"font-weight=\"500\" font-family=\"{PlotFonts.Family} SemiBold, {PlotFonts.Family}\"", "font-weight=\"600\" " + family, StringComparison.Ordinal)
            .Replace($"font-family=\"{PlotFonts.Family}\"", family, StringComparison.Ordinal));
    }

    /// <summary>The library numbers clip areas over the whole process; here they are numbered in each picture, with its name, so that bytes repeat and pictures can stand in one page.</summary>
    private static void AppendClip(StringBuilder text, ReadOnlySpan<char> line, string figure, Dictionary<string, string> clips)
    {
        int start = line.IndexOf(ClipPrefix, StringComparison.Ordinal);
        if (start < 0)
        {
            text.Append(line);
            return;
        }

        int end = start + ClipPrefix.Length;
        while (end < line.Length && char.IsAsciiLetterOrDigit(line[end]))
        {
            end++;
        }

        string old = line[start..end].ToString();
        if (!clips.TryGetValue(old, out string? name))
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{figure}_{clips.Count + 1}");
            clips[old] = name;
        }

        text.Append(line[..start]).Append(name).Append(line[end..]);
    }
}
