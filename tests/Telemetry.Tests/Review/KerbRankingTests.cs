using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Kerbs;
using Telemetry.Output.Tables;
using Telemetry.Review;
using Telemetry.Tests.Fatigue;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Review;

/// <summary>Which kerb cost most life, and what the static checks say of a strut.</summary>
public class KerbRankingTests
{
    [Fact]
    public void The_kerb_that_cost_most_life_comes_first_with_the_part_and_the_gain()
    {
        // Cycles by hand, damage 6, 3 and 1 of 10: the first lies in kerb 2's strike, the second in kerb 1's, the third in none.
        KerbResult kerbs = Kerbs((1, 100, 200), (2, 300, 400));
        FatigueResult fatigue = Fatigue(Part("A", (300, 310, 6e-3), (110, 120, 3e-3), (900, 910, 1e-3)));
        ImmutableArray<KerbCost> costs = KerbRanking.From(kerbs, fatigue);
        Assert.Equal([2, 1], costs.Select(cost => cost.Kerb));
        Assert.Equal("A", costs[0].ComponentId);
        Assert.Equal(6e-3, costs[0].Damage, 1e-15);
        Assert.Equal(0.6, costs[0].ShareOfRun, 1e-12);
        Assert.Equal(10.0 / 4, costs[0].LifeGain, 1e-12);
        Assert.Equal(10.0 / 7, costs[1].LifeGain, 1e-12);
    }

    [Fact]
    public void A_part_with_a_smaller_critical_sum_loses_more_life_to_the_same_damage()
    {
        KerbResult kerbs = Kerbs((1, 100, 200));
        ComponentResult weak = Part("WEAK", (110, 120, 1e-3));
        weak = weak with { Component = weak.Component with { Fatigue = weak.Component.Fatigue! with { CriticalDamage = 0.2 } } };
        KerbCost cost = Assert.Single(KerbRanking.From(kerbs, Fatigue(Part("STRONG", (110, 120, 2e-3)), weak)));
        Assert.Equal("WEAK", cost.ComponentId);
        Assert.True(double.IsPositiveInfinity(cost.LifeGain));
    }

    [Fact]
    public void A_kerb_that_cost_nothing_is_last_and_says_so()
    {
        ImmutableArray<KerbCost> costs = KerbRanking.From(Kerbs((1, 100, 200), (2, 300, 400)), Fatigue(Part("A", (300, 310, 6e-3))));
        Assert.Equal([2, 1], costs.Select(cost => cost.Kerb));
        Assert.Null(costs[1].ComponentId);
        Assert.Empty(KerbRanking.From(Kerbs(), Fatigue(Part("A", (300, 310, 6e-3)))));
    }

    [Fact]
    public void The_history_of_a_strike_is_its_samples_at_the_logging_rate()
    {
        RunReview review = SampleReviews.Full;
        KerbStrike strike = review.Kerbs.Strikes[0] with { FromIndex = 500, ToIndex = 520 };
        review = review with { Kerbs = review.Kerbs with { Strikes = [strike, .. review.Kerbs.Strikes.Skip(1)] } };
        ResultTable table = KerbTables.Histories(review, [strike.Number]);
        Assert.Equal(20, table.Rows.Length);
        Assert.Equal(review.Wheels.Pushrods.PushrodLoadN[strike.Corner][500], table.Rows[0][4].Number);
        Assert.Equal(review.Run.Clock.At(519), table.Rows[^1][2].Number);
        Assert.Equal(1000 * (review.Run.Clock.At(500) - strike.TimeS), table.Rows[0][3].Number, 1e-9);
    }

    [Fact]
    public void The_sources_of_a_parts_damage_make_up_its_damage()
    {
        RunReview review = SampleReviews.Full;
        ComponentResult[] worn = [.. review.Fatigue.Components.Where(part => part.DamageRun is not null)];
        Assert.Equal(worn.Select(part => part.Component.Id), review.DamageSources.Select(source => source.ComponentId));
        Assert.All(worn.Zip(review.DamageSources), pair =>
        {
            double run = pair.First.DamageRun!.Value;
            Assert.Equal(run, pair.Second.ByPhase!.ByKey.Sum(key => key.Damage) + pair.Second.ByPhase.Elsewhere, 1e-12 * run);
            Assert.Equal(run, pair.Second.ByPlace!.ByKey.Sum(key => key.Damage) + pair.Second.ByPlace.Elsewhere, 1e-12 * run);
        });
        Assert.All(DamageSource.From(review.Run with { LapDistanceM = [] }, review.Kerbs, review.Fatigue), source => Assert.Null(source.ByPlace));
    }

    // Euler by hand: tube 30 x 2 mm, I = pi/64 (30^4 - 26^4) mm4 = 17329 mm4, 0.8 m, 205 GPa: pi^2 * 205e9 * 1.7329e-8 / 0.64 = 54.78 kN.
    [Fact]
    public void A_static_check_holds_limit_and_peak_against_the_column()
    {
        ComponentResult part = Part("A", (300, 310, 6e-3));
        StrutDefinition strut = new(0.8, 0.030, 0.002, 205e9, 900e6);
        part = part with { PeakCompressionN = 10_000, Component = part.Component with { Strut = strut, CompressionLimitN = 40_000, LimitFactor = 1.5 } };
        StaticCheck check = Assert.Single(StaticChecks.From(Fatigue(part, Part("B", (1, 2, 0)))));
        Assert.Equal(ColumnFormula.Euler, check.Column.Formula);
        Assert.InRange(check.Column.LoadN, 54_763, 54_803);
        Assert.Equal((54_783.0 / 40_000) - 1, check.LimitMargin, 1e-3);
        Assert.True(check.CrookedN < check.Column.LoadN);
        Assert.Equal((check.CrookedN / 15_000) - 1, check.PeakMargin, 1e-9);
        StaticCheck without = Assert.Single(StaticChecks.From(Fatigue(part with { Component = part.Component with { CompressionLimitN = null } })));
        Assert.True(double.IsNaN(without.LimitMargin));
    }

    private static KerbResult Kerbs(params (int Kerb, int From, int To)[] strikes)
    {
        KerbResult full = SampleReviews.Full.Kerbs;
        return full with
        {
            Strikes = [.. strikes.Select((strike, i) => full.Strikes[0] with { Number = i + 1, Kerb = strike.Kerb, FromIndex = strike.From, ToIndex = strike.To })],
            Kerbs = [.. strikes.Select(strike => full.Kerbs[0] with { Number = strike.Kerb })],
        };
    }

    private static FatigueResult Fatigue(params ComponentResult[] parts) => SampleReviews.Full.Fatigue with { Components = [.. parts] };

    private static ComponentResult Part(string id, params (int From, int To, double Damage)[] cycles) => SampleReviews.Full.Fatigue.Components[0] with
    {
        Component = LoadRuns.Pushrod(id),
        Cycles = new([.. cycles.Select(_ => 0.0)], [.. cycles.Select(_ => 1_000.0)], [.. cycles.Select(c => c.From)], [.. cycles.Select(c => c.To)], [.. cycles.Select(_ => 1.0)]),
        DamageByCycle = [.. cycles.Select(c => c.Damage)],
        DamageRun = cycles.Sum(c => c.Damage),
    };
}
