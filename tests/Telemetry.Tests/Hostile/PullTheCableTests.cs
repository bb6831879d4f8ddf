using System.Diagnostics;
using System.Globalization;
using Telemetry.Ledgers;
using Telemetry.Output;
using Telemetry.Tests.Ledger;
using Telemetry.Tests.Logs;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Hostile;

/// <summary>A command that is killed, or whose disk is full, read-only or gone: the result is there whole or not at all. TELEMETRY_KILLS=n sets how often it is killed.</summary>
[Collection(nameof(MeasuredMemory))]
public class PullTheCableTests
{
    private static readonly string Run = Path.Combine(Repository.Root, "sample-runs", "baseline");

    private static readonly Dictionary<string, string?> Nothing = [];

    private static string[] Analyse(string folder, params string[] more) =>
        ["analyse", Path.Combine(Run, "log.parquet"), "--car", Path.Combine(Run, "car.toml"), "--out", folder, "--no-plots", "--quiet", .. more];

    private static int Kills => int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_KILLS"), NumberStyles.None, CultureInfo.InvariantCulture, out int kills) ? kills : 8;

    [Fact]
    public void Killed_at_any_instant_the_result_is_whole_or_the_earlier_one()
    {
        using TemporaryFolder folder = new();
        string reference = folder["reference"];
        Stopwatch clock = Stopwatch.StartNew();
        Assert.Equal(0, CommandProcess.Run(CommandProcess.Program, Nothing, Analyse(reference)).Code);
        int longestMs = (int)clock.ElapsedMilliseconds;
        SortedDictionary<string, byte[]> whole = CommandProcess.Files(reference);
        Random random = new(1);
        for (int kill = 0; kill < Kills; kill++)
        {
            // Odd ones replace an earlier result, which is marked by another summary.
            string target = folder[$"run{kill}"];
            bool hasEarlier = kill % 2 == 1;
            if (hasEarlier)
            {
                ResultFolder.Write(target, [draft => draft.Write(ResultFolder.Mark, "{}"u8.ToArray())]);
            }

            using (Process process = CommandProcess.Start(CommandProcess.Program, Nothing, Analyse(target)))
            {
                // Most of them in the last third, where the result is written.
                Thread.Sleep(random.Next(kill % 3 == 0 ? 0 : longestMs * 2 / 3, longestMs + 1));
                process.Kill();
                process.WaitForExit();
            }

            string[] kept = [.. Directory.GetDirectories(folder.Root, $".run{kill}.*.before")];
            if (!Directory.Exists(target))
            {
                Assert.True(!hasEarlier || kept.Length == 1, "the earlier result is gone");
                continue;
            }

            SortedDictionary<string, byte[]> found = CommandProcess.Files(target);
            if (hasEarlier && found.Count == 1)
            {
                Assert.Equal("{}"u8, found[ResultFolder.Mark]);
                continue;
            }

            Assert.Equal(whole.Keys, found.Keys);
            Assert.All(whole, file => Assert.True(file.Value.AsSpan().SequenceEqual(found[file.Key]), file.Key));
        }

        // What the dead left behind goes with the next writing of the same place, an hour later.
        foreach (string left in Directory.GetFiles(folder.Root, ".*.lock"))
        {
            File.SetLastWriteTimeUtc(left, File.GetLastWriteTimeUtc(left).AddHours(-2));
        }

        for (int kill = 0; kill < Kills; kill++)
        {
            ResultFolder.Write(folder[$"run{kill}"], [draft => draft.Write(ResultFolder.Mark, "{}"u8.ToArray())]);
        }

        Assert.Empty(Directory.GetFileSystemEntries(folder.Root, ".*"));
    }

    [Fact]
    public void Disk_full_while_results_are_written_leaves_nothing_and_ends_with_4() =>
        OnDisk("size=300k", "", (code, left, error) =>
        {
            Assert.Equal(4, code);
            Assert.Contains("the disk is full", error, StringComparison.Ordinal);
            Assert.Empty(left);
        });

    [Fact]
    public void A_disk_that_can_only_be_read_ends_with_4_and_says_so() =>
        OnDisk("ro", "", (code, left, error) =>
        {
            Assert.Equal(4, code);
            Assert.Contains("the disk can only be read", error, StringComparison.Ordinal);
            Assert.Empty(left);
        });

    [Fact]
    public void Disk_full_while_the_ledger_is_kept_ends_with_4_and_leaves_the_ledger_as_it_was()
    {
        using TemporaryFolder folder = new();
        string ledger = folder["parts.db"];
        LedgerDatabase database = LedgerDatabase.Open(LedgerAddress.Read(ledger), LedgerRuns.Now);
        database.Record(LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25)), LedgerRuns.CarText, LedgerRuns.Now);
        long size = new FileInfo(ledger).Length / 1024;
        string copy = folder["copy.db"];
        OnDisk($"size={size + 8}k", $"cp '{ledger}' \"$DISK/parts.db\" && LEDGER=\"$DISK/parts.db\"; AFTER='cp \"'\"$DISK\"'/parts.db\" \"{copy}\"'", (code, left, error) =>
        {
            Assert.Equal(4, code);
            Assert.DoesNotContain("   at ", error, StringComparison.Ordinal);
            Assert.Equal(["parts.db"], left.Where(name => !name.EndsWith("-journal", StringComparison.Ordinal)));
            Assert.Empty(LedgerDatabase.Open(LedgerAddress.Read(copy), LedgerRuns.Now).Verify());
            Assert.Single(LedgerDatabase.Open(LedgerAddress.Read(copy), LedgerRuns.Now).Read().Entries);
        }, folder["out"]);
    }

    /// <summary>Runs the command on a small disk in memory, in a mount space of its own so that nothing stays mounted; skipped where that is not allowed.</summary>
    private static void OnDisk(string options, string before, Action<int, string[], string> then, string? results = null)
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "A small disk is mounted with Linux's own tools.");
        using TemporaryFolder folder = new();
        string disk = Directory.CreateDirectory(folder["disk"]).FullName;
        string mount = $"mount -t tmpfs -o {options} none '{disk}'";
        Assert.SkipUnless(File.Exists("/usr/bin/unshare") && CommandProcess.Run("/usr/bin/unshare", Nothing, "-rm", "sh", "-c", mount).Code == 0, "This machine lets nobody mount a disk in a mount space of their own (unshare -rm).");
        string script = folder.Write("on-disk.sh", $"""
            DISK='{disk}'
            {mount} || exit 99
            LEDGER=
            AFTER=:
            {before}
            if [ -n "$LEDGER" ]; then set -- "$@" --ledger "$LEDGER"; fi
            "$@" >&2
            echo $?
            ls -A "$DISK"
            eval "$AFTER"
            """.ReplaceLineEndings("\n"));
        (_, string output, string error) = CommandProcess.Run("/usr/bin/unshare", Nothing, ["-rm", "sh", script, CommandProcess.Program, .. Analyse(results ?? Path.Combine(disk, "result"))]);
        string[] lines = output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.True(lines.Length > 0, error);
        then(int.Parse(lines[0], CultureInfo.InvariantCulture), lines[1..], error);
    }
}
