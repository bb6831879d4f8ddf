using Telemetry.Cli;
using Telemetry.Output;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

public class ExitCodeTests
{
    [Theory]
    [InlineData("")]
    [InlineData("analyze run7.csv")]
    [InlineData("analyse")]
    [InlineData("analyse run7.csv")]
    [InlineData("analyse run7.csv --car")]
    [InlineData("analyse run7.csv --car car.toml --colour")]
    [InlineData("analyse run7.csv --car car.toml --at 250")]
    [InlineData("analyse run7.csv --car car.toml --at fast")]
    [InlineData("analyse run7.csv --car car.toml --at 3mm")]
    [InlineData("analyse run7.csv --car car.toml --at -5km/h")]
    [InlineData("check")]
    [InlineData("compare a")]
    [InlineData("compare a b")]
    [InlineData("shims --car car.toml")]
    [InlineData("shims --car car.toml --front 1mm --rear 1mm --rake 1deg")]
    [InlineData("simulate s.toml --seed many")]
    public void A_wrong_call_ends_with_2_and_says_where_help_is(string line)
    {
        CommandRun run = CommandRun.OnKnownReview(line.Split(' ', StringSplitOptions.RemoveEmptyEntries));
        Assert.Equal(2, run.Code);
        Assert.Empty(run.Out);
        Assert.StartsWith("pushrod", run.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("System.", run.Error, StringComparison.Ordinal);
        Assert.Matches(@"See 'pushrod[a-z ]* --help'\.\n$", run.Error);
    }

    [Fact]
    public void An_unknown_verb_is_answered_with_the_known_ones() => Assert.Equal(
        "pushrod: 'analyze' is neither a verb nor an option. Did you mean 'analyse'? Verbs: analyse, check, import, cut, compare, life, shims, simulate, watch, completion. See 'pushrod --help'.\n",
        CommandRun.Of("analyze").Error);

    // What is missing is told in the words of the help, not in those of the parser.
    [Theory]
    [InlineData("analyse --car car.toml", "pushrod analyse: LOG is missing: the run's log: CSV or Parquet")]
    [InlineData("analyse run7.csv", "pushrod analyse: Option '--car' is missing: the car file (TOML)")]
    [InlineData("analyse run7.csv --car", "pushrod analyse: Option '--car' needs a value behind it: the car file (TOML)")]
    [InlineData("simulate", "pushrod simulate: SCENARIO is missing: ")]
    [InlineData("completion", "pushrod completion: SHELL is missing: ")]
    [InlineData("life show", "pushrod life show: Option '--ledger' is missing: the life ledger")]
    [InlineData("life inspect --ledger x.db --result ok", "pushrod life inspect: PART is missing: serial number")]
    public void What_is_missing_is_named_and_told(string line, string begin) =>
        Assert.StartsWith(begin, CommandRun.OnKnownReview(line.Split(' ')).Error, StringComparison.Ordinal);

    [Theory]
    [InlineData("analyse nosuch.csv --car CAR")]
    [InlineData("analyse nosuch.csv --car nosuch.toml")]
    [InlineData("import nosuch.csv")]
    [InlineData("check --car nosuch.toml")]
    [InlineData("simulate nosuch.toml")]
    [InlineData("life --ledger nosuch.db")]
    public void Input_that_is_not_there_ends_with_3(string line)
    {
        CommandRun run = CommandRun.Of([.. line.Split(' ').Select(word => word == "CAR" ? CommandRun.CarPath : word)]);
        Assert.Equal(3, run.Code);
        Assert.Contains("nosuch", run.Error + run.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("time [s],PR FL [N]\n")]
    [InlineData("time [s],speed [km/h]\n0,1\n0.1,oops\n")]
    [InlineData("\u0000\u0001\u0002PNG\u0000\u0000")]
    public void A_log_that_cannot_be_used_ends_with_3_and_leaves_nothing_behind(string text)
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.Of("analyse", folder.Write("run7.csv", text), "--car", CommandRun.CarPath, "--quiet");
        Assert.Equal(3, run.Code);
        Assert.Contains("run7.csv", run.Error, StringComparison.Ordinal);
        Assert.Empty(run.Out);
        Assert.Equal(["run7.csv"], Directory.EnumerateFileSystemEntries(folder.Root).Select(Path.GetFileName));
    }

    [Fact]
    public void A_result_folder_that_is_not_ours_ends_with_4_and_is_left_alone()
    {
        using TemporaryFolder folder = new();
        string log = folder.Write("run7.csv", "x");
        folder.Write("notes/precious.txt", "x");
        CommandRun run = CommandRun.OnKnownReview("analyse", log, "--car", CommandRun.CarPath, "--out", folder["notes"]);
        Assert.Equal(4, run.Code);
        Assert.Contains("--out", run.Error, StringComparison.Ordinal);
        Assert.Empty(run.Out);
    }

    [Fact]
    public void A_folder_below_a_file_ends_with_4()
    {
        using TemporaryFolder folder = new();
        string log = folder.Write("run7.csv", "x");
        CommandRun run = CommandRun.OnKnownReview("analyse", log, "--car", CommandRun.CarPath, "--out", Path.Combine(log, "below"));
        Assert.Equal(4, run.Code);
        Assert.Empty(run.Out);
    }

    [Fact]
    public void An_import_does_not_replace_a_file_unasked()
    {
        using TemporaryFolder folder = new();
        string log = folder.Write("run7.csv", "time [s],a [N]\n0,1\n0.1,2\n0.2,3\n");
        Assert.Equal(0, CommandRun.Of("import", log).Code);
        byte[] first = File.ReadAllBytes(folder["run7.parquet"]);
        Assert.Equal(4, CommandRun.Of("import", log).Code);
        Assert.Equal(0, CommandRun.Of("import", log, "--force").Code);
        Assert.Equal(first, File.ReadAllBytes(folder["run7.parquet"]));
        Assert.Equal(4, CommandRun.Of("import", folder["run7.parquet"]).Code);

        // A place that is named and taken is refused before the log is read: this one is no log at all.
        Assert.Equal(4, CommandRun.Of("import", folder.Write("bad.csv", "no log"), "--out", folder["run7.parquet"]).Code);
        Assert.Equal(first, File.ReadAllBytes(folder["run7.parquet"]));
    }

    [Fact]
    public void A_finding_ends_with_1_only_where_asked()
    {
        using TemporaryFolder folder = new();
        string log = folder.Write("run7.csv", "x");
        Assert.Equal(0, CommandRun.OnKnownReview("analyse", log, "--car", CommandRun.CarPath).Code);
        Assert.Equal(1, CommandRun.OnKnownReview("analyse", log, "--car", CommandRun.CarPath, "--fail-on-finding").Code);
    }

    [Fact]
    public void A_clean_run_ends_with_0_where_findings_are_asked_for()
    {
        using TemporaryFolder folder = new();
        var clean = SampleReviews.Full with
        {
            Actions = [],
            Kerbs = SampleReviews.Full.Kerbs with { Strikes = [] },
            Fatigue = SampleReviews.Full.Fatigue with { Components = [] },
        };
        CommandRun run = CommandRun.With(CommandRun.Known(clean), "analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--fail-on-finding");
        Assert.Equal(0, run.Code);
    }

    [Fact]
    public void A_fault_of_the_program_is_one_sentence_and_ends_with_70()
    {
        using TemporaryFolder folder = new();
        Pipeline broken = CommandRun.Known(SampleReviews.Full) with { Review = (_, _, _, _) => throw new AggregateException(new InvalidOperationException("secret detail")) };
        CommandRun run = CommandRun.With(broken, "analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--quiet");
        Assert.Equal(70, run.Code);
        Assert.StartsWith("pushrod analyse: This is a fault of the program, not of your input (InvalidOperationException).", run.Error, StringComparison.Ordinal);
        Assert.Single(run.Error.TrimEnd('\n').Split('\n'));
        Assert.DoesNotContain("secret detail", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void An_input_error_from_another_thread_is_still_an_input_error()
    {
        using TemporaryFolder folder = new();
        Pipeline broken = CommandRun.Known(SampleReviews.Full) with
        {
            Review = (_, _, _, _) => throw new AggregateException(new InvalidOperationException(), new InputError("run7.csv", "It is of another car.", "Give its own car file.")),
        };
        CommandRun run = CommandRun.With(broken, "analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--quiet");
        Assert.Equal((3, "run7.csv: It is of another car. Give its own car file.\n"), (run.Code, run.Error));
    }

    [Fact]
    public void A_message_cannot_steer_the_terminal()
    {
        using TemporaryFolder folder = new();
        Pipeline hostile = CommandRun.Known(SampleReviews.Full) with { ReadLog = (_, _) => throw new InputError("\u001b]0;title\u0007", "x.", "y.") };
        CommandRun run = CommandRun.With(hostile, "analyse", folder.Write("run7.csv", "x"), "--car", CommandRun.CarPath, "--quiet");
        Assert.DoesNotContain('\u001b', run.Error);
    }
}
