using System.Collections.Immutable;
using CsCheck;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Logs;
using Telemetry.WheelLoads;

namespace Telemetry.Tests.Fatigue;

public class FatigueAnalysisTests
{
    private static readonly TimeBase Time = TimeBase.Even(0, 0.01, 12_000);

    /// <summary>A load that goes through the given values one after the other, a second each, by straight lines.</summary>
    private static double Through(double[] values, double t)
    {
        int i = Math.Min((int)t, values.Length - 1);
        return i + 1 < values.Length ? values[i] + ((t - i) * (values[i + 1] - values[i])) : values[^1];
    }

    private static ComponentResult Analyse(ComponentDefinition part, double[] values, DamageHistory? before = null, double zeroUncertaintyN = 0, string? noZero = null)
    {
        WheelLoadSet wheels = LoadRuns.Of(LoadRuns.CarWith(part), Time, (_, t) => Through(values, t), zeroUncertaintyN: zeroUncertaintyN, noZero: noZero);
        return Assert.Single(FatigueAnalysis.From(wheels, before ?? DamageHistory.Empty, FatigueOptions.Default).Components);
    }

    [Fact]
    public void Peaks_damage_and_life_of_a_hand_made_run_are_those_worked_out_by_hand()
    {
        // By hand: 0 to 10 kN to -5 kN to 0: three half cycles of 10, 15 and 5 kN on N = 1e6 (10 kN / S)^5: (1 + 1.5^5 + 0.5^5) / 2e6.
        ComponentResult result = Analyse(LoadRuns.Pushrod(), [0, 10_000, -5_000, 0]);
        double expected = (1 + Math.Pow(1.5, 5) + Math.Pow(0.5, 5)) / 2e6;
        Assert.Equal(10_000, result.PeakCompressionN, 1e-9);
        Assert.Equal(1.0, result.PeakCompressionS, 1e-9);
        Assert.Equal(5_000, result.PeakTensionN, 1e-9);
        Assert.Equal(2.0, result.PeakTensionS, 1e-9);
        Assert.Equal(expected, result.DamageRun!.Value, 1e-18);
        Assert.Equal(100 * expected, result.LifeUsedPct!.Value, 1e-15);
        Assert.Equal(0.2, result.MarginOfSafety, 1e-12);
        Assert.Equal(ComponentVerdict.Run, result.Verdict);

        // (sum n S^5 / 1e6)^(1/5), the same sum.
        Assert.Equal(10_000 * Math.Pow(expected, 0.2), result.EquivalentRangeN!.Value, 1e-9);
    }

    [Fact]
    public void Damage_is_charged_to_the_laps_of_both_turning_points()
    {
        // Lap 1 ends at 60 s. By hand: 0 at 0 s to 10 kN at 59 s lies in lap 1; 10 kN to -10 kN at 61 s is shared; -10 kN to 0 at 119 s is lap 2's.
        double[] values = [.. Enumerable.Range(0, 120).Select(s => s <= 59 ? 10_000.0 * s / 59 : s == 60 ? 0 : -10_000.0 + ((s - 61) * 10_000.0 / 58))];
        ComponentResult result = Analyse(LoadRuns.Pushrod(), values);
        Assert.Equal(2, result.DamageByLap.Length);
        Assert.Equal((0.5 + 8) * 1e-6, result.DamageByLap[0], 1e-15);
        Assert.Equal((0.5 + 8) * 1e-6, result.DamageByLap[1], 1e-15);
        Assert.Equal(result.DamageRun!.Value, result.DamageByLap.Sum(), 1e-18);
    }

