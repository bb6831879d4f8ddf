using System.Diagnostics;
using System.Globalization;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.LedgerWriter;

namespace Telemetry.Tests.Ledger;

public sealed class SqliteKillTests(ITestOutputHelper output) : LedgerKillTests<SqlitePlace>(output);

public sealed class PostgresKillTests(ITestOutputHelper output) : LedgerKillTests<PostgresPlace>(output);

/// <summary>
/// Real processes that write to one ledger and are killed (SIGKILL) at random instants: while they start, make the tables, write and between writes. TELEMETRY_KILLS=n sets how often.
/// </summary>
public abstract class LedgerKillTests<TPlace>(ITestOutputHelper output) : IDisposable
    where TPlace : ILedgerPlace, new()
{
    /// <summary>Kills of one ledger before a new one is begun, so that making the tables is hit as well.</summary>
    private const int KillsOfOne = 10;

    private readonly TPlace place = new();

    public void Dispose()
    {
        place.Dispose();
        GC.SuppressFinalize(this);
    }

    private static int Kills => int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_KILLS"), NumberStyles.None, CultureInfo.InvariantCulture, out int kills) ? kills : 12;

    private static Process Start(string address, int first, int count, int step = 1)
    {
        // .artifacts/bin/Telemetry.Tests/debug -> .artifacts/bin/Telemetry.LedgerWriter/debug
        DirectoryInfo own = new(AppContext.BaseDirectory.TrimEnd(Path.DirectorySeparatorChar));
        ProcessStartInfo start = new(Path.Combine(own.Parent!.Parent!.FullName, "Telemetry.LedgerWriter", own.Name, "ledger-writer")) { RedirectStandardOutput = true };
        foreach (string word in new[] { address, first.ToString(CultureInfo.InvariantCulture), count.ToString(CultureInfo.InvariantCulture), step.ToString(CultureInfo.InvariantCulture) })
        {
            start.ArgumentList.Add(word);
        }

        return Process.Start(start)!;
    }

    private static LedgerDatabase Open(string address) => LedgerDatabase.Open(LedgerAddress.Read(address), WriterRuns.Now);

    /// <summary>Numbers of the runs that the ledger holds, each checked to be whole; the sums are checked against the arithmetic of the test itself.</summary>
    private static SortedSet<int> Held(string address)
    {
        LedgerDatabase ledger = Open(address);
        Assert.Empty(ledger.Verify());
        SortedSet<int> held = [];
        LedgerContent content = ledger.Read();
        foreach (LedgerEntry entry in content.Entries)
        {
            RunFigures run = entry.Run!;
            int number = int.Parse(run.LogHash.AsSpan("log-".Length), CultureInfo.InvariantCulture);
            Assert.True(held.Add(number), $"run {number} stands twice");
            Assert.Equal((WriterRuns.PartCount, 2, 1), (run.Parts.Length, run.Laps.Length, run.Readings.Length));
            Assert.All(run.Parts, part => Assert.Equal(2, part.DamageByLap.Length));
        }

        double sum = held.Sum(number => (number + 1) * WriterRuns.Quantum);
        for (int part = 0; held.Count > 0 && part < WriterRuns.PartCount; part++)
        {
            Assert.Equal(sum, content.State.Of(WriterRuns.Part(part))!.Damage);
        }

        return held;
    }

    [Fact]
    public void A_writer_killed_at_any_instant_has_entered_each_run_once_or_not_at_all()
    {
        Random random = new(1);
        int unfinished = 0;
        int beforeReady = 0;
        int acknowledged = 0;
        int unheard = 0;
        string address = "";
        SortedSet<int> held = [];
        for (int kill = 0; kill < Kills; kill++)
        {
            bool isNew = kill % KillsOfOne == 0;
            if (isNew)
            {
                address = place.NewAddress();
                held = [];
            }

            // Two runs that are in already are entered again: they must not count twice.
            int first = Math.Max(0, held.Count - 2);
            using Process writer = Start(address, first, 100_000);
            List<string> said = [];

            // A new ledger: killed while the runtime starts and the tables are made. Else four times of five once it is in the stride of writing, any instant of some writes.
            int heard = isNew ? 0 : random.Next(5) == 0 ? 1 : 2;
            while (said.Count < heard)
            {
                said.Add(writer.StandardOutput.ReadLine() ?? throw new InvalidOperationException("the writer ended by itself"));
            }

            Thread.Sleep(isNew ? random.Next(60, 400) : random.Next(0, 60));
            Thread.SpinWait(random.Next(20_000));
            writer.Kill();
            said.AddRange(writer.StandardOutput.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries));
            writer.WaitForExit();
            Assert.Equal(137, writer.ExitCode);
            place.AwaitQuiet(address);
            bool hasJournal = File.Exists(address + "-journal");

            int[] told = [.. said.Skip(1).Select(line => int.Parse(line, CultureInfo.InvariantCulture))];
            SortedSet<int> now = Held(address);
            Assert.True(now.IsSupersetOf(held) && now.IsSupersetOf(told), "a run that was reported as entered is gone");
            Assert.Equal(Enumerable.Range(0, now.Count), now);
            Assert.InRange(now.Count, Math.Max(held.Count, first + told.Length), Math.Max(held.Count, first + told.Length + 1));
            unfinished += hasJournal ? 1 : 0;
            beforeReady += said.Count == 0 ? 1 : 0;
            acknowledged += told.Length;
            unheard += now.Count > Math.Max(held.Count, first + told.Length) ? 1 : 0;
            held = now;
        }

        output.WriteLine($"{Kills} kills; {beforeReady} before the ledger was open, {unfinished} within a transaction (its journal was left), {unheard} between a commit and its report; {acknowledged} runs reported, each found once");
    }

    [Fact]
    public void Writers_at_once_enter_disjoint_and_the_same_runs_each_exactly_once()
    {
        const int Writers = 4;
        const int Runs = 12;
        string address = place.NewAddress();

        // Writers 0 and 1 share the even runs, 2 and 3 the odd ones; all begin with a ledger that is not there.
        Process[] writers = [.. Enumerable.Range(0, Writers).Select(i => Start(address, i / 2, Runs, 2))];
        foreach (Process writer in writers)
        {
            string said = writer.StandardOutput.ReadToEnd();
            writer.WaitForExit();
            Assert.True(writer.ExitCode == 0, said);
            Assert.Equal(Runs + 1, said.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);
            writer.Dispose();
        }

        Assert.Equal(Enumerable.Range(0, 2 * Runs), Held(address));
    }
}
