using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Logs;
using Telemetry.WheelLoads;
using CarText = Telemetry.Tests.Car.CarText;

namespace Telemetry.Tests.Fatigue;

public class ScatterAndSensitivityTests
{
    private static readonly FatigueDefinition Line = new() { Line = new SnLine([new SnPoint(1e6, 10_000)], 5, 5) };

    // Normal quantiles of printed tables: 1.6449 at 95 %, 2.3263 at 99 %, 3.0902 at 99.9 %.
    [Theory]
    [InlineData(0.95, 0.5, 1.6449)]
    [InlineData(0.99, 0.5, 2.3263)]
    [InlineData(0.999, 0.95, 3.0902 - 1.6449)]
    public void A_survival_probability_shifts_the_line_to_shorter_lives(double survival, double lineSurvival, double quantiles)
    {
        FatigueDefinition safe = Line with { LifeScatterLog10 = 0.2, Survival = survival, LineSurvival = lineSurvival };
        double factor = Math.Pow(10, 0.2 * quantiles);
        Assert.Equal(factor, CycleDamage.LifeFactor(safe), 1e-4 * factor);
        Assert.Equal(CycleDamage.LifeFactor(safe) * new CycleDamage(Line).Of(0, 9000), new CycleDamage(safe).Of(0, 9000), 1e-18);
    }

    [Fact]
    public void A_survival_below_the_lines_own_is_refused()
    {
        Assert.Throws<ArgumentException>(() => new CycleDamage(Line with { LifeScatterLog10 = 0.2, Survival = 0.9, LineSurvival = 0.95 }));
        Assert.Throws<ArgumentException>(() => new CycleDamage(Line with { LifeScatterLog10 = 0, Survival = 0.9 }));
    }

    [Theory]
    [InlineData("original", null)]
    [InlineData("elementary", 5.0)]
    [InlineData("modified", 9.0)]
    public void Small_cycles_follow_the_rule_that_the_car_file_names(string rule, double? below)
    {
        // By hand: modified is 2 m - 1 = 9 for m = 5 (Haibach).
        string text = CarText.With("line = { cycles = 2e6, range = \"5.2 kN\", slope = 5 }", $"line = {{ cycles = 2e6, range = \"5.2 kN\", slope = 5, small_cycles = \"{rule}\" }}\nlife_scatter = 0.2\nsurvival = \"99 %\"");
        FatigueDefinition fatigue = CarFile.CheckText(text, "car.toml").Car!.Components.First(c => c.Fatigue is not null && c.Fatigue.LifeScatterLog10 is not null).Fatigue!;
        Assert.Equal(5, fatigue.Line.SlopeAbove);
        Assert.Equal(below, fatigue.Line.SlopeBelow);
        Assert.Equal(0.99, fatigue.Survival, 1e-12);
        Assert.Equal(0.5, fatigue.LineSurvival);
    }

    private static ComponentResult Analyse(FatigueDefinition fatigue, double[] values)
    {
        ComponentDefinition part = LoadRuns.Pushrod() with { Fatigue = fatigue };
        WheelLoadSet wheels = LoadRuns.Of(LoadRuns.CarWith(part), TimeBase.Even(0, 1, values.Length), (_, t) => values[(int)Math.Round(t)]);
        return Assert.Single(FatigueAnalysis.From(wheels, DamageHistory.Empty, FatigueOptions.Default).Components);
    }

    [Fact]
    public void The_sensitivity_of_a_single_range_is_that_worked_out_by_hand()
    {
        // By hand: half cycles of 8 kN on N = 1e6 (10 kN / S)^5. Slope 4.5 gives 0.8^4.5 / 0.8^5; a load factor of 1.05 gives 1.05^5.
        var rows = LifeSensitivity.Of(Analyse(Line, [0, 8000, 0, 8000]));
        Assert.Equal(Math.Pow(0.8, -0.5), rows[0].DamageRatio, 1e-12);
        Assert.Equal(Math.Pow(0.8, 0.5), rows[1].DamageRatio, 1e-12);
        Assert.Equal(Math.Pow(1.05, 5), rows[2].DamageRatio, 1e-12);
        Assert.Equal(Math.Pow(1.1, -5), rows[3].LifeRatio, 1e-12);
        Assert.Empty(LifeSensitivity.Of(Analyse(Line, [0, 8000]) with { DamageRun = null }));
    }

    [Fact]
    public void A_table_is_turned_about_its_last_point()
    {
        // By hand: between the points the slope is 10 / log2(4) = 5; turned to 5.5 a range of 4 kN, the first point, keeps its distance of 5.5 octaves: 2^5.5 of the last point's damage, not 2^5.
        FatigueDefinition table = Line with { Line = new SnLine([new SnPoint(1e6 / 32, 8000), new SnPoint(1e6, 4000)], 5, 5) };
        Assert.Equal(Math.Pow(2, 0.5), LifeSensitivity.Of(Analyse(table, [0, 8000, 0]))[1].DamageRatio, 1e-12);
    }

    [Fact]
    public void The_damage_that_the_reversal_filter_left_out_is_stated_and_adds_up()
    {
        double[] load = [0, 9000, 8700, 9500, 2000, 2400, 1000, 1200, 0, 9900];
        ComponentResult all = Analyse(Line, load);
        ComponentResult filtered = Analyse(Line with { SmallestRangeN = 500 }, load);
        Assert.Equal(0, all.FilteredDamage);
        Assert.True(filtered.FilteredDamage > 0);
        Assert.Equal(all.DamageRun!.Value, filtered.DamageRun!.Value + filtered.FilteredDamage!.Value, 1e-12 * all.DamageRun.Value);
    }

    [Fact]
    public void The_damage_of_every_cycle_sums_to_the_damage_of_the_run()
    {
        ComponentResult result = Analyse(Line, [0, 9000, 8700, 9500, 2000, 2400, 1000, 1200, 0, 9900]);
        Assert.Equal(result.DamageRun!.Value, result.DamageByCycle.Sum(), 1e-12 * result.DamageRun.Value);
        DamageCharges charges = DamageCharges.Of(result, [new(0, 5, 0), new(5, 10, 1)]);
        Assert.Equal(result.DamageRun.Value, charges.ByKey.Sum(k => k.Damage) + charges.Elsewhere, 1e-12 * result.DamageRun.Value);
    }
}
