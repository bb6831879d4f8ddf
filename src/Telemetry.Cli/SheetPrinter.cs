using System.Globalization;
using Spectre.Console;
using Telemetry.Output;

namespace Telemetry.Cli;

/// <summary>Puts lines on the screen, in colour where it has any.</summary>
internal static class SheetPrinter
{
    /// <summary>Prints the lines, each on its own.</summary>
    public static void Print(IEnumerable<SheetLine> lines, Screen screen)
    {
        if (!screen.OutHasColour)
        {
            foreach (SheetLine line in lines)
            {
                screen.Out.WriteLine(line.Text);
            }

            return;
        }

        PrintInColour(lines, screen);
    }

    /// <summary>Text from a file made safe for a screen: a control character, which could steer a terminal, becomes '?'; line ends stay.</summary>
    public static string Plain(string text) => string.Create(text.Length, text, static (span, source) =>
    {
        for (int i = 0; i < span.Length; i++)
        {
            span[i] = source[i] is not ('\n' or '\r') && char.GetUnicodeCategory(source[i]) is UnicodeCategory.Control or UnicodeCategory.Format ? '?' : source[i];
        }
    });

    // Apart from Print, so that the library of the colours is not loaded where there are none.
    private static void PrintInColour(IEnumerable<SheetLine> lines, Screen screen)
    {
        IAnsiConsole console = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Ansi = AnsiSupport.Yes,
            ColorSystem = ColorSystemSupport.Standard,
            Interactive = InteractionSupport.No,
            Out = new AnsiConsoleOutput(screen.Out),
        });
        // Lines are already no wider than a terminal; the library must not break them again.
        console.Profile.Width = 1000;
        foreach (SheetLine line in lines)
        {
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
