using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

public class HelpTests
{
    [Theory]
    [InlineData("pushrod")]
    [InlineData("analyse")]
    [InlineData("check")]
    [InlineData("import")]
    [InlineData("cut")]
    [InlineData("compare")]
    [InlineData("life")]
    [InlineData("life history")]
    [InlineData("life fit")]
    [InlineData("life inspect")]
    [InlineData("life correct")]
    [InlineData("life forecast")]
    [InlineData("life verify")]
    [InlineData("life export")]
    [InlineData("life import")]
    [InlineData("shims")]
    [InlineData("simulate")]
    [InlineData("watch")]
    public void Help_reads_as_kept_and_shows_an_example(string verb)
    {
        CommandRun run = verb == "pushrod" ? CommandRun.Of("--help") : CommandRun.Of([.. verb.Split(' '), "--help"]);
        Assert.Equal(0, run.Code);
        Assert.Empty(run.Error);
        Assert.Contains("\n  pushrod ", run.Out, StringComparison.Ordinal);
        Assert.All(run.Out.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
        Snapshot.Match("Cli", "help_" + verb.Replace(' ', '_'), run.Out);
    }

    [Fact]
    public void The_version_is_one_line_with_a_number()
    {
        CommandRun run = CommandRun.Of("--version");
        Assert.Equal(0, run.Code);
        Assert.Matches(@"^\d+\.\d+\.\d+.*\n$", run.Out);
    }
}
