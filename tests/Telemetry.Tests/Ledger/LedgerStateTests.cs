using System.Collections.Immutable;
using CsCheck;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Logs;
using Telemetry.Tests.Fatigue;

namespace Telemetry.Tests.Ledger;

public class LedgerStateTests
{
    private static readonly CarDefinition Car = CarFile.Parse(LedgerRuns.CarText, "car.toml");

    private static LedgerState State(params LedgerEntry[] entries) => LedgerState.From(entries, LedgerRuns.Strengths());

    /// <summary>The part of the real car file on the load of a made run, with its reversal filter off so that any two runs join exactly.</summary>
    private static ComponentResult Analyse(double[] samples, DamageHistory before) => FatigueAnalysis.From(
        LoadRuns.Of(LoadRuns.CarWith(Component()), TimeBase.Even(0, 1, samples.Length), (_, t) => samples[(int)t]), before, FatigueOptions.Default).Components[0];

    private static ComponentDefinition Component() => LoadRuns.Pushrod() with
    {
        Id = Car.Components.First(part => part.Fatigue is not null).Id,
        Fatigue = Car.Components.First(part => part.Fatigue is not null).Fatigue! with { SmallestRangeN = 0 },
    };

    private static PartStrengths Unfiltered()
    {
        // The kept text states the filter of the same part; without the line it is 0.
        string text = string.Join('\n', LedgerRuns.CarText.Split('\n').Where(line => !line.Contains("smallest_range", StringComparison.Ordinal)));
        return new(new Dictionary<string, string> { [LedgerRuns.CarHash] = text });
    }

    private static RunFigures RunOf(int number, double[] samples, DamageHistory before) =>
        LedgerRuns.At(number, LedgerRuns.Run($"log {number}", PartFigures.Of(Analyse(samples, before))));

    [Fact]
    public void Runs_in_any_order_of_arrival_and_analysed_again_add_up_to_the_joined_history() =>
        Gen.Select(Gen.Int[-10, 10].Select(x => 1000.0 * x).Array[2, 40].Array[1, 6], Gen.Int[0, 1000]).Sample(
            (runs, seed) =>
            {
                Random random = new(seed);
                int[] arrival = [.. Enumerable.Range(0, runs.Length)];
                random.Shuffle(arrival);
                List<LedgerEntry> entries = [];
                foreach (int number in arrival)
                {
                    if (random.Next(3) == 0)
                    {
                        // A first analysis with other settings, which the next replaces.
                        entries.Add(LedgerRuns.Entry(entries.Count + 1, RunOf(number, [.. runs[number].Select(x => 1.5 * x)], DamageHistory.Empty)));
                    }

                    DamageHistory before = LedgerState.HistoryBefore(entries, Unfiltered(), $"log {number}", LedgerRuns.FirstStart.AddMinutes(number));
                    entries.Add(LedgerRuns.Entry(entries.Count + 1, RunOf(number, runs[number], before)));
                }

                // Outside check: one count of all samples joined, which knows no ledger.
                ComponentResult whole = Analyse([.. runs.SelectMany(run => run)], DamageHistory.Empty);
                PartLife part = LedgerState.From(entries, Unfiltered()).Parts.Single();
                Assert.Equal(whole.DamageRun!.Value, part.Damage, 1e-12 * Math.Max(whole.DamageRun.Value, 1e-9));
                Assert.Equal(whole.ResidueDamage!.Value, part.OpenDamage, 1e-12 * Math.Max(whole.DamageRun.Value, 1e-9));
                Assert.Equal(runs.Length, part.Runs.Length);
            },
            iter: 60,
            seed: "0000KOIkZbA5");

