using System.Text.Json;
using Telemetry.Cli;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Output.Days;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

public class DayVerbTests
{
    /// <summary>A known review under the log's name and start, written without plots.</summary>
    private static Pipeline Quick() => CommandRun.Known(SampleReviews.Full) with
    {
        ReadLogHashed = (path, options) =>
        {
            if (File.ReadAllText(path).StartsWith("bad", StringComparison.Ordinal))
            {
                throw new InputError(Path.GetFileName(path), "It is bad.", "Mend it.");
            }

            (RunLog log, string hash) = CommandRun.Known(SampleReviews.Full).ReadLogHashed(path, options);
            return (log with { StartedAtUtc = Start(path) }, hash);
        },
        Review = (log, _, _, _) => SampleReviews.Full with { Run = SampleReviews.Full.Run with { Name = log.Name, StartedAtUtc = log.StartedAtUtc } },
        WriteResults = (review, folder, _) => ResultFolder.Write(folder, [draft => draft.Write("summary.json", SummaryFile.ToJson(SummaryFile.From(review)))]),
    };

    private static DateTimeOffset? Start(string path) => LogGlance.Of(path, LogOptions.Default).StartedAtUtc;

    private static string Log(TemporaryFolder folder, string name, int hour) =>
        folder.Write(name, FormattableString.Invariant($"time,x [N]\n2026-03-31T{hour:00}:00:00Z,1\n2026-03-31T{hour:00}:00:01Z,2\n"));

