using System.Diagnostics;
using Telemetry.Cli;
using Telemetry.Cli.Days;
using Telemetry.Cli.Watching;
using Telemetry.Ledgers;
using Telemetry.Output;
using Telemetry.Output.Days;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

public class WatchVerbTests
{
    private static readonly string Rough = Path.Combine(Repository.Root, "sample-runs", "rough");

    /// <summary>The command as a person has it, built beside the tests.</summary>
    private static string Command
    {
        get
        {
            DirectoryInfo own = new(AppContext.BaseDirectory.TrimEnd(Path.DirectorySeparatorChar));
            return Path.Combine(own.Parent!.Parent!.FullName, "Telemetry.Cli", own.Name, OperatingSystem.IsWindows() ? "pushrod.exe" : "pushrod");
        }
    }

    private static Process Start(TemporaryFolder folder, params string[] more) => Process.Start(new ProcessStartInfo(
        Command, ["watch", folder["logs"], "--car", folder["car.toml"], "--out", folder["day"], "--ledger", folder["parts.db"], "--every", "0.05 s", "--no-plots", .. more])
    { RedirectStandardError = true, RedirectStandardOutput = true })!;

    private static void Until(Func<bool> isSo, Process process)
    {
        Stopwatch waited = Stopwatch.StartNew();
        while (!isSo())
        {
            Assert.False(process.HasExited, "It ended before its time.");
            Assert.True(waited.Elapsed < TimeSpan.FromSeconds(120), "It did not come to it.");
            Thread.Sleep(20);
        }
    }

    [Fact]
    public async Task A_slow_copy_is_waited_for_and_a_kill_and_a_restart_repeat_nothing()
    {
        using TemporaryFolder folder = new();
        Directory.CreateDirectory(folder["logs"]);
        File.Copy(Path.Combine(Rough, "car.toml"), folder["car.toml"]);
        byte[] log = File.ReadAllBytes(Path.Combine(Rough, "log.parquet"));

        // Half of it arrives and rests; the command tells it once and does not touch it.
        File.WriteAllBytes(folder["logs", "run1.parquet"], log[..(log.Length / 2)]);
        using (Process first = Start(folder))
        {
            string told = "";
            while (!told.Contains("still being copied", StringComparison.Ordinal))
            {
                told = await first.StandardError.ReadLineAsync(TestContext.Current.CancellationToken) ?? throw new InvalidOperationException("It ended.");
            }

            Assert.Contains("run1.parquet", told, StringComparison.Ordinal);
            Assert.False(Directory.Exists(folder["day", "run1"]));

            // The rest comes; the process is killed in the midst of the analysis.
            using (FileStream rest = new(folder["logs", "run1.parquet"], FileMode.Append))
            {
                rest.Write(log.AsSpan(log.Length / 2));
            }

            Until(() => Directory.Exists(folder["day", "cars"]), first);
            first.Kill(entireProcessTree: true);
            await first.WaitForExitAsync(TestContext.Current.CancellationToken);
        }

        // Started again it does the run and ends by itself when nothing more comes.
        using (Process second = Start(folder, "--end-after", "0.5 s"))
        {
            Task<string> error = second.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
            Assert.Contains("rough", await second.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken), StringComparison.OrdinalIgnoreCase);
            await second.WaitForExitAsync(TestContext.Current.CancellationToken);
            Assert.Equal(0, second.ExitCode);
            Assert.Contains("1 analysed, 0 failed", await error, StringComparison.Ordinal);
        }

        DateTime written = File.GetLastWriteTimeUtc(folder["day", "run1", "summary.json"]);
        using (Process third = Start(folder, "--end-after", "0.5 s"))
        {
            Task<string> output = third.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
            Assert.Contains("0 analysed, 0 failed, 1 known from before", await third.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
            Assert.Empty(await output);
            await third.WaitForExitAsync(TestContext.Current.CancellationToken);
        }

        Assert.Equal(written, File.GetLastWriteTimeUtc(folder["day", "run1", "summary.json"]));
        Assert.True(DayFile.ReadRuns(folder["day"]).Single().IsDone);
        Assert.Single(LedgerDatabase.Open(LedgerAddress.Read(folder["parts.db"]), DateTimeOffset.UnixEpoch).Read().Entries);
        Assert.DoesNotContain(Directory.GetFileSystemEntries(folder["day"]), path => Path.GetFileName(path) is ".in-use");
    }

