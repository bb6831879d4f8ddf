using System.Collections.Immutable;
using Telemetry.Fatigue;

namespace Telemetry.Tests.Fatigue;

public class LifeForecastTests
{
    private static ImmutableArray<RunDamage> Runs(int runs, int laps, Func<int, int, double> damage, double lengthM = 5000) =>
        [.. Enumerable.Range(0, runs).Select(r => new RunDamage($"run {r + 1}", [.. Enumerable.Range(0, laps).Select(l => new LapDamage(damage(r, l), lengthM, true))]))];

    [Fact]
    public void Equal_laps_give_the_plain_division_without_scatter()
    {
        // By hand: 0.8 left, 0.001 a lap: 800 laps of 5 km.
        LifeForecast forecast = LifeForecast.From(Runs(4, 10, (_, _) => 0.001), 0.2, 1);
        Assert.Equal(800, forecast.LapsLeft!.Value, 1e-6);
        Assert.Equal(0, forecast.LapsLeft.HalfWidth, 1e-6);
        Assert.Equal(4000, forecast.DistanceLeftKm!.Value, 1e-6);
        Assert.Equal(1.0 / 40, forecast.LargestLapShare, 1e-12);
    }

    [Fact]
    public void The_way_out_and_back_costs_life_and_distance_but_is_no_lap()
    {
        // By hand: ten laps of 0.001 and 0.002 for out and in: 0.0012 a lap; 0.6 left is 500 laps, each 5 km and its share of 4 km.
        ImmutableArray<RunDamage> runs = [.. Runs(4, 10, (_, _) => 0.001).Select(r => r with
        {
            Laps = [new LapDamage(0.0015, 2500, false), .. r.Laps, new LapDamage(0.0005, 1500, false)],
        })];
        LifeForecast forecast = LifeForecast.From(runs, 0.4, 1);
        Assert.Equal(500, forecast.LapsLeft!.Value, 1e-6);
        Assert.Equal(500 * 5.4, forecast.DistanceLeftKm!.Value, 1e-6);
        Assert.Equal(0.0012, forecast.DamagePerLap, 1e-12);
    }

    [Fact]
    public void More_damage_never_lengthens_the_life_and_a_lap_left_out_that_cost_more_than_the_mean_never_shortens_it()
    {
        ImmutableArray<RunDamage> runs = Runs(5, 8, (r, l) => 1e-4 * (1 + (0.3 * r) + (0.1 * l)));
        LifeForecast forecast = LifeForecast.From(runs, 0, 1);
        ImmutableArray<RunDamage> twice = [.. runs.Select(r => r with { Laps = [.. r.Laps.Select(l => l with { Damage = 2 * l.Damage })] })];
        LifeForecast half = LifeForecast.From(twice, 0, 1);
        Assert.Equal(forecast.LapsLeft!.Value / 2, half.LapsLeft!.Value, 0.02 * half.LapsLeft.Value);
        Assert.True(LifeForecast.From(runs, 0.5, 1).LapsLeft!.High95 < forecast.LapsLeft.High95);
        ImmutableArray<RunDamage> struck = runs.SetItem(4, runs[4] with { Laps = runs[4].Laps.Add(new LapDamage(0.01, 5000, true)) });
        Assert.True(LifeForecast.From(struck, 0, 1).LapsLeft!.Value < forecast.LapsLeft.Value);
    }

    [Fact]
    public void The_same_seed_gives_the_same_forecast()
    {
        ImmutableArray<RunDamage> runs = Runs(5, 8, (r, l) => 1e-4 * (1 + (0.3 * r) + (0.1 * l)));
        Assert.Equal(LifeForecast.From(runs, 0, 1).LapsLeft, LifeForecast.From(runs, 0, 1).LapsLeft);
        Assert.NotEqual(LifeForecast.From(runs, 0, 1).LapsLeft, LifeForecast.From(runs, 0, 1, new() { Seed = 2 }).LapsLeft);
    }

    [Fact]
    public void Too_few_laps_or_runs_and_no_damage_are_said_and_nothing_is_forecast()
    {
        LifeForecast few = LifeForecast.From(Runs(3, 3, (_, _) => 0.001), 0, 1);
        Assert.Null(few.LapsLeft);
        Assert.Contains("9 complete laps", few.WithheldBecause, StringComparison.Ordinal);
        Assert.Contains("2 run(s)", LifeForecast.From(Runs(2, 30, (_, _) => 0.001), 0, 1).WithheldBecause, StringComparison.Ordinal);
        Assert.Contains("No lap did any damage", LifeForecast.From(Runs(4, 30, (_, _) => 0), 0, 1).WithheldBecause, StringComparison.Ordinal);
        Assert.Null(LifeForecast.From([], 0, 1).LapsLeft);
        Assert.Null(LifeForecast.From(Runs(4, 30, (_, _) => double.NaN), 0, 1).LapsLeft);
    }

    [Fact]
    public void A_life_that_is_used_up_has_nothing_left()
    {
        LifeForecast forecast = LifeForecast.From([], 1.2, 1);
        Assert.Equal(new Estimate(0, 0, 0), forecast.LapsLeft);
    }

    [Fact]
    public void A_single_strike_that_did_most_of_the_damage_is_named()
    {
        LifeForecast forecast = LifeForecast.From(Runs(4, 10, (r, l) => r == 2 && l == 6 ? 0.2 : 0.001), 0, 1);
        Assert.Equal("run 3", forecast.LargestLapRunId);
        Assert.Equal(7, forecast.LargestLapNumber);
        Assert.Contains(forecast.Cautions, c => c.Contains("84 %", StringComparison.Ordinal));
    }

    [Fact]
    public void Without_lengths_there_are_laps_but_no_kilometres()
    {
        LifeForecast forecast = LifeForecast.From(Runs(4, 10, (_, _) => 0.001, double.NaN), 0, 1);
        Assert.NotNull(forecast.LapsLeft);
        Assert.Null(forecast.DistanceLeftKm);
    }
}