    [Fact]
    public void Each_log_gets_a_folder_and_the_day_stands_in_order_of_start()
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.With(Quick(), "analyse", Log(folder, "b.csv", 9), Log(folder, "a.csv", 11), Log(folder, "c.csv", 10), "--car", CommandRun.CarPath, "--out", folder["day"], "--quiet");
        Assert.Equal((0, ""), (run.Code, run.Error));
        Assert.Equal(["b", "c", "a"], DayFile.ReadRuns(folder["day"]).Select(one => one.Folder));
        Assert.All(["a", "b", "c"], name => Assert.True(File.Exists(folder["day", name, "summary.json"])));
        Assert.True(File.Exists(folder["day", "index.html"]));
        Assert.Equal(3, Directory.GetFiles(folder["day", "archive", "runs"]).Length);
        Assert.Contains("2026-03-31: 3 runs", run.Out, StringComparison.Ordinal);
        Assert.DoesNotContain(Directory.GetFileSystemEntries(folder["day"]), path => Path.GetFileName(path)[0] == '.');
    }

    [Fact]
    public void The_answers_do_not_depend_on_how_many_run_at_a_time_or_in_which_order_they_are_named()
    {
        using TemporaryFolder folder = new();
        string[] logs = [.. Enumerable.Range(1, 5).Select(i => Log(folder, $"{i}.csv", 8 + i))];
        CommandRun.With(Quick(), ["analyse", .. logs, "--car", CommandRun.CarPath, "--out", folder["x"], "--quiet"]);
        foreach (string log in logs.Reverse())
        {
            // A folder with one log is a day as well.
            Directory.CreateDirectory(folder["one"]);
            File.Copy(log, folder["one", Path.GetFileName(log)]);
            CommandRun.With(Quick(), "analyse", folder["one"], "--car", CommandRun.CarPath, "--out", folder["y"], "--quiet");
            Directory.Delete(folder["one"], recursive: true);
        }

        Assert.Equal(File.ReadAllText(folder["x", "day.json"]), File.ReadAllText(folder["y", "day.json"]));
        Assert.Equal(File.ReadAllText(folder["x", "index.html"]), File.ReadAllText(folder["y", "index.html"]));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Work_that_somebody_stops_is_no_failed_run_and_the_next_call_finishes_it(bool isWrapped)
    {
        using TemporaryFolder folder = new();
        string[] logs = [Log(folder, "a.csv", 9), Log(folder, "b.csv", 10)];
        OperationCanceledException stop = new("Stopped by Ctrl+C before 'thinking'.");
        Pipeline stopped = Quick() with
        {
            Review = (log, car, request, step) => log.Name == "b" ? throw (isWrapped ? new AggregateException(stop) : stop) : Quick().Review(log, car, request, step),
        };
        CommandRun run = CommandRun.With(stopped, ["analyse", .. logs, "--car", CommandRun.CarPath, "--out", folder["day"]]);
        Assert.Equal(130, run.Code);
        Assert.Contains("Stopped by Ctrl+C", run.Error, StringComparison.Ordinal);
        Assert.Equal(["a"], DayFile.ReadRuns(folder["day"]).Select(one => one.Folder));
        Assert.Equal(0, CommandRun.With(Quick(), ["analyse", .. logs, "--car", CommandRun.CarPath, "--out", folder["day"]]).Code);
        Assert.Equal(["a", "b"], DayFile.ReadRuns(folder["day"]).Select(one => one.Folder));
    }

    [Fact]
    public void A_log_that_fails_leaves_the_others_finished()
    {
        using TemporaryFolder folder = new();
        string bad = folder.Write("logs/bad.csv", "bad");
        Log(folder, "logs/a.csv", 9);
        Log(folder, "logs/b.csv", 10);
        CommandRun run = CommandRun.With(Quick(), "analyse", folder["logs"], "--car", CommandRun.CarPath, "--out", folder["day"], "--quiet");
        Assert.Equal(ExitCode.BadInput, run.Code);
        Assert.Equal("bad.csv: not analysed. bad.csv: It is bad. Mend it.\n", run.Error);
        Assert.Equal(2, DayFile.ReadRuns(folder["day"]).Count(one => one.IsDone));
        Assert.Contains("bad.csv: It is bad. Mend it.", File.ReadAllText(folder["day", "index.html"]), StringComparison.Ordinal);

        // Mended, it takes the place of its failure, and the exit code is good again.
        File.Delete(bad);
        Log(folder, "logs/bad.csv", 11);
        Assert.Equal(0, CommandRun.With(Quick(), "analyse", bad, folder["logs", "a.csv"], "--car", CommandRun.CarPath, "--out", folder["day"], "--quiet").Code);
        Assert.Equal(["a", "b", "bad"], DayFile.ReadRuns(folder["day"]).Where(one => one.IsDone).Select(one => one.Folder));
    }

    [Fact]
    public void The_ledger_is_booked_in_order_of_start_and_once_each()
    {
        using TemporaryFolder folder = new();
        string[] args = ["analyse", Log(folder, "late.csv", 15), Log(folder, "early.csv", 9), Log(folder, "noon.csv", 12), "--car", CommandRun.CarPath, "--out", folder["day"], "--ledger", folder["parts.db"], "--quiet"];
        Assert.Equal(0, CommandRun.With(Quick(), args).Code);
        LedgerContent content = LedgerDatabase.Open(LedgerAddress.Read(folder["parts.db"]), DateTimeOffset.UnixEpoch).Read();
        Assert.Equal(["early", "noon", "late"], content.Entries.Select(entry => entry.Run!.Run));
        CommandRun again = CommandRun.With(Quick(), args);
        Assert.Equal(3, again.Error.Split("nothing was added").Length - 1);
        Assert.Equal(3, LedgerDatabase.Open(LedgerAddress.Read(folder["parts.db"]), DateTimeOffset.UnixEpoch).Read().Entries.Length);
    }

    [Fact]
    public void The_same_content_twice_is_taken_once_and_equal_names_stay_apart()
    {
        using TemporaryFolder folder = new();
        string one = Log(folder, "first/log.csv", 9), two = Log(folder, "second/log.csv", 10);
        File.Copy(one, folder["copy.csv"]);
        CommandRun run = CommandRun.With(Quick(), "analyse", one, two, folder["copy.csv"], "--car", CommandRun.CarPath, "--out", folder["day"], "--quiet");
        Assert.Contains("taken once", run.Error, StringComparison.Ordinal);
        Assert.Equal(2, DayFile.ReadRuns(folder["day"]).Length);
    }

    [Fact]
    public void A_car_file_for_each_log_shows_what_changed_between_them()
    {
        using TemporaryFolder folder = new();
        string text = File.ReadAllText(CommandRun.CarPath);
        string other = folder.Write("other.toml", System.Text.RegularExpressions.Regex.Replace(text, "(?m)^fuel_at_start = .*$", "fuel_at_start = \"21 kg\""));
        Assert.NotEqual(text, File.ReadAllText(other));
        CommandRun run = CommandRun.With(Quick(), "analyse", Log(folder, "a.csv", 9), Log(folder, "b.csv", 10), "--car", CommandRun.CarPath, "--car", other, "--out", folder["day"], "--json", "--quiet");
        using JsonDocument day = JsonDocument.Parse(run.Out);
        JsonElement change = day.RootElement.GetProperty("changes")[0];
        Assert.Equal(1, change.GetProperty("from_run").GetInt32());
        Assert.Equal("21 kg", change.GetProperty("fields")[0].GetProperty("to").GetString());
    }

    [Theory]
    [InlineData("need a folder")]
    [InlineData("'--date' is for one log", "--out", "day", "--date", "2026-03-31")]
    [InlineData("2 car files are given for 3 logs", "--out", "day", "--car", "other.toml")]
    public void What_cannot_go_together_is_wrong_usage(string said, params string[] more)
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.With(Quick(), ["analyse", Log(folder, "a.csv", 9), Log(folder, "b.csv", 10), Log(folder, "c.csv", 11), "--car", CommandRun.CarPath, .. more.Select(word => word == "day" ? folder["day"] : word)]);
        Assert.Equal(ExitCode.WrongUsage, run.Code);
        Assert.Contains(said, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Missing_logs_and_folders_without_logs_are_told_together_before_any_work()
    {
        using TemporaryFolder folder = new();
        Directory.CreateDirectory(folder["empty"]);
        CommandRun run = CommandRun.With(Quick(), "analyse", folder["gone.csv"], folder["empty"], Log(folder, "a.csv", 9), "--car", CommandRun.CarPath, "--out", folder["day"], "--quiet");
        Assert.Equal(ExitCode.BadInput, run.Code);
        Assert.Contains("gone.csv: There is no such file.", run.Error, StringComparison.Ordinal);
        Assert.Contains("empty: The folder holds no log", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(folder["day", "a"]));
    }

    [Fact]
    public void Two_commands_do_not_write_one_day_at_a_time()
    {
        using TemporaryFolder folder = new();
        using (Telemetry.Cli.Days.DayLock held = Telemetry.Cli.Days.DayLock.Take(folder["day"]))
        {
            CommandRun run = CommandRun.With(Quick(), "analyse", Log(folder, "a.csv", 9), Log(folder, "b.csv", 10), "--car", CommandRun.CarPath, "--out", folder["day"], "--quiet");
            Assert.Equal(ExitCode.NotWritten, run.Code);
            Assert.Contains("is writing this day", run.Error, StringComparison.Ordinal);
        }

        Assert.Equal(0, CommandRun.With(Quick(), "analyse", folder["a.csv"], folder["b.csv"], "--car", CommandRun.CarPath, "--out", folder["day"], "--quiet").Code);
    }
}