    [Fact]
    public async Task Ctrl_c_in_the_midst_of_a_run_ends_after_it()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "A signal is sent with the kill of a Unix.");
        using TemporaryFolder folder = new();
        Directory.CreateDirectory(folder["logs"]);
        File.Copy(Path.Combine(Rough, "car.toml"), folder["car.toml"]);
        File.Copy(Path.Combine(Rough, "log.parquet"), folder["logs", "one.parquet"]);
        using Process process = Start(folder);
        Task<string> output = process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        string told = "";
        while (!told.Contains("one: whole, and being analysed.", StringComparison.Ordinal))
        {
            told = await process.StandardError.ReadLineAsync(TestContext.Current.CancellationToken) ?? throw new InvalidOperationException("It ended.");
        }

        // The same code hears both signals; INT is ignored by all that a shell starts in the background, such as these tests on a build machine.
        using Process kill = Process.Start("kill", ["-TERM", process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]);
        string rest = await process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(0, process.ExitCode);
        Assert.Contains("Ending after one.", rest, StringComparison.Ordinal);
        Assert.Contains("Ended: 1 analysed", rest, StringComparison.Ordinal);
        Assert.NotEmpty(await output);
        Assert.True(DayFile.ReadRuns(folder["day"]).Single().IsDone);
    }

    [Theory]
    [InlineData("review")]
    [InlineData("results")]
    [InlineData("booked")]
    public void A_run_that_is_broken_off_anywhere_is_done_again_and_counts_once(string where)
    {
        using TemporaryFolder folder = Prepared();
        folder.Write("logs/a.csv", "time [s],x [N]\n0,1\n");
        bool isFirst = true;
        void BreakOff(string here)
        {
            // Nothing catches this but the watch, which leaves the log as it would be found after a kill: not in day.json.
            if (here == where && isFirst)
            {
                isFirst = false;
                throw new LogMovedOn("a.csv");
            }
        }

        Pipeline known = CommandRun.Known(SampleReviews.Full);
        Pipeline broken = known with
        {
            Review = (log, car, request, step) =>
            {
                BreakOff("review");
                return known.Review(log, car, request, step);
            },
            WriteResults = (review, to, _) =>
            {
                ResultFolder.Write(to, [draft => draft.Write("summary.json", SummaryFile.ToJson(SummaryFile.From(review)))]);
                BreakOff("results");
            },
            KeepLife = (review, request) =>
            {
                string? told = known.KeepLife(review, request);
                BreakOff("booked");
                return told;
            },
        };
        Loop(folder, broken, folder["parts.db"]);
        Assert.False(isFirst);
        Assert.Equal("a", DayFile.ReadRuns(folder["day"]).Single(run => run.IsDone).Folder);
        Assert.Single(LedgerDatabase.Open(LedgerAddress.Read(folder["parts.db"]), DateTimeOffset.UnixEpoch).Read().Entries);
        Assert.Single(Directory.GetFiles(folder["archive", "runs"]));
    }

    [Fact]
    public async Task Ctrl_c_ends_with_a_word()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "A signal is sent with the kill of a Unix.");
        using TemporaryFolder folder = new();
        Directory.CreateDirectory(folder["logs"]);
        File.Copy(Path.Combine(Rough, "car.toml"), folder["car.toml"]);
        using Process process = Start(folder);
        Assert.Contains("Watching", await process.StandardError.ReadLineAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        // The same code hears both signals; INT is ignored by all that a shell starts in the background, such as these tests on a build machine.
        using Process kill = Process.Start("kill", ["-TERM", process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]);
        string rest = await process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(0, process.ExitCode);
        Assert.Contains("Ended: 0 analysed", rest, StringComparison.Ordinal);
    }

    /// <summary>The loop in this process on stages that take no time; a poll every hundredth of a second.</summary>
    private static string Loop(TemporaryFolder folder, Pipeline? pipeline = null, string? ledger = null)
    {
        using StringWriter error = new();
        Screen screen = new(TextWriter.Null, error);
        pipeline ??= CommandRun.Known(SampleReviews.Full) with
        {
            WriteResults = (review, where, _) => ResultFolder.Write(where, [draft => draft.Write("summary.json", SummaryFile.ToJson(SummaryFile.From(review)))]),
        };
        DayWish wish = new(folder["day"], folder["archive"], null, ledger, null, Telemetry.Cleaning.CleaningOptions.Default, new() { WithPlots = false });
        WatchWish watch = new(folder["logs"], folder["car.toml"], TimeSpan.FromMilliseconds(10), TimeSpan.FromMilliseconds(120), IsQuiet: true);
        Assert.Equal(0, new WatchLoop(screen, pipeline, wish, watch).Run(TestContext.Current.CancellationToken));
        return error.ToString();
    }

    private static TemporaryFolder Prepared()
    {
        TemporaryFolder folder = new();
        Directory.CreateDirectory(folder["logs"]);
        File.Copy(CommandRun.CarPath, folder["car.toml"]);
        return folder;
    }

    [Fact]
    public void Only_whole_logs_are_analysed_and_the_end_names_what_was_not()
    {
        using TemporaryFolder folder = Prepared();
        folder.Write("logs/whole.csv", "time [s],x [N]\n0,1\n");
        folder.Write("logs/half.csv", "time [s],x [N]\n0,1");
        folder.Write("logs/coming.csv.partial", "time [s],x [N]\n0,1\n");
        folder.Write("logs/.hidden.csv", "time [s],x [N]\n0,1\n");
        string told = Loop(folder);
        Assert.Equal(["whole"], DayFile.ReadRuns(folder["day"]).Select(run => run.Folder));
        Assert.Equal(2, told.Split("half.csv: still being copied (it does not end with a line end)").Length);
        Assert.Contains("Not whole and not analysed: half.csv.", told, StringComparison.Ordinal);
    }

    [Fact]
    public void A_failed_log_is_kept_with_its_reason_and_tried_again_with_another_car_file_only()
    {
        using TemporaryFolder folder = Prepared();
        folder.Write("logs/a.csv", "time [s],x [N]\n0,1\n");
        int reads = 0;
        Pipeline failing = CommandRun.Known(SampleReviews.Full) with
        {
            ReadLogHashed = (_, _) =>
            {
                reads++;
                throw new InputError("a.csv", "No channel of that name.", "Name it in the car file.");
            },
        };
        Assert.Contains("a.csv: not analysed. a.csv: No channel of that name.", Loop(folder, failing), StringComparison.Ordinal);
        Assert.Contains("is not tried again", Loop(folder, failing), StringComparison.Ordinal);
        Assert.Equal(1, reads);
        File.AppendAllText(folder["car.toml"], "\n# mended\n");
        string told = Loop(folder);
        Assert.Contains("The car file has changed (only comments or layout). Runs from now on use it", told, StringComparison.Ordinal);
        Assert.True(DayFile.ReadRuns(folder["day"]).Single().IsDone);
    }

    [Fact]
    public void Logs_wait_while_the_car_file_cannot_be_used()
    {
        using TemporaryFolder folder = Prepared();
        folder.Write("logs/a.csv", "time [s],x [N]\n0,1\n");
        File.WriteAllText(folder["car.toml"], "half a fi");
        string told = Loop(folder);
        Assert.Equal(2, told.Split("The car file cannot be used, so logs wait").Length);
        Assert.Empty(DayFile.ReadRuns(folder["day"]));
    }

    [Fact]
    public void A_folder_that_is_not_there_and_results_among_the_logs_are_refused()
    {
        using TemporaryFolder folder = Prepared();
        Assert.Equal(ExitCode.BadInput, CommandRun.Of("watch", folder["gone"], "--car", folder["car.toml"], "--out", folder["day"]).Code);
        Assert.Equal(ExitCode.WrongUsage, CommandRun.Of("watch", folder["logs"], "--car", folder["car.toml"], "--out", folder["logs"]).Code);
        Assert.Equal(ExitCode.WrongUsage, CommandRun.Of("watch", folder["logs"], "--car", folder["car.toml"], "--out", folder["day"], "--every", "0 s").Code);
    }
}
