using System.Text.Json;
using Telemetry.Cli;
using Telemetry.Output;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

public class AnalyseVerbTests
{
    [Fact]
    public void The_answer_holds_the_sheet_and_nothing_else()
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.OnKnownReview("analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath);
        var review = SampleReviews.Full with { Run = SampleReviews.Full.Run with { Name = "run7" } };
        Assert.Equal(string.Join("\n", RunSheet.From(review).Select(line => line.Text)) + "\n", run.Out);
        Assert.Equal("reading the log\nthinking\nwriting results\n", run.Error);
    }

    [Fact]
    public void Json_is_the_summary_and_nothing_else()
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.OnKnownReview("analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--json", "--quiet");
        using JsonDocument document = JsonDocument.Parse(run.Out);
        Assert.Equal("run7", document.RootElement.GetProperty("run").GetProperty("name").GetString());
        Assert.Empty(run.Error);
    }

    [Fact]
    public void Results_lie_beside_the_log_under_the_name_of_the_run()
    {
        using TemporaryFolder folder = new();
        CommandRun.OnKnownReview("analyse", folder.Write("day2/run7.csv", "x"), "--car", CommandRun.CarPath);
        Assert.True(File.Exists(folder["day2", "run7", "summary.json"]));
    }

    [Fact]
    public void A_log_without_an_ending_does_not_stand_in_the_way_of_its_results()
    {
        using TemporaryFolder folder = new();
        CommandRun.OnKnownReview("analyse", folder.Write("run7", "x"), "--car", CommandRun.CarPath);
        Assert.True(File.Exists(folder["run7-results", "summary.json"]));
    }

    [Fact]
    public void Colour_is_shown_only_where_the_screen_has_it()
    {
        using TemporaryFolder folder = new();
        string[] args = ["analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--quiet"];
        Assert.DoesNotContain('\u001b', CommandRun.OnKnownReview(args).Out);
        using StringWriter output = new();
        PushrodCommand.Run(args, new Screen(output, TextWriter.Null, OutHasColour: true), CommandRun.Known(SampleReviews.Full));
        Assert.Contains('\u001b', output.ToString());
    }

    [Fact]
    public void Colour_changes_no_character_of_the_sheet()
    {
        using TemporaryFolder folder = new();
        string[] args = ["analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--quiet"];
        using StringWriter output = new();
        PushrodCommand.Run(args, new Screen(output, TextWriter.Null, OutHasColour: true), CommandRun.Known(SampleReviews.Full));
        // ECMA-48, 8.3.117: select graphic rendition is ESC [ parameters m.
        string bare = System.Text.RegularExpressions.Regex.Replace(output.ToString().ReplaceLineEndings("\n"), "\u001b\\[[0-9;]*m", "");
        Assert.Equal(CommandRun.OnKnownReview(args).Out, bare);
    }

    [Fact]
    public void Progress_on_a_terminal_wipes_its_own_line()
    {
        using TemporaryFolder folder = new();
        using StringWriter error = new();
        PushrodCommand.Run(
            ["analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath],
            new Screen(TextWriter.Null, error, ErrorIsTerminal: true),
            CommandRun.Known(SampleReviews.Full));
        Assert.EndsWith("\r" + new string(' ', "writing results".Length) + "\r", error.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain('\n', error.ToString());
    }

    [Fact]
    public void The_wished_speed_reaches_the_stages_in_metres_a_second()
    {
        using TemporaryFolder folder = new();
        double? asked = null;
        Pipeline pipeline = CommandRun.Known(SampleReviews.Full);
        Pipeline listening = pipeline with
        {
            Review = (log, car, request, step) =>
            {
                asked = request.AtSpeedMps;
                return pipeline.Review(log, car, request, step);
            },
        };
        CommandRun.With(listening, "analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--at", "252 km/h");
        Assert.Equal(70, asked!.Value, 10);
    }
}
