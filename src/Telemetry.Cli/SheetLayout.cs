using System.Collections.Frozen;
using Telemetry.Output;

namespace Telemetry.Cli;

/// <summary>
/// Fits the lines of a sheet to a terminal. What is narrow enough stays untouched; a paragraph is broken anew at blanks, never inside a
/// number with its unit or inside an interval; a table that is too wide becomes one block a row, each number beside its column's name.
/// </summary>
internal static class SheetLayout
{
    /// <summary>Longest interval in brackets that is kept on one line.</summary>
    private const int LongestInterval = 36;

    private static readonly FrozenSet<string> Units = new[]
    {
        "N", "kN", "m", "mm", "m2", "m3", "km", "km/h", "m/s", "m/s2", "s", "ms", "min", "h", "Hz", "kHz", "deg", "%", "K", "degC", "g", "kg", "kg/m3", "Pa", "hPa", "N/mm", "N/m", "MB",
    }.ToFrozenSet(StringComparer.Ordinal);

    /// <summary>The lines, none wider than the terminal unless a single word is.</summary>
    /// <param name="lines">The sheet.</param>
    /// <param name="columns">Columns of the terminal.</param>
    public static List<SheetLine> Fit(IReadOnlyList<SheetLine> lines, int columns)
    {
        List<SheetLine> fitted = [];
        int i = 0;
        while (i < lines.Count)
        {
            int end = i + 1;
            if (lines[i].Cells.Length > 0)
            {
                while (end < lines.Count && lines[end].Cells.Length > 0 && lines[end].Tone != Tone.Heading)
                {
                    end++;
                }

                Table(fitted, lines, i, end, columns);
            }
            else
            {
                while (end < lines.Count && lines[end].Continues)
                {
                    end++;
                }

                Paragraph(fitted, lines, i, end, columns);
            }

            i = end;
        }

        return fitted;
    }

    /// <summary>Breaks one line; the lines after the first are indented.</summary>
    public static IEnumerable<string> Break(string text, int columns, int hanging)
    {
        int indent = 0;
        while (indent < text.Length && text[indent] == ' ')
        {
            indent++;
        }

        string start = text[..indent];
        string line = start;
        bool isEmpty = true;
        foreach ((int gap, string word) in Words(text[indent..]))
        {
            if (!isEmpty && line.Length + gap + word.Length > columns)
            {
                yield return line;
                line = new string(' ', Math.Min(hanging, columns / 3));
                isEmpty = true;
            }

            line += (isEmpty ? "" : new string(' ', gap)) + word;
            isEmpty = false;
        }

        yield return line;
    }

    private static void Paragraph(List<SheetLine> fitted, IReadOnlyList<SheetLine> lines, int from, int end, int columns)
    {
        bool fits = true;
        for (int i = from; i < end; i++)
        {
            fits &= lines[i].Text.Length <= columns;
        }

        if (fits)
        {
            for (int i = from; i < end; i++)
            {
                fitted.Add(lines[i]);
            }

            return;
        }

        string text = lines[from].Text;
        for (int i = from + 1; i < end; i++)
        {
            text += " " + lines[i].Text.TrimStart();
        }

        int hanging = end > from + 1 ? Blanks(lines[from + 1].Text) : Blanks(text) + 2;
        fitted.AddRange(Break(text, columns, hanging).Select(line => lines[from] with { Text = line }));
    }

    private static void Table(List<SheetLine> fitted, IReadOnlyList<SheetLine> lines, int from, int end, int columns)
    {
        bool hasHead = lines[from].Tone == Tone.Heading && end > from + 1;
        bool fits = true;
        for (int i = from; i < end; i++)
        {
            fits &= lines[i].Text.Length <= columns;
        }

        for (int i = from; i < end; i++)
        {
            SheetLine line = lines[i];
            if (fits)
            {
                fitted.Add(line);
                continue;
            }

            string first = new string(' ', Blanks(line.Text)) + line.Cells[0].Trim();
            fitted.AddRange(Break(first, columns, Blanks(line.Text) + 2).Select(text => line with { Text = text }));
            if (hasHead && i == from)
            {
                // The names of the columns stand in each block.
                continue;
            }

            string at = new(' ', Blanks(line.Text) + 2);
            string block = at;
            for (int c = 1; c < line.Cells.Length; c++)
            {
                string name = hasHead && c < lines[from].Cells.Length ? lines[from].Cells[c] + " " : "";
                string pair = name + line.Cells[c] + (c < line.Cells.Length - 1 ? "," : "");
                if (block.Length > at.Length && block.Length + 1 + pair.Length > columns)
                {
                    fitted.Add(line with { Text = block });
                    block = at;
                }

                block += (block.Length > at.Length ? " " : "") + pair;
            }

            fitted.Add(line with { Text = block });
        }
    }

    private static int Blanks(string text) => text.Length - text.AsSpan().TrimStart(' ').Length;

    /// <summary>What stays together, each with the blanks before it.</summary>
    private static IEnumerable<(int Gap, string Word)> Words(string text)
    {
        int gap = 0;
        string? held = null;
        int heldGap = 0;
        bool isOpen = false;
        foreach (string piece in text.Split(' '))
        {
            if (piece.Length == 0)
            {
                gap++;
                continue;
            }

            if (held is not null && gap == 1 && (isOpen ? held.Length + piece.Length < LongestInterval : char.IsAsciiDigit(held[^1]) && Units.Contains(piece.TrimEnd('.', ',', ';', ':', ')'))))
            {
                held += " " + piece;
            }
            else
            {
                if (held is not null)
                {
                    yield return (heldGap, held);
                }

                held = piece;
                heldGap = gap;
                isOpen = false;
            }

            isOpen = (isOpen || piece[0] == '(') && !piece.Contains(')');
            gap = 1;
        }

        if (held is not null)
        {
            yield return (heldGap, held);
        }
    }
}
