using Telemetry.Ledgers;
using Telemetry.Output;
using Telemetry.Tests.Cli;
using Telemetry.Tests.Ledger;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Hostile;

/// <summary>Places that vanish, are shared, or have names that nobody expects.</summary>
public class OutputFaultTests
{
    [Fact]
    public void A_folder_taken_away_while_it_is_written_is_an_error_and_no_part_of_a_result_is_left()
    {
        using TemporaryFolder folder = new();
        OutputError error = Assert.Throws<OutputError>(() => ResultFolder.Write(folder["disk", "run"],
        [
            draft =>
            {
                draft.Write(ResultFolder.Mark, "{}"u8.ToArray());
                Directory.Delete(folder["disk"], recursive: true);
                draft.Write("report.html", "<p>"u8.ToArray());
            },
        ]));
        Assert.Contains("taken away", error.Found, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFileSystemEntries(folder.Root));
    }

    [Fact]
    public void A_file_that_vanished_before_the_end_is_an_error()
    {
        using TemporaryFolder folder = new();
        Assert.Throws<OutputError>(() => ResultFolder.Write(folder["run"],
        [
            draft =>
            {
                draft.Write(ResultFolder.Mark, "{}"u8.ToArray());
                File.Delete(Directory.GetFiles(folder.Root, ResultFolder.Mark, new EnumerationOptions { RecurseSubdirectories = true, AttributesToSkip = 0 }).Single());
            },
        ]));
        Assert.Empty(Directory.GetFileSystemEntries(folder.Root));
    }

    [Fact]
    public void Writers_of_one_folder_at_once_leave_one_whole_result_and_nothing_beside_it()
    {
        using TemporaryFolder folder = new();
        string target = folder["run"];
        int[] done = new int[4];
        Parallel.For(0, done.Length, new ParallelOptions { MaxDegreeOfParallelism = done.Length }, writer =>
        {
            for (int round = 0; round < 40; round++)
            {
                byte[] own = [(byte)('0' + writer)];
                try
                {
                    ResultFolder.Write(target, [draft => draft.Write(ResultFolder.Mark, own), draft => draft.Write("tables/laps.csv", own), draft => draft.Write("report.html", own)]);
                    done[writer]++;
                }
                catch (OutputError)
                {
                    // Another was first: said, and nothing of this one is left.
                }
            }
        });
        Assert.True(done.Sum() > 0);
        Assert.Equal(["run"], Directory.GetFileSystemEntries(folder.Root).Select(Path.GetFileName));
        SortedDictionary<string, byte[]> files = CommandProcess.Files(target);
        Assert.Equal(3, files.Count);
        Assert.Single(files.Values.Select(bytes => bytes.Single()).Distinct());
    }

    [Fact]
    public void A_clock_set_back_between_two_entries_loses_neither_and_keeps_their_order()
    {
        using TemporaryFolder folder = new();
        LedgerDatabase ledger = LedgerDatabase.Open(LedgerAddress.Read(folder["parts.db"]), LedgerRuns.Now);
        ledger.Record(LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25)), LedgerRuns.CarText, LedgerRuns.Now);
        ledger.Record(LedgerRuns.Run("b", LedgerRuns.Part("P", 0.125)), LedgerRuns.CarText, LedgerRuns.Now.AddYears(-3));
        ledger.Record(LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25)), LedgerRuns.CarText, LedgerRuns.Now.AddYears(-4));
        Assert.Empty(ledger.Verify());
        Assert.Equal([1, 2], ledger.Read().Entries.Select(entry => entry.Number));
        Assert.Equal(0.375, ledger.Read().State.Of("P")!.Damage);
    }

    public static TheoryData<string> Names => ["a run", "it's \"quoted\"", "two\nlines", "日本 крыло é", "=1+1", "-rf", "$(id) `id` ;|&", "%s%n{0}", ".hidden", "tab\there", new string('n', 240), new string('語', 80)];

    [Theory]
    [MemberData(nameof(Names))]
    public void A_log_of_any_name_has_its_results_beside_it(string name)
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Windows forbids some of these names.");
        using TemporaryFolder folder = new();
        string log = folder.Write(name + ".csv", "time,x\n0,1\n");
        CommandRun run = CommandRun.OnKnownReview("analyse", log, "--car", CommandRun.CarPath, "--quiet");
        Assert.True(run.Code == 0, run.Error);
        Assert.Equal(new[] { name, name + ".csv" }.Order(StringComparer.Ordinal), Directory.GetFileSystemEntries(folder.Root).Select(Path.GetFileName).Order(StringComparer.Ordinal));
        Assert.True(File.Exists(folder[name, ResultFolder.Mark]));
        Assert.DoesNotContain(name.Contains('\n', StringComparison.Ordinal) ? name : "\u001b", run.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void A_name_longer_than_a_name_may_be_ends_with_4_before_the_work()
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.OnKnownReview("analyse", folder.Write("run.csv", "time,x\n0,1\n"), "--car", CommandRun.CarPath, "--quiet", "--out", folder[new string('n', 300)]);
        Assert.Equal(4, run.Code);
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
        Assert.Equal(["run.csv"], Directory.GetFileSystemEntries(folder.Root).Select(Path.GetFileName));
    }

    [Fact]
    public void A_link_stays_a_link_and_the_result_goes_where_it_points()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Making links needs a right on Windows.");
        using TemporaryFolder folder = new();
        string log = folder.Write("run.csv", "time,x\n0,1\n");
        File.CreateSymbolicLink(folder["latest.csv"], log);
        Directory.CreateDirectory(folder["real"]);
        Directory.CreateSymbolicLink(folder["out"], folder["real"]);
        for (int again = 0; again < 2; again++)
        {
            CommandRun run = CommandRun.OnKnownReview("analyse", folder["latest.csv"], "--car", CommandRun.CarPath, "--quiet", "--out", folder["out"]);
            Assert.True(run.Code == 0, run.Error);
            Assert.NotNull(new DirectoryInfo(folder["out"]).LinkTarget);
            Assert.True(File.Exists(folder["real", ResultFolder.Mark]));
        }

        Assert.Equal(["latest.csv", "out", "real", "run.csv"], Directory.GetFileSystemEntries(folder.Root).Select(Path.GetFileName).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void A_link_to_itself_ends_with_4()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Making links needs a right on Windows.");
        using TemporaryFolder folder = new();
        Directory.CreateSymbolicLink(folder["out"], folder["out"]);
        CommandRun run = CommandRun.OnKnownReview("analyse", folder.Write("run.csv", "time,x\n0,1\n"), "--car", CommandRun.CarPath, "--quiet", "--out", folder["out"]);
        Assert.Equal(4, run.Code);
        Assert.Equal(["out", "run.csv"], Directory.GetFileSystemEntries(folder.Root).Select(Path.GetFileName).Order(StringComparer.Ordinal));
    }
}