    [Fact]
    public void Two_runs_one_after_the_other_cost_what_the_joined_history_costs() =>
        Gen.Select(Gen.Int[-10, 10].Select(x => 1000.0 * x).Array[2, 60], Gen.Int[-10, 10].Select(x => 1000.0 * x).Array[2, 60]).Sample(
            (first, second) =>
            {
                ComponentDefinition part = LoadRuns.Pushrod() with { Fatigue = LoadRuns.Pushrod().Fatigue! with { MeanRule = MeanStressRule.Goodman, UltimateStrength = 60_000 } };
                TimeBase one = TimeBase.Even(0, 1, first.Length);
                TimeBase two = TimeBase.Even(0, 1, second.Length);
                TimeBase both = TimeBase.Even(0, 1, first.Length + second.Length);
                double[] joined = [.. first, .. second];
                ComponentResult a = Of(part, one, first, DamageHistory.Empty);
                ComponentHistory between = new(a.DamageRun!.Value, a.ResidueDamage!.Value, a.ResidueN);
                ComponentResult b = Of(part, two, second, new(ImmutableDictionary<string, ComponentHistory>.Empty.Add("PR-1", between)));
                ComponentResult whole = Of(part, both, joined, DamageHistory.Empty);
                Assert.Equal(whole.ResidueN.AsSpan(), b.ResidueN.AsSpan());
                double expected = whole.DamageRun!.Value;
                Assert.Equal(expected, a.DamageRun!.Value + b.DamageRun!.Value, 1e-12 * Math.Max(expected, 1e-9));
                Assert.Equal(b.DamageRun!.Value, b.DamageByLap.Sum(), 1e-12 * Math.Max(expected, 1e-9));
            },
            iter: 60,
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_part_past_its_limit_is_retired_and_the_reason_says_by_how_much()
    {
        ComponentResult result = Analyse(LoadRuns.Pushrod() with { LimitFactor = 1.1 }, [0, 11_500, 0]);
        Assert.Equal(ComponentVerdict.Retire, result.Verdict);

        // By hand: 12 / (1.1 * 11.5) - 1.
        Assert.Equal((12 / (1.1 * 11.5)) - 1, result.MarginOfSafety, 1e-12);
        Assert.Equal("11.50 kN of compression at 1.00 s (12.65 kN with the factor 1.1) is past the limit of 12.00 kN (margin -0.05).", result.Reasons[0]);
        Assert.Equal(1, result.DecisiveReasons);
    }

    [Fact]
    public void A_part_past_the_inspection_threshold_is_inspected()
    {
        ComponentResult result = Analyse(LoadRuns.Pushrod() with { InspectionThresholdN = 9_000 }, [0, 9_500, 0]);
        Assert.Equal(ComponentVerdict.Inspect, result.Verdict);
    }

    [Fact]
    public void A_part_whose_life_is_used_up_is_retired()
    {
        DamageHistory worn = new(ImmutableDictionary<string, ComponentHistory>.Empty.Add("PR-1", new(0.9999999, 0, [])));
        Assert.Equal(ComponentVerdict.Retire, Analyse(LoadRuns.Pushrod(), [0, 10_000, 0], worn).Verdict);
    }

    [Fact]
    public void A_part_that_went_past_a_limit_before_is_retired_however_gentle_this_run_was()
    {
        const string past = "It went past a limit in run 'hard'.";
        DamageHistory history = new(ImmutableDictionary<string, ComponentHistory>.Empty.Add("PR-1", ComponentHistory.New with { PastLimit = past }));
        ComponentResult gentle = Analyse(LoadRuns.Pushrod(), [0, 100, 0], history);
        Assert.Equal(ComponentVerdict.Retire, gentle.Verdict);
        Assert.Equal((past, 1), (gentle.Reasons[0], gentle.DecisiveReasons));
        Assert.True(gentle.MarginOfSafety > 0);

        ComponentResult blind = Analyse(LoadRuns.Pushrod(), [double.NaN, double.NaN, double.NaN], history);
        Assert.Equal((ComponentVerdict.Retire, past), (blind.Verdict, blind.Reasons[0]));
        Assert.NotEqual(ComponentVerdict.Retire, Analyse(LoadRuns.Pushrod(), [0, 100, 0]).Verdict);
    }

    [Fact]
    public void A_part_with_less_life_left_than_a_run_costs_is_inspected()
    {
        // The run costs 1e-6 (by hand: one cycle of 10 kN in halves); 1.5e-6 is left before it.
        DamageHistory worn = new(ImmutableDictionary<string, ComponentHistory>.Empty.Add("PR-1", new(1 - 1.5e-6, 0, [])));
        Assert.Equal(ComponentVerdict.Inspect, Analyse(LoadRuns.Pushrod(), [0, 10_000, 0], worn).Verdict);
    }

    [Fact]
    public void Without_a_limit_the_verdict_is_unknown()
    {
        ComponentResult result = Analyse(LoadRuns.Pushrod() with { CompressionLimitN = null, TensionLimitN = null }, [0, 10_000, 0]);
        Assert.Equal(ComponentVerdict.Unknown, result.Verdict);
        Assert.True(double.IsNaN(result.MarginOfSafety));
    }

    [Fact]
    public void Without_a_zero_ranges_are_counted_and_peaks_are_not()
    {
        DamageHistory before = new(ImmutableDictionary<string, ComponentHistory>.Empty.Add("PR-1", new(0.1, 0.01, [0, 9_000])));
        ComponentResult result = Analyse(LoadRuns.Pushrod(), [0, 10_000, 0], before, noZero: "There was no standstill.");
        Assert.True(double.IsNaN(result.PeakCompressionN));
        Assert.Equal(1e-6, result.DamageRun!.Value, 1e-18);
        Assert.Equal([0, 9_000], result.ResidueN.AsSpan());
        Assert.Equal(0.01, result.ResidueDamage!.Value);
        Assert.Equal(ComponentVerdict.Unknown, result.Verdict);
        Assert.Contains(result.Reasons, reason => reason.Contains("There was no standstill.", StringComparison.Ordinal));
    }

    [Fact]
    public void Without_a_zero_a_mean_stress_rule_gives_no_damage()
    {
        ComponentDefinition part = LoadRuns.Pushrod();
        part = part with { Fatigue = part.Fatigue! with { MeanRule = MeanStressRule.SmithWatsonTopper } };
        ComponentResult result = Analyse(part, [0, 10_000, 0], noZero: "There was no standstill.");
        Assert.Null(result.DamageRun);
        Assert.Null(result.LifeUsedPct);
    }

    [Fact]
    public void Low_passed_loads_are_refused_with_the_reason()
    {
        WheelLoadSet wheels = LoadRuns.Of(LoadRuns.CarWith(LoadRuns.Pushrod()), Time, (_, t) => t, isLowPassed: true);
        FatigueResult result = FatigueAnalysis.From(wheels, DamageHistory.Empty, FatigueOptions.Default);
        Assert.Contains("low-passed", result.WithheldBecause, StringComparison.Ordinal);
        Assert.Null(result.Components[0].DamageRun);
        Assert.Equal(ComponentVerdict.Unknown, result.Components[0].Verdict);
    }

    [Fact]
    public void A_cell_at_its_range_limit_makes_the_peak_a_lower_bound()
    {
        // The plain car's cells end at 20 kN.
        ComponentDefinition part = LoadRuns.Pushrod() with { CompressionLimitN = 50_000 };
        ComponentResult result = Analyse(part, [0, 20_000, 20_000, 0]);
        Assert.True(result.PeakIsLowerBound);
        Assert.Equal(ComponentVerdict.Inspect, result.Verdict);
        Assert.False(Analyse(part, [0, 19_000, 0]).PeakIsLowerBound);
    }

    [Fact]
    public void A_load_that_is_missing_for_long_cannot_be_judged()
    {
        WheelLoadSet wheels = LoadRuns.Of(LoadRuns.CarWith(LoadRuns.Pushrod()), Time, (_, t) => t is > 50 and < 55 ? double.NaN : 1000 * Math.Sin(t));
        ComponentResult result = FatigueAnalysis.From(wheels, DamageHistory.Empty, FatigueOptions.Default).Components[0];
        Assert.Equal(0.0416, result.MissingShare, 1e-3);
        Assert.Equal(ComponentVerdict.Unknown, result.Verdict);
    }

    [Fact]
    public void A_lone_sample_far_from_its_neighbours_is_pointed_out()
    {
        TimeBase fast = TimeBase.Even(0, 0.001, 20_000);
        WheelLoadSet wheels = LoadRuns.Of(LoadRuns.CarWith(LoadRuns.Pushrod()), fast, (_, t) => Math.Abs(t - 9.5) < 1e-4 ? 11_000 : 1000 * Math.Sin(t));
        ComponentResult result = FatigueAnalysis.From(wheels, DamageHistory.Empty, FatigueOptions.Default).Components[0];
        Assert.Equal(11_000, result.PeakCompressionN, 1e-9);
        Assert.Contains(result.Reasons, reason => reason.Contains("single sample", StringComparison.Ordinal));
    }

    [Fact]
    public void Zero_and_gain_widen_the_damage_as_worked_out_by_hand()
    {
        // One slope, no mean rule: a gain of 1 +- 1.96 * 1 % makes the damage (1 +- 0.0196)^5 times as large; the zero does not matter.
        CarDefinition car = LoadRuns.CarWith(LoadRuns.Pushrod());
        car = car with { Channels = [.. car.Channels.Select(mapping => mapping.Role <= ChannelRole.PushrodLoadRR ? mapping with { GainUncertainty = 0.01 } : mapping)] };
        WheelLoadSet wheels = LoadRuns.Of(car, Time, (_, t) => Through([0, 10_000, 0], t), zeroUncertaintyN: 500);
        DamageSpread spread = FatigueAnalysis.From(wheels, DamageHistory.Empty, FatigueOptions.Default).Components[0].Spread!;
        Assert.Equal(1e-6 * Math.Pow(1.0196, 5), spread.ByLoadHigh95, 1e-16);
        Assert.Equal(1e-6 * Math.Pow(0.9804, 5), spread.ByLoadLow95, 1e-16);

        // With Goodman in tension the zero moves the mean: 10 kN pull, mean 5 kN of 50 kN; 1.96 * 500 N more makes it 5.98 kN.
        ComponentDefinition part = LoadRuns.Pushrod();
        part = part with { Fatigue = part.Fatigue! with { MeanRule = MeanStressRule.Goodman, UltimateStrength = 50_000 } };
        DamageSpread moved = Analyse(part, [0, -10_000, 0], zeroUncertaintyN: 500).Spread!;
        Assert.Equal(1e-6 / Math.Pow(1 - 0.1196, 5), moved.ByLoadHigh95, 1e-15);
        Assert.Equal(1e-6 / Math.Pow(1 - 0.0804, 5), moved.ByLoadLow95, 1e-15);
    }

    [Fact]
    public void The_spread_between_methods_holds_the_reported_damage()
    {
        double[] values = [0, 9_000, 2_000, 7_000, -3_000, 4_000, 1_000, 8_000, -2_000, 0];
        ComponentResult result = Analyse(LoadRuns.Pushrod(), values);
        Assert.InRange(result.DamageRun!.Value, result.Spread!.ByMethodLow, result.Spread.ByMethodHigh);
        Assert.True(result.Spread.ByMethodLow < result.Spread.ByMethodHigh);
    }

    [Fact]
    public void A_part_loaded_by_two_corners_sees_their_sum()
    {
        ComponentDefinition bar = LoadRuns.Pushrod() with
        {
            Load = [new LoadTerm(LoadSource.PushrodLoad, Corner.FrontLeft, 0.5), new LoadTerm(LoadSource.WheelLoad, Corner.FrontRight, -0.5)],
        };
        WheelLoadSet wheels = LoadRuns.Of(LoadRuns.CarWith(bar), Time, (corner, t) => corner == Corner.FrontLeft ? Through([0, 8_000, 0], t) : Through([0, -5_000, 0], t));

        // By hand: 0.5 * 8 kN - 0.5 * (0.8 * -5 kN) = 6 kN; the plain car's ratio is 0.8.
        ComponentResult result = FatigueAnalysis.From(wheels, DamageHistory.Empty, FatigueOptions.Default).Components[0];
        Assert.Equal(6_000, result.PeakCompressionN, 1e-9);
    }

    [Fact]
    public void Left_and_right_parts_under_mirrored_loads_fare_alike_and_parts_of_one_load_share_its_count()
    {
        CarDefinition car = LoadRuns.CarWith(LoadRuns.Pushrod("L"), LoadRuns.Pushrod("R", 1, Corner.FrontRight), LoadRuns.Pushrod("L2"));
        WheelLoadSet wheels = LoadRuns.Of(car, Time, (_, t) => 5000 * Math.Sin(t) * Math.Sin(3.3 * t));
        ImmutableArray<ComponentResult> results = FatigueAnalysis.From(wheels, DamageHistory.Empty, FatigueOptions.Default).Components;
        Assert.Equal(results[0].DamageRun, results[1].DamageRun);
        Assert.Same(results[0].Cycles, results[2].Cycles);
    }

    [Fact]
    public void A_run_that_starts_later_on_the_clock_costs_the_same()
    {
        static double Load(double t) => 5000 * Math.Sin(t) * Math.Sin(3.3 * t);
        ComponentResult early = Of(TimeBase.Even(0, 0.01, 5000), Load);
        ComponentResult late = Of(TimeBase.Even(1024, 0.01, 5000), t => Load(t - 1024));
        Assert.Equal(early.DamageRun!.Value, late.DamageRun!.Value, 1e-9 * early.DamageRun.Value);
        Assert.Equal(early.PeakCompressionS + 1024, late.PeakCompressionS, 1e-9);

        static ComponentResult Of(TimeBase time, Func<double, double> load) => FatigueAnalysis.From(
            LoadRuns.Of(LoadRuns.CarWith(LoadRuns.Pushrod()), time, (_, t) => load(t)), DamageHistory.Empty, FatigueOptions.Default).Components[0];
    }

    private static ComponentResult Of(ComponentDefinition part, TimeBase time, double[] samples, DamageHistory before) => FatigueAnalysis.From(
        LoadRuns.Of(LoadRuns.CarWith(part), time, (_, t) => samples[(int)t]), before, FatigueOptions.Default).Components[0];
}
