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
        Assert.Empty(run.Error);
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
        CommandRun run = CommandRun.OnKnownReview("analyse", folder.Write("run7", "x"), "--car", CommandRun.CarPath);
        Assert.True(File.Exists(folder["run7-results", "summary.json"]));
        Assert.Contains("'run7' is a file, so the results are in 'run7-results'", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_of_the_runs_name_beside_the_log_does_not_silently_send_the_results_elsewhere()
    {
        using TemporaryFolder folder = new();
        folder.Write("run7", "notes");
        CommandRun run = CommandRun.OnKnownReview("analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--quiet");
        Assert.Equal((0, "'run7' is a file, so the results are in 'run7-results' beside it. Choose another folder with --out.\n"), (run.Code, run.Error));
    }

    [Fact]
    public void A_default_folder_that_is_not_ours_is_refused_before_the_analysis()
    {
        using TemporaryFolder folder = new();
        folder.Write("run7/notes.txt", "mine");
        CommandRun run = CommandRun.OnKnownReview("analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath);
        Assert.Equal(ExitCode.NotWritten, run.Code);
        Assert.DoesNotContain("thinking", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("analyse", "--ledger", "ledger")]
    [InlineData("analyse", "--zeros", "zero file")]
    [InlineData("check", "--zeros", "zero file")]
    public void A_kept_file_that_cannot_be_written_is_told_before_the_log_is_read(string verb, string option, string what)
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.OnKnownReview(verb, folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, option, folder["nowhere", "parts.jsonl"]);
        Assert.Equal(ExitCode.NotWritten, run.Code);
        Assert.Contains($"The {what} cannot be written", run.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("reading", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(folder["run7"]));
    }

    [Fact]
    public void A_ledger_that_is_none_is_bad_input_before_the_log_is_read()
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.OnKnownReview("analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--ledger", folder.Write("parts.jsonl", "x"));
        Assert.Equal(ExitCode.BadInput, run.Code);
        Assert.DoesNotContain("reading", run.Error, StringComparison.Ordinal);
        Assert.Equal("x", File.ReadAllText(folder["parts.jsonl"]));
        Assert.False(Directory.Exists(folder["run7"]));
    }

    [Fact]
    public void A_ledger_knows_a_run_by_the_sha_256_of_the_bytes_that_were_read()
    {
        // FIPS 180-4, by the runtime's own SHA-256 of the file.
        using TemporaryFolder folder = new();
        string log = folder.Write("run7.csv", "time [s],x\n0,1\n1,2\n");
        Telemetry.Logs.LogReader.Read(log, Telemetry.Logs.LogOptions.Default, out string hash);
        Assert.Equal(Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(File.ReadAllBytes(log))), hash);
        CommandRun run = CommandRun.OnKnownReview("analyse", log, "--car", CommandRun.CarPath, "--ledger", folder["parts.db"]);
        Assert.Equal(0, run.Code);
        Assert.Equal(hash, Telemetry.Ledgers.LedgerDatabase.Open(Telemetry.Ledgers.LedgerAddress.Read(folder["parts.db"]), DateTimeOffset.UnixEpoch).Read().State.Runs.Single().Entry.Run!.LogHash);
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
    public void Short_work_on_a_terminal_shows_no_progress()
    {
        using TemporaryFolder folder = new();
        using StringWriter error = new();
        PushrodCommand.Run(
            ["analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath],
            new Screen(TextWriter.Null, error, ErrorIsTerminal: true),
            CommandRun.Known(SampleReviews.Full));
        Assert.Empty(error.ToString());
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
