using System.Collections.Immutable;
using System.Text.Json;
using CsCheck;
using Telemetry.Car;
using Telemetry.Fatigue;

namespace Telemetry.Tests.Fatigue;

public class SnCurveTests
{
    private static double CyclesToFailure(SnCurve curve, double[] ranges, double[] cycles)
    {
        double damage = 0;
        for (int i = 0; i < ranges.Length; i++)
        {
            damage += cycles[i] * curve.Damage(ranges[i]);
        }

        return cycles.Sum() / damage;
    }

    // EN 1993-1-9, direct stress: category at 2e6, slope 3 to 5e6, slope 5 to the cut-off at 1e8 (from memory, recomputed with mpmath). 1e-12 relative.
    [Fact]
    public void Lives_of_EN_1993_1_9_detail_categories_are_met()
    {
        Dictionary<string, SnCurve> curves = PublishedData.Rows("fatigue", "en_1993_1_9.csv").ToDictionary(
            row => row[0],
            row => new SnCurve(new SnLine([new SnPoint(5e6, PublishedData.Number(row[2]))], 3, 5, PublishedData.Number(row[3]))));
        foreach (string[] row in PublishedData.Rows("fatigue", "en_1993_1_9_lives.csv"))
        {
            double life = curves[row[0]].CyclesToFailure(PublishedData.Number(row[1]));
            if (row[2].Length == 0)
            {
                Assert.Equal(double.PositiveInfinity, life);
            }
            else
            {
                Assert.InRange(life / PublishedData.Number(row[2]), 1 - 1e-12, 1 + 1e-12);
            }
        }
    }

    // DNV-RP-C203 in air: log10 N = log10 a - m log10 S on both sides of the knee at 1e7. The printed constants have three decimals: 0.3 % on cycles.
    [Fact]
    public void The_air_curves_of_DNV_are_met_on_both_slopes()
    {
        foreach (string[] row in PublishedData.Rows("fatigue", "dnv_rp_c203_air.csv"))
        {
            double first = PublishedData.Number(row[1]);
            double second = PublishedData.Number(row[3]);
            SnCurve curve = new(new SnLine([new SnPoint(1e7, PublishedData.Number(row[6]))], first, second));
            foreach (double cycles in new[] { 1e4, 1e5, 1e6, 9e6 })
            {
                double range = Math.Pow(10, (PublishedData.Number(row[2]) - Math.Log10(cycles)) / first);
                Assert.InRange(curve.CyclesToFailure(range) / cycles, 0.997, 1.003);
            }

            foreach (double cycles in new[] { 1.1e7, 1e8, 1e9 })
            {
                double range = Math.Pow(10, (PublishedData.Number(row[4]) - Math.Log10(cycles)) / second);
                Assert.InRange(curve.CyclesToFailure(range) / cycles, 0.997, 1.003);
            }
        }
    }

    // Haibach (2006) p. 271, elementary rule: printed to 6 figures. Amplitudes doubled to ranges.
    [Fact]
    public void The_elementary_example_of_Haibach_gives_the_printed_life()
    {
        JsonElement example = PublishedData.Case("haibach_elementary_p271", "fatigue", "miner_worked_examples.json");
        SnCurve curve = new(new SnLine([new SnPoint(2e6, 250)], 7, 7));
        double life = CyclesToFailure(curve, Array.ConvertAll(example.Numbers("amplitudes"), a => 2 * a), example.Numbers("cycles"));
        Assert.InRange(life / example.GetProperty("published_cycles_to_failure").GetDouble(), 1 - 5e-6, 1 + 5e-6);
    }

    // Haibach (2006) p. 292, modified rule with slope 2k - 1 below the knee: printed to 5 figures, recomputed to 16.
    [Fact]
    public void The_modified_example_of_Haibach_gives_the_printed_lives()
    {
        JsonElement example = PublishedData.Case("haibach_modified_p292", "fatigue", "miner_worked_examples.json");
        SnCurve curve = new(new SnLine([new SnPoint(1e6, 200)], 4, 7));
        foreach (JsonElement result in example.GetProperty("results").EnumerateArray())
        {
            double largest = 2 * result.GetProperty("max_amplitude").GetDouble();
            double life = CyclesToFailure(curve, Array.ConvertAll(example.Numbers("spectrum_relative_amplitude"), a => a * largest), example.Numbers("spectrum_cycles"));
            Assert.InRange(life / result.GetProperty("published_cycles_to_failure").GetDouble(), 1 - 5e-5, 1 + 5e-5);
            Assert.InRange(life / result.GetProperty("recomputed_mpmath").GetDouble(), 1 - 1e-12, 1 + 1e-12);
        }
    }

