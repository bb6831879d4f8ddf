using Telemetry.Cli;
using Telemetry.Output;

namespace Telemetry.Tests.Cli;

/// <summary>What reaches a terminal: nothing that steers it, nothing wider than it.</summary>
public class TerminalTests
{
    private const string Hostile = "\u001b[2J\u009b31m\u202Eevil\u2066\u200b [red]x[/] \u0007";

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Hostile_names_reach_the_screen_harmless_and_markup_stays_text(bool hasColour)
    {
        using StringWriter output = new();
        SheetPrinter.Print([new("  " + Hostile, Tone.Plain)], new Screen(output, TextWriter.Null, hasColour));
        string bare = System.Text.RegularExpressions.Regex.Replace(output.ToString(), "\u001b\\[[0-9;]*m", "");
        Assert.Contains("[red]x[/]", bare, StringComparison.Ordinal);
        Assert.DoesNotContain(bare.ReplaceLineEndings(""), c => char.IsControl(c) || c is '\u202E' or '\u2066' or '\u200b');
    }

    [Fact]
    public void A_narrow_screen_keeps_numbers_with_their_units_and_intervals_whole()
    {
        using StringWriter output = new();
        Screen narrow = new(output, TextWriter.Null) { OutColumns = () => 40 };
        SheetPrinter.Print([new("Platform: at 250 km/h the front stands 12.3 mm and the load is 3.42 (3.38 to 3.46) kN today", Tone.Plain)], narrow);
        string[] lines = output.ToString().ReplaceLineEndings("\n").TrimEnd('\n').Split('\n');
        Assert.All(lines, line => Assert.InRange(line.Length, 1, 40));
        Assert.All(new[] { "250 km/h", "12.3 mm", "(3.38 to 3.46)" }, whole => Assert.Contains(lines, line => line.Contains(whole, StringComparison.Ordinal)));
    }

    [Fact]
    public void A_table_too_wide_becomes_blocks_with_the_columns_names()
    {
        using StringWriter output = new();
        Screen narrow = new(output, TextWriter.Null) { OutColumns = () => 40 };
        string wide = new('x', 60);
        SheetPrinter.Print([new(wide, Tone.Heading) { Cells = ["Part", "push kN", "life %"] }, new(wide, Tone.Plain) { Cells = ["P1", "12.30", "40.0"] }], narrow);
        Assert.Equal("Part\nP1\n  push kN 12.30, life % 40.0\n", output.ToString().ReplaceLineEndings("\n"));
    }
}
