using Spectre.Console;
using Telemetry.Output;

namespace Telemetry.Cli;

/// <summary>Puts lines on the screen: in colour where it has any, and broken to its width where it tells one. On a pipe lines stay as they are.</summary>
internal static class SheetPrinter
{
    /// <summary>Prints the lines of an answer, each on its own. Nothing in them can steer the terminal.</summary>
    public static void Print(IEnumerable<SheetLine> lines, Screen screen) =>
        Print(lines, screen.Out, screen.OutHasColour, screen.OutColumns);

    /// <summary>Prints lines where errors go.</summary>
    public static void PrintError(IEnumerable<SheetLine> lines, Screen screen) =>
        Print(lines, screen.Error, screen.ErrorHasColour, screen.ErrorColumns);

    /// <summary>Text made safe for a screen; line ends stay. See <see cref="SafeText"/>.</summary>
    public static string Plain(string text) => SafeText.Of(text, keepsLineEnds: true);

    private static void Print(IEnumerable<SheetLine> lines, TextWriter writer, bool hasColour, Func<int>? columns)
    {
        IEnumerable<SheetLine> safe = lines.Select(line => line with { Text = SafeText.Of(line.Text), Cells = [.. line.Cells.Select(cell => SafeText.Of(cell))] });
        if (columns is not null)
        {
            safe = SheetLayout.Fit([.. safe], columns());
        }

        if (hasColour)
        {
            PrintInColour(safe, writer);
            return;
        }

        foreach (SheetLine line in safe)
        {
            writer.WriteLine(line.Text);
        }
    }

    // Apart from Print, so that the library of the colours is not loaded where there are none.
    private static void PrintInColour(IEnumerable<SheetLine> lines, TextWriter writer)
    {
        IAnsiConsole console = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Ansi = AnsiSupport.Yes,
            ColorSystem = ColorSystemSupport.Standard,
            Interactive = InteractionSupport.No,
            Out = new AnsiConsoleOutput(writer),
        });
        // Lines are already no wider than a terminal; the library must not break them again.
        console.Profile.Width = 100_000;
        foreach (SheetLine line in lines)
        {
            // A Text, not a markup: '[red]' in a name is a name.
            console.Write(new Text(line.Text, StyleOf(line.Tone)));
            console.WriteLine();
        }
    }

    private static Style StyleOf(Tone tone) => tone switch
    {
        Tone.Alarm => new Style(Color.Red, decoration: Decoration.Bold),
        Tone.Warning => new Style(Color.Olive),
        Tone.Good => new Style(Color.Green),
        Tone.Heading => new Style(decoration: Decoration.Bold),
        Tone.Muted => new Style(decoration: Decoration.Dim),
        _ => Style.Plain,
    };
}
