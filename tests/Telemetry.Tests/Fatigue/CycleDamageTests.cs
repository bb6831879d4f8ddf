using System.Collections.Immutable;
using System.Text.Json;
using CsCheck;
using Telemetry.Car;
using Telemetry.Fatigue;

namespace Telemetry.Tests.Fatigue;

public class CycleDamageTests
{
    private static readonly FatigueDefinition Strut = new()
    {
        Line = new SnLine([new SnPoint(1e6, 10_000)], 5, 5),
    };

    private static double Damage(FatigueDefinition fatigue, ReadOnlySpan<double> load)
    {
        RainflowCounter counter = new();
        counter.Add(load);
        return new CycleDamage(fatigue).Sum(counter.Count());
    }

    // Gunnstein/fatpack 0.7.8 tests, 6 decimals.
    [Fact]
    public void Mean_stress_rules_meet_the_open_tests()
    {
        foreach (string[] row in PublishedData.Rows("fatigue", "mean_stress_open_tests.csv"))
        {
            double parameter = row[1].Length == 0 ? double.NaN : PublishedData.Number(row[1]);
            (MeanStressRule rule, double ultimate, double gamma) = row[0] switch
            {
                "walker" => (MeanStressRule.Walker, double.NaN, parameter),
                "smith_watson_topper" => (MeanStressRule.SmithWatsonTopper, double.NaN, double.NaN),
                "goodman" => (MeanStressRule.Goodman, parameter, double.NaN),
                _ => throw new InvalidDataException(row[0]),
            };
            double range = MeanStress.EquivalentRange(rule, PublishedData.Number(row[2]), PublishedData.Number(row[3]), ultimate, gamma);
            Assert.Equal(PublishedData.Number(row[4]), range, 5e-7);
        }
    }

    // mpmath on the bare formulae, 1e-12 relative for a mean in tension; with a mean in compression never less than the formula or than the range.
    [Fact]
    public void Mean_stress_rules_meet_exact_arithmetic_and_give_no_credit_for_compression()
    {
        MeanStressRule[] rules = [MeanStressRule.Goodman, MeanStressRule.Gerber, MeanStressRule.SmithWatsonTopper, MeanStressRule.Walker];
        foreach (string[] row in PublishedData.Rows("fatigue", "mean_stress_grid.csv"))
        {
            double range = PublishedData.Number(row[0]);
            double mean = PublishedData.Number(row[1]);
            for (int i = 0; i < rules.Length; i++)
            {
                double ours = MeanStress.EquivalentRange(rules[i], range, mean, PublishedData.Number(row[2]), PublishedData.Number(row[3]));
                Assert.True(ours >= range);
                if (mean >= 0)
                {
                    Assert.Equal(PublishedData.Number(row[4 + i]), ours, 1e-12 * Math.Max(1, ours));
                }
                else
                {
                    Assert.Equal(range, ours);
                }
            }
        }
    }

    // Bhandari, Example 5.17: factor of safety by Goodman 4.390244 and Gerber 5.412003. At that factor the corrected amplitude is the endurance limit.
    [Theory]
    [InlineData(MeanStressRule.Goodman, "goodman")]
    [InlineData(MeanStressRule.Gerber, "gerber")]
    public void At_the_printed_factor_of_safety_the_range_reaches_the_endurance_limit(MeanStressRule rule, string name)
    {
        JsonElement example = PublishedData.Case("bhandari_5_17", "fatigue", "mean_stress_worked_example.json");
        double factor = example.GetProperty("factor_of_safety").GetProperty(name).GetDouble();
        double range = MeanStress.EquivalentRange(rule, factor * (100 - 40), factor * (100 + 40) / 2, example.GetProperty("ultimate").GetDouble());
        Assert.InRange(range / (2 * example.GetProperty("endurance_limit").GetDouble()), 1 - 1e-6, 1 + 1e-6);
    }

    [Fact]
    public void A_mean_past_the_ultimate_strength_still_gives_a_number()
    {
        Assert.Equal(1000 * 100, MeanStress.EquivalentRange(MeanStressRule.Goodman, 100, 700, 600), 1e-6);
        Assert.True(double.IsFinite(MeanStress.EquivalentRange(MeanStressRule.Gerber, 100, 1e9, 600)));
    }

    [Fact]
    public void A_load_times_k_does_k_to_the_m_times_the_damage() =>
        Gen.Select(Gen.Double[-20_000, 20_000].Array[2, 200], Gen.Double[0.1, 10]).Sample(
            (load, k) =>
            {
                double once = Damage(Strut, load);
                double scaled = Damage(Strut, Array.ConvertAll(load, x => k * x));
                Assert.InRange(scaled, once * Math.Pow(k, 5) * (1 - 1e-9), once * Math.Pow(k, 5) * (1 + 1e-9));
            },
            seed: "0000KOIkZbA5");

