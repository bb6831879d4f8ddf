using System.Collections.Immutable;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>Builds the lines of a sheet: cut to the width, control characters out.</summary>
internal sealed class SheetLines
{
    private readonly ImmutableArray<SheetLine>.Builder lines = ImmutableArray.CreateBuilder<SheetLine>();

    public int Count => lines.Count;

    /// <summary>One line.</summary>
    public void Add(string text, Tone tone) => lines.Add(new(Cut(Printable(text), RunSheet.Width).TrimEnd(), tone));

    /// <summary>One row of a table: its text in columns, and the same as cells.</summary>
    public void Row(string text, Tone tone, params ReadOnlySpan<string> cells)
    {
        Add(text, tone);
        ImmutableArray<string>.Builder safe = ImmutableArray.CreateBuilder<string>(cells.Length);
        foreach (string cell in cells)
        {
            safe.Add(Printable(cell));
        }

        lines[^1] = lines[^1] with { Cells = safe.MoveToImmutable() };
    }

    /// <summary>A text over at most <paramref name="most"/> lines, broken at blanks and indented below its label.</summary>
    public void Wrapped(string label, string text, Tone tone, int most)
    {
        string rest = Printable(text);
        string start = label;
        string indent = new(' ', Math.Min(label.Length, 5));
        int first = Count;
        for (int i = 1; i < most && start.Length + rest.Length > RunSheet.Width; i++)
        {
            int room = RunSheet.Width - start.Length;
            int at = rest.LastIndexOf(' ', Math.Min(room, rest.Length - 1));
            if (at <= 0)
            {
                break;
            }

            lines.Add(new(start + rest[..at], tone) { Continues = i > 1 });
            rest = rest[(at + 1)..];
            start = indent;
        }

        Add(start + rest, tone);
        lines[^1] = lines[^1] with { Continues = Count > first + 1 };
    }

    /// <summary>Says how many more there are; nothing when none.</summary>
    public void More(int count, string one, string many)
    {
        if (count > 0)
        {
            Add($"  and {count} more {(count == 1 ? one : many)}: see report.html", Tone.Muted);
        }
    }

    /// <summary>Cut to a width, the cut shown.</summary>
    public static string Cut(string text, int width) => text.Length <= width ? text : string.Concat(text.AsSpan(0, width - 2), "..");

    public ImmutableArray<SheetLine> Done() => lines.ToImmutable();
}
