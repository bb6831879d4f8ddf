using System.Text.RegularExpressions;
using Telemetry.Tests.Hostile;

namespace Telemetry.Tests.Cli;

/// <summary>The command on a real pseudo-terminal, which 'script' of util-linux opens, and on pipes.</summary>
public class RealTerminalTests
{
    /// <summary>What sets a colour: SGR of ISO/IEC 6429. The runtime itself may switch the keypad of a terminal, which is none.</summary>
    private const string Colour = "\u001b\\[[0-9;]*m";

    /// <summary>A wrong word: an error in the error's colour, in a tenth of a second.</summary>
    private const string Wrong = "analyze";

    [Theory]
    [InlineData("xterm", null, true)]
    [InlineData("xterm", "", true)]
    [InlineData("xterm", "1", false)]
    [InlineData("dumb", null, false)]
    public void Colour_is_for_terminals_that_want_it(string term, string? noColour, bool isColoured)
    {
        string? script = BuiltCommand.Find("script");
        Assert.SkipWhen(script is null, "No 'script' on this machine: install Debian's package 'bsdutils'.");
        // NO_COLOR counts when it is set and not empty (no-color.org).
        CommandRun run = BuiltCommand.Run(script, ["-qec", $"pushrod {Wrong}", "/dev/null"], ("TERM", term), ("NO_COLOR", noColour), ("COLUMNS", "80"));
        Assert.Equal(2, run.Code);
        Assert.Contains("analyse", run.Out, StringComparison.Ordinal);
        Assert.Equal(isColoured, Regex.IsMatch(run.Out, Colour));
        Assert.False(term == "dumb" && run.Out.Contains('\u001b', StringComparison.Ordinal));
        // On a terminal the remedy has a line of its own.
        Assert.Contains("\n  See 'pushrod --help'.", Regex.Replace(run.Out, Colour, ""), StringComparison.Ordinal);
    }

    [Fact]
    public void Pipes_get_one_plain_line_an_error_and_nothing_on_the_answers_stream()
    {
        Assert.SkipUnless(File.Exists(CommandProcess.Program), "The command has no program of its own on this system.");
        CommandRun run = BuiltCommand.Run(CommandProcess.Program, [Wrong], ("TERM", "xterm"), ("NO_COLOR", null));
        Assert.Equal((2, ""), (run.Code, run.Out));
        Assert.Matches(@"^pushrod: [^\u001b\n]+ See 'pushrod --help'\.\n$", run.Error);
    }
}