    [Theory]
    [InlineData(MeanStressRule.None)]
    [InlineData(MeanStressRule.Goodman)]
    [InlineData(MeanStressRule.Gerber)]
    [InlineData(MeanStressRule.SmithWatsonTopper)]
    [InlineData(MeanStressRule.Walker)]
    public void A_longer_run_and_a_larger_load_never_do_less_damage(MeanStressRule rule) =>
        Gen.Select(Gen.Double[-20_000, 20_000].Array[2, 100], Gen.Double[-20_000, 20_000].Array[0, 100], Gen.Double[1, 3]).Sample(
            (load, more, factor) =>
            {
                FatigueDefinition fatigue = Strut with { MeanRule = rule, UltimateStrength = 200_000, WalkerGamma = 0.6 };
                double once = Damage(fatigue, load);
                Assert.True(Damage(fatigue, [.. load, .. more]) >= once * (1 - 1e-12));
                Assert.True(Damage(fatigue with { LoadFactor = factor }, load) >= once);
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_lap_left_out_anywhere_never_does_more_damage() =>
        Gen.Select(Gen.Double[-20_000, 20_000].Array[0, 60], Gen.Double[-20_000, 20_000].Array[1, 60], Gen.Double[-20_000, 20_000].Array[0, 60]).Sample(
            (before, lap, after) => Assert.True(Damage(Strut, [.. before, .. after]) <= Damage(Strut, [.. before, .. lap, .. after]) * (1 + 1e-12)),
            seed: "0000KOIkZbA5");

    [Fact]
    public void Sampling_the_same_load_twice_or_five_times_as_fast_does_the_same_damage() =>
        Gen.Select(Gen.Double[-20_000, 20_000].Array[2, 100], Gen.Int[2, 5]).Sample(
            (load, times) =>
            {
                double[] faster = new double[((load.Length - 1) * times) + 1];
                for (int i = 0; i < faster.Length; i++)
                {
                    int at = i / times;
                    faster[i] = i % times == 0 ? load[at] : load[at] + ((double)(i % times) / times * (load[at + 1] - load[at]));
                }

                double once = Damage(Strut, load);
                Assert.InRange(Damage(Strut, faster), once * (1 - 1e-12), once * (1 + 1e-12));
            },
            seed: "0000KOIkZbA5");

    [Theory]
    [InlineData(MeanStressRule.None)]
    [InlineData(MeanStressRule.Goodman)]
    [InlineData(MeanStressRule.Walker)]
    public void Cycles_together_do_what_they_do_one_by_one(MeanStressRule rule) =>
        Gen.Select(Gen.Double[-20_000, 20_000].Array[0, 23], Gen.Double[-20_000, 20_000].Array[23]).Sample(
            (from, to) =>
            {
                CycleDamage strength = new(Strut with { MeanRule = rule, UltimateStrength = 200_000, WalkerGamma = 0.6, SmallestRangeN = 3_000 });
                double[] each = new double[from.Length];
                strength.Each(from, to.AsSpan(0, from.Length), each);
                double[] alone = [.. from.Select((load, i) => strength.Of(load, to[i]))];
                Assert.Equal(alone, each);
                Assert.Equal(alone.Sum(), strength.Sum(from, to.AsSpan(0, from.Length)), 1e-14 * alone.Sum());
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void An_error_of_the_gain_lets_no_cycle_in_or_out_of_the_reversal_filter()
    {
        // By hand: of three equal weights, the range of 500 N is just in the filter, that of 499 N just out of it; the rest is 0.9^5 of its own damage.
        CycleDamage strength = new(Strut with { SmallestRangeN = 500 });
        double kept = strength.Of(0, 500) + strength.Of(0, 8000);
        Assert.Equal(Math.Pow(0.9, 5) * kept, strength.Sum([0, 0, 0], [500, 499, 8000], [1, 1, 1], gain: 0.9), 1e-12 * kept);
        Assert.Equal(Math.Pow(1.1, 5) * kept, strength.Sum([0, 0, 0], [500, 499, 8000], [1, 1, 1], gain: 1.1), 1e-12 * kept);
    }

    [Fact]
    public void A_pull_tires_more_than_a_push_of_the_same_range()
    {
        FatigueDefinition fatigue = Strut with { MeanRule = MeanStressRule.Goodman, UltimateStrength = 100_000 };
        double pushed = Damage(fatigue, [10_000, 30_000, 10_000]);
        double pulled = Damage(fatigue, [-10_000, -30_000, -10_000]);

        // By hand: range 20,000 twice half a cycle at slope 5 is 2^5 * 1e-6; pulled with mean 20,000 of 100,000 it is that over 0.8^5.
        Assert.Equal(32e-6, pushed, 1e-15);
        Assert.Equal(32e-6 / Math.Pow(0.8, 5), pulled, 1e-15);
    }

    [Fact]
    public void A_line_in_stress_is_entered_with_the_stress_of_the_load()
    {
        // By hand: 10,000 N at 8,000 Pa/N is 80 MPa.
        FatigueDefinition inStress = new() { Line = new SnLine([new SnPoint(1e6, 80e6)], 5, 5), StressPerLoadPaPerN = 8000 };
        Assert.Equal(1e-6, new CycleDamage(inStress).Of(0, 10_000), 1e-18);
        Assert.Equal(1e-6, new CycleDamage(inStress with { StressPerLoadPaPerN = -8000 }).Of(0, 10_000), 1e-18);
    }

    [Fact]
    public void Cycles_below_the_reversal_filter_do_no_damage()
    {
        CycleDamage damage = new(Strut with { SmallestRangeN = 500 });
        Assert.Equal(0, damage.Of(1000, 1499));
        Assert.True(damage.Of(1000, 1500) > 0);
    }

    [Fact]
    public void A_rule_without_its_strength_or_exponent_is_refused()
    {
        Assert.Throws<ArgumentException>(() => new CycleDamage(Strut with { MeanRule = MeanStressRule.Goodman }));
        Assert.Throws<ArgumentException>(() => new CycleDamage(Strut with { MeanRule = MeanStressRule.Walker }));
        Assert.Throws<ArgumentException>(() => new CycleDamage(Strut with { LoadFactor = 0.9 }));
    }
}