    // Bhandari, Example 5.11: a table of two points, printed to 1e-6 cycles of 62731.
    [Fact]
    public void A_line_given_as_a_table_gives_the_printed_life_of_Bhandari()
    {
        JsonElement example = PublishedData.Case("bhandari_5_11", "fatigue", "miner_worked_examples.json");
        SnCurve curve = new(new SnLine([new SnPoint(1e3, 2 * 594), new SnPoint(1e6, 2 * 280)], 5, null));
        double life = CyclesToFailure(curve, Array.ConvertAll(example.Numbers("amplitudes"), a => 2 * a), example.Numbers("share_of_cycles"));
        Assert.Equal(example.GetProperty("expected_cycles_to_failure").GetDouble(), life, 1e-6);
    }

    [Fact]
    public void A_table_goes_through_its_points_and_on_with_its_end_slopes()
    {
        SnCurve curve = new(new SnLine([new SnPoint(1e3, 800), new SnPoint(1e5, 400), new SnPoint(1e7, 300)], 4, 9));
        Assert.Equal(1e3, curve.CyclesToFailure(800), 1e-9);
        Assert.Equal(1e5, curve.CyclesToFailure(400), 1e-7);
        Assert.Equal(1e7, curve.CyclesToFailure(300), 1e-5);

        // By hand: half way in log-log between the first two points lies sqrt(800*400) at 1e4.
        Assert.Equal(1e4, curve.CyclesToFailure(Math.Sqrt(800.0 * 400)), 1e-6);

        // By hand: twice the first range, slope 4, is 1/16 of its cycles; half the last, slope 9, is 512 times.
        Assert.Equal(1e3 / 16, curve.CyclesToFailure(1600), 1e-9);
        Assert.Equal(512e7, curve.CyclesToFailure(150), 1e-2);
    }

    [Fact]
    public void More_range_never_does_less_damage() =>
        Gen.Select(Gen.Double[0, 2000], Gen.Double[0, 2000]).Sample(
            (a, b) =>
            {
                SnCurve curve = new(new SnLine([new SnPoint(1e3, 800), new SnPoint(1e5, 400), new SnPoint(1e7, 300)], 4, 9, 120));
                Assert.True(curve.Damage(Math.Max(a, b)) >= curve.Damage(Math.Min(a, b)));
            },
            seed: "0000KOIkZbA5");

    [Theory]
    [InlineData(120, 0)]
    [InlineData(0, 0)]
    [InlineData(double.NaN, double.NaN)]
    public void At_the_cut_off_there_is_no_damage_and_no_number_stays_no_number(double range, double damage)
    {
        SnCurve curve = new(new SnLine([new SnPoint(1e6, 300)], 4, 9, 120));
        Assert.Equal(damage, curve.Damage(range));
    }

    [Fact]
    public void Without_a_lower_slope_a_range_below_the_last_point_does_no_damage()
    {
        SnCurve curve = new(new SnLine([new SnPoint(1e6, 300)], 4, null));
        Assert.Equal(0, curve.Damage(299.999));
        Assert.Equal(1e-6, curve.Damage(300), 1e-18);
    }

    public static TheoryData<SnLine> BadLines => new(
        new SnLine([], 3, 3),
        new SnLine([new SnPoint(1e6, 0)], 3, 3),
        new SnLine([new SnPoint(1e6, 100)], 0, 3),
        new SnLine([new SnPoint(1e6, 100), new SnPoint(1e7, 100)], 3, 3),
        new SnLine([new SnPoint(1e6, 100), new SnPoint(1e5, 50)], 3, 3));

    [Theory]
    [MemberData(nameof(BadLines), DisableDiscoveryEnumeration = true)]
    public void A_line_that_does_not_fall_is_refused(SnLine line) => Assert.Throws<ArgumentException>(() => new SnCurve(line));
}