    [Fact]
    public void What_a_run_in_order_is_told_is_what_the_sum_grows_by() =>
        Gen.Int[-10, 10].Select(x => 1000.0 * x).Array[2, 40].Array[2, 5].Sample(
            runs =>
            {
                List<LedgerEntry> entries = [];
                for (int number = 0; number < runs.Length; number++)
                {
                    DamageHistory before = LedgerState.HistoryBefore(entries, Unfiltered(), $"log {number}", null);
                    entries.Add(LedgerRuns.Entry(number + 1, RunOf(number, runs[number], before)));
                }

                PartLife part = LedgerState.From(entries, Unfiltered()).Parts.Single();
                Assert.All(part.Runs, run => Assert.Equal(run.Figures.DamageTold!.Value, run.Added!.Value, 1e-12 * Math.Max(part.Damage, 1e-9)));
            },
            iter: 30,
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_log_counts_once_with_its_newest_analysis_and_the_earlier_ones_stay()
    {
        LedgerState state = State(
            LedgerRuns.Entry(1, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25))),
            LedgerRuns.Entry(2, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.125)) with { Run = "renamed" }));
        PartLife part = state.Parts.Single();
        Assert.Equal(0.125, part.Damage);
        Assert.Equal([1L], part.Runs.Single().Place.Earlier.Select(entry => entry.Number));
    }

    [Fact]
    public void A_run_that_came_late_stands_at_its_start_and_one_without_a_start_behind_the_one_entered_before_it()
    {
        LedgerState state = State(
            LedgerRuns.Entry(1, LedgerRuns.At(10, LedgerRuns.Run("b", LedgerRuns.Part("P", 1)))),
            LedgerRuns.Entry(2, LedgerRuns.Run("c", LedgerRuns.Part("P", 1))),
            LedgerRuns.Entry(3, LedgerRuns.At(20, LedgerRuns.Run("d", LedgerRuns.Part("P", 1)))),
            LedgerRuns.Entry(4, LedgerRuns.At(5, LedgerRuns.Run("a", LedgerRuns.Part("P", 1)))));
        Assert.Equal(["a", "b", "c", "d"], state.Runs.Select(run => run.Entry.Run!.LogHash));
        Assert.Equal([true, false, false, false], state.Runs.Select(run => run.CameLate));
    }

    [Fact]
    public void A_correction_strikes_an_entry_out_and_a_corrected_correction_strikes_nothing()
    {
        LedgerEntry[] entries =
        [
            LedgerRuns.Entry(1, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25))),
            LedgerRuns.Entry(2, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.5))),
            new() { Number = 3, Kind = EntryKind.Correct, Corrects = 2, AtUtc = LedgerRuns.Now, EnteredAtUtc = LedgerRuns.Now },
            new() { Number = 4, Kind = EntryKind.Correct, Corrects = 3, AtUtc = LedgerRuns.Now, EnteredAtUtc = LedgerRuns.Now },
        ];
        Assert.Equal(0.25, State(entries[..3]).Parts.Single().Damage);
        Assert.Equal(0.5, State(entries).Parts.Single().Damage);
        Assert.Empty(State(entries[0], new() { Number = 2, Kind = EntryKind.Correct, Corrects = 1, AtUtc = LedgerRuns.Now, EnteredAtUtc = LedgerRuns.Now }).Parts);
    }

    [Fact]
    public void Damage_charged_by_hand_counts_and_a_run_of_unknown_damage_makes_the_sum_a_lower_bound()
    {
        PartLife part = State(
            LedgerRuns.Entry(1, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25))),
            LedgerRuns.Entry(2, LedgerRuns.Run("b", LedgerRuns.Part("P", 0) with { ClosedDamage = null, DamageTold = null })),
            LedgerRuns.Mark(EntryKind.Charge, "P", number: 3) with { Damage = 0.125 }).Parts.Single();
        Assert.Equal(0.375, part.Damage);
        Assert.Equal(0.125, part.DamageByHand);
        Assert.True(part.IsLowerBound);
        Assert.Equal(75, part.LifeUsedPct);
    }

    [Fact]
    public void The_history_before_a_log_leaves_out_the_log_and_what_came_after()
    {
        LedgerEntry[] entries =
        [
            LedgerRuns.Entry(1, LedgerRuns.At(0, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25)))),
            LedgerRuns.Entry(2, LedgerRuns.At(1, LedgerRuns.Run("b", LedgerRuns.Part("P", 0.5)))),
        ];
        double Before(string hash, int? minute) => LedgerState.HistoryBefore(entries, LedgerRuns.Strengths(), hash, minute is { } at ? LedgerRuns.FirstStart.AddMinutes(at) : null).Of("P").Damage;
        Assert.Equal(0.25, Before("b", 1));
        Assert.Equal(0, Before("a", 0));
        Assert.Equal(0.75, Before("new", null));
        Assert.Equal(0.25, Before("new", 0));
        Assert.Equal(0, Before("new", -1));
    }

    [Fact]
    public void Runs_of_the_old_form_add_up_as_they_did_there_and_a_new_run_before_them_is_doubted()
    {
        ComponentEntry old = new("P", 0.25, 0.0625, [1000, -500], 9000, null, false, false, ComponentVerdict.Run);
        LedgerEntry first = LedgerRuns.Entry(1, OldRuns.Of(new("one", "a", LedgerRuns.FirstStart, [old])));
        LedgerEntry second = LedgerRuns.Entry(2, OldRuns.Of(new("two", "b", LedgerRuns.FirstStart.AddMinutes(9), [old with { Damage = 0.5, ResidueN = [1500, -700] }])));
        PartLife part = State(first, second).Parts.Single();
        Assert.Equal(0.75, part.Damage);
        Assert.Equal(0.0625, part.OpenDamage);
        Assert.Equal([1500, -700], part.OpenPointsN.AsSpan());
        Assert.Empty(part.Doubts);
        LedgerEntry between = LedgerRuns.Entry(3, LedgerRuns.At(5, LedgerRuns.Run("c", LedgerRuns.Part("P", 0.125))));
        Assert.Contains("run 'two'", Assert.Single(State(first, second, between).Parts.Single().Doubts), StringComparison.Ordinal);
    }

    [Fact]
    public void A_join_whose_car_file_cannot_be_read_keeps_what_was_told_and_says_so()
    {
        LedgerEntry run = LedgerRuns.Entry(1, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25, 1000, -500) with { DamageTold = 0.375, OpenDamageTold = 0.125 }) with { CarHash = null });
        PartLife part = State(run).Parts.Single();
        Assert.Equal(0.375, part.Damage);
        Assert.Contains("car file", Assert.Single(part.Doubts), StringComparison.Ordinal);
    }

    [Fact]
    public void What_people_entered_is_held_against_what_ran()
    {
        LedgerEntry fit = LedgerRuns.Mark(EntryKind.Fit, "P", -10, 1) with { Car = "car 7", Corner = "FR" };
        LedgerEntry run = LedgerRuns.Entry(2, LedgerRuns.At(0, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25))));
        Assert.Contains("at FL by its car file, and it was fitted to FR", Assert.Single(State(fit, run).Parts.Single().Doubts), StringComparison.Ordinal);
        Assert.Contains("taken off", Assert.Single(State(fit with { Kind = EntryKind.Remove }, run).Parts.Single().Doubts), StringComparison.Ordinal);
        Assert.Contains("retired", Assert.Single(State(fit with { Kind = EntryKind.Retire }, run).Parts.Single().Doubts), StringComparison.Ordinal);
        Assert.Empty(State(fit with { Corner = "FL" }, run).Parts.Single().Doubts);
        Assert.Contains("car 8", Assert.Single(State(fit with { Corner = "FL", Car = "car 8" }, run).Parts.Single().Doubts), StringComparison.Ordinal);
    }

    [Fact]
    public void Where_a_part_is_fitted_follows_fits_removals_and_retirement()
    {
        LedgerEntry fit = LedgerRuns.Mark(EntryKind.Fit, "P", 0, 1) with { Car = "car 7", Corner = "FL" };
        LedgerEntry moved = LedgerRuns.Mark(EntryKind.Fit, "P", 5, 2) with { Car = "car 7", Corner = "FR" };
        LedgerEntry off = LedgerRuns.Mark(EntryKind.Remove, "P", 3, 3);
        Assert.Equal("FR", State(fit, moved).Parts.Single().Fitted!.Corner);
        Assert.Equal("FR", State(fit, moved, off).Parts.Single().Fitted!.Corner);
        Assert.Null(State(fit, off).Parts.Single().Fitted);
        Assert.Null(State(fit, LedgerRuns.Mark(EntryKind.Retire, "P", 6, 4)).Parts.Single().Fitted);
    }

    [Fact]
    public void Entries_that_make_no_sense_are_refused_together()
    {
        LedgerEntry bad = LedgerRuns.Mark(EntryKind.Fit, "P\0") with { By = "", Text = "\ud800", Corner = "XX", Car = "c", Corrects = 9 };
        InputError error = Assert.Throws<InputError>(() => EntryRules.Require(bad, []));
        Assert.Equal(5, error.Faults.Count);
        Assert.Throws<InputError>(() => EntryRules.Require(LedgerRuns.Mark(EntryKind.Charge, "P") with { Damage = double.NaN }, []));
        Assert.Throws<InputError>(() => EntryRules.Require(LedgerRuns.Mark(EntryKind.Fit, "P"), []));
        EntryRules.Require(LedgerRuns.Mark(EntryKind.Inspect, "P'; DROP TABLE life_entry; --"), []);
    }
}
