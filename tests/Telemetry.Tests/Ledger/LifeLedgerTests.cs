using System.Collections.Immutable;
using CsCheck;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Logs;
using Telemetry.Tests.Fatigue;

namespace Telemetry.Tests.Ledger;

public sealed class LifeLedgerTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("ledger").FullName;

    private string Path => System.IO.Path.Combine(folder, "parts.ledger");

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private static RunEntry Entry(string hash, double damage = 0.125, params double[] residue) => new(
        "run " + hash,
        hash,
        new DateTimeOffset(2026, 3, 1, 10, 0, 0, TimeSpan.Zero),
        [new ComponentEntry("PR-1", damage, 0.001, [.. residue], 10_000.1, null, false, true, ComponentVerdict.Inspect)]);

    private static FatigueResult Analyse(double[] samples, LifeLedger ledger, string hash) => FatigueAnalysis.From(
        LoadRuns.Of(LoadRuns.CarWith(LoadRuns.Pushrod()), TimeBase.Even(0, 1, samples.Length), (_, t) => samples[(int)t]),
        ledger.HistoryBefore(hash),
        FatigueOptions.Default);

    [Fact]
    public void A_file_that_does_not_exist_is_an_empty_ledger() => Assert.Empty(LifeLedger.Read(Path).Runs);

    [Fact]
    public void A_ledger_reads_back_as_it_was_written_to_the_last_digit()
    {
        LifeLedger ledger = LifeLedger.Empty.With(Entry("a", 1.0 / 3, 0.1, -2e-300, 5)).With(Entry("b", 0.2));
        LedgerFile.Write(Path, ledger);
        LifeLedger back = LifeLedger.Read(Path);
        Assert.Equal(2, back.Runs.Length);
        ComponentEntry part = back.Runs[0].Components[0];
        Assert.Equal(1.0 / 3, part.Damage);
        Assert.Equal([0.1, -2e-300, 5], part.ResidueN.AsSpan());
        Assert.Null(part.PeakTensionN);
        Assert.Equal(ComponentVerdict.Inspect, part.Verdict);
        Assert.Equal(ledger.Runs[1].StartedAtUtc, back.Runs[1].StartedAtUtc);
        Assert.Equal(3, File.ReadAllLines(Path).Length);
    }

    [Fact]
    public void The_same_log_counts_once_whatever_its_name()
    {
        LifeLedger ledger = LifeLedger.Empty.With(Entry("a"));
        Assert.Same(ledger, ledger.With(Entry("a", 0.9) with { Run = "renamed" }));
        Assert.True(ledger.Contains("a"));
        Assert.Equal(0.125, ledger.Before("PR-1").Damage);
    }

    [Fact]
    public void A_log_that_is_in_the_ledger_is_seen_with_the_history_before_it()
    {
        LifeLedger ledger = LifeLedger.Empty.With(Entry("a", 0.1)).With(Entry("b", 0.2)).With(Entry("c", 0.4));
        Assert.Equal(0.1, ledger.HistoryBefore("b").Of("PR-1").Damage, 1e-15);
        Assert.Equal(0.7, ledger.HistoryBefore("new").Of("PR-1").Damage, 1e-15);
        Assert.Equal(0, ledger.HistoryBefore("a").Of("PR-1").Damage);
        Assert.Equal(ComponentHistory.New, ledger.HistoryBefore("b").Of("PR-2"));
    }

    [Fact]
    public void Runs_kept_in_the_ledger_add_up_to_the_joined_history() =>
        Gen.Int[-10, 10].Select(x => 1000.0 * x).Array[2, 40].Array[1, 5].Sample(
            runs =>
            {
                LifeLedger ledger = LifeLedger.Empty;
                for (int i = 0; i < runs.Length; i++)
                {
                    string hash = $"log {i}";
                    ledger = ledger.With(RunEntry.Of(hash, hash, null, Analyse(runs[i], ledger, hash)));
                }

                double[] joined = [.. runs.SelectMany(run => run)];
                ComponentResult whole = Analyse(joined, LifeLedger.Empty, "").Components[0];
                ComponentHistory kept = ledger.Before("PR-1");
                Assert.Equal(whole.ResidueN.AsSpan(), kept.ResidueN.AsSpan());
                Assert.Equal(whole.DamageRun!.Value, kept.Damage, 1e-12 * Math.Max(whole.DamageRun.Value, 1e-9));
            },
            iter: 40,
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_run_whose_damage_is_not_known_leaves_the_sum_as_it_was()
    {
        RunEntry unknown = Entry("b") with { Components = [new ComponentEntry("PR-1", null, null, [], null, null, false, false, ComponentVerdict.Unknown)] };
        ComponentHistory history = LifeLedger.Empty.With(Entry("a", 0.25, 1, 2)).With(unknown).Before("PR-1");
        Assert.Equal(0.25, history.Damage);
        Assert.Equal([1, 2], history.ResidueN.AsSpan());
    }

    [Theory]
    [InlineData("", "line 1")]
    [InlineData("car = 1", "line 1")]
    [InlineData("{\"life_ledger\":2}", "format 2")]
    [InlineData("{\"life_ledger\":1}\n{\"run\":\"a\"", "line 2")]
    [InlineData("{\"life_ledger\":1}\n\n", "line 2")]
    [InlineData("{\"life_ledger\":1}\nnull", "line 2")]
    [InlineData("{\"life_ledger\":1}\n{\"run\":\"a\",\"log_hash\":\"h\",\"started_at_utc\":null,\"components\":[],\"colour\":1}", "line 2")]
    public void A_damaged_ledger_is_refused_with_its_line(string text, string named)
    {
        File.WriteAllText(Path, text);
        InputError error = Assert.Throws<InputError>(() => LifeLedger.Read(Path));
        Assert.Contains(named, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void All_damaged_lines_are_named_together_and_a_log_that_stands_twice_is_one_of_them()
    {
        LedgerFile.Write(Path, LifeLedger.Empty.With(Entry("a")));
        string line = File.ReadAllLines(Path)[1];
        File.AppendAllLines(Path, ["{}", line]);
        InputError error = Assert.Throws<InputError>(() => LifeLedger.Read(Path));
        Assert.Equal(2, error.Faults.Count);
        Assert.Contains("line 3", error.Message, StringComparison.Ordinal);
        Assert.Contains("line 4", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_named_as_ledger_is_refused() => Assert.Throws<InputError>(() => LifeLedger.Read(folder));

    [Fact]
    public void A_write_that_fails_leaves_the_old_ledger_and_nothing_beside_it()
    {
        LedgerFile.Write(Path, LifeLedger.Empty.With(Entry("a")));
        string target = System.IO.Path.Combine(folder, "taken");
        Directory.CreateDirectory(target);
        Assert.ThrowsAny<Exception>(() => LedgerFile.Write(target, LifeLedger.Empty));
        Assert.Single(LifeLedger.Read(Path).Runs);
        Assert.Equal(["parts.ledger"], Directory.GetFiles(folder).Select(System.IO.Path.GetFileName));
    }
}
