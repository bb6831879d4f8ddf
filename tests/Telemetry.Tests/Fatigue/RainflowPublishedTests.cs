using System.Collections.Immutable;
using System.Text.Json;
using Telemetry.Fatigue;

namespace Telemetry.Tests.Fatigue;

public class RainflowPublishedTests
{
    private static CycleCount Count(ReadOnlySpan<double> series)
    {
        RainflowCounter counter = new();
        counter.Add(series);
        return counter.Count();
    }

    private static List<(int From, int To, double FromN, double ToN, double Weight)> Listed(CycleCount cycles) =>
    [
        .. Enumerable.Range(0, cycles.Count)
            .Select(i => (cycles.FromIndex[i], cycles.ToIndex[i], cycles.FromN[i], cycles.ToN[i], cycles.Weight[i]))
            .Order(),
    ];

    /// <summary>Range to number of cycles, ranges rising.</summary>
    private static SortedDictionary<double, double> ByRange(CycleCount cycles)
    {
        SortedDictionary<double, double> counts = [];
        for (int i = 0; i < cycles.Count; i++)
        {
            double range = Math.Abs(cycles.ToN[i] - cycles.FromN[i]);
            counts[range] = counts.GetValueOrDefault(range) + cycles.Weight[i];
        }

        return counts;
    }

    // ASTM E1049-85 5.4.4 (Fig. 6) and further cases; origin of each in Data/rainflow/SOURCE.md. Integers: exact.
    [Theory]
    [InlineData("astm_e1049_5_4_4")]
    [InlineData("twenty_three_points")]
    [InlineData("monotone")]
    [InlineData("constant_amplitude")]
    [InlineData("plateaus")]
    [InlineData("empty")]
    [InlineData("one_sample")]
    [InlineData("four_point_amzallag_reversals")]
    public void Published_cases_give_the_published_cycles_with_their_places(string name)
    {
        JsonElement published = PublishedData.Case(name, "rainflow", "published_cases.json");
        List<(int, int, double, double, double)> expected =
        [
            .. published.GetProperty("cycles").EnumerateArray().Select(c => (
                c.GetProperty("start_index").GetInt32(),
                c.GetProperty("end_index").GetInt32(),
                c.GetProperty("from").GetDouble(),
                c.GetProperty("to").GetDouble(),
                c.GetProperty("count").GetDouble())).Order(),
        ];
        Assert.Equal(expected, Listed(Count(published.Numbers("series"))));
    }

    // Haibach, Betriebsfestigkeit, Fig. 3.3-30 (series); half cycles by rainflow 3.2.0.
    [Fact]
    public void The_series_of_Haibach_gives_the_counts_by_range()
    {
        JsonElement published = PublishedData.Case("haibach_fig_3_3_30", "rainflow", "published_cases.json");
        SortedDictionary<double, double> counts = ByRange(Count(published.Numbers("series")));
        foreach (JsonElement pair in published.GetProperty("astm_counts").EnumerateArray())
        {
            Assert.Equal(pair[1].GetDouble(), counts[pair[0].GetDouble()]);
        }

        Assert.Equal(published.GetProperty("astm_counts").GetArrayLength(), counts.Count);
    }

    // Tests of rainflow 3.2.0, two sines; 1e-12 absolute as stated in the file.
    [Fact]
    public void Two_sines_give_the_published_cycles()
    {
        JsonElement published = PublishedData.Case("two_sines", "rainflow", "published_cases.json");
        double[] series = [.. Enumerable.Range(0, 1001).Select(i => (0.8 * Math.Sin(0.01 * Math.PI * i)) + (0.2 * Math.Sin(0.032 * Math.PI * i)))];
        List<(int From, int To, double FromN, double ToN, double Weight)> counted = Listed(Count(series));
        JsonElement[] expected = [.. published.GetProperty("cycles").EnumerateArray().OrderBy(c => c.GetProperty("start_index").GetInt32()).ThenBy(c => c.GetProperty("end_index").GetInt32())];
        Assert.Equal(expected.Length, counted.Count);
        for (int i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i].GetProperty("start_index").GetInt32(), counted[i].From);
            Assert.Equal(expected[i].GetProperty("end_index").GetInt32(), counted[i].To);
            Assert.Equal(expected[i].GetProperty("range").GetDouble(), Math.Abs(counted[i].ToN - counted[i].FromN), 1e-12);
            Assert.Equal(expected[i].GetProperty("mean").GetDouble(), (counted[i].ToN + counted[i].FromN) / 2, 1e-12);
            Assert.Equal(expected[i].GetProperty("count").GetDouble(), counted[i].Weight);
        }
    }

    // rainflow 3.2.0 on integer series of 3,000 to 4,000 samples: every cycle with its place, exact.
    [Theory]
    [InlineData("white_ints")]
    [InlineData("mean_reverting_walk")]
    [InlineData("coarse_ties")]
    public void Long_integer_series_give_every_cycle_of_the_library(string name)
    {
        double[] series = PublishedData.Column(1, "rainflow", name + "_signal.csv");
        List<(int, int, double, double, double)> expected =
        [
            .. PublishedData.Rows("rainflow", name + "_cycles.csv").Select(row => (
                (int)PublishedData.Number(row[0]),
                (int)PublishedData.Number(row[1]),
                PublishedData.Number(row[2]),
                PublishedData.Number(row[3]),
                PublishedData.Number(row[6]))).Order(),
        ];
        Assert.Equal(expected, Listed(Count(series)));
    }

    // Series of the tests of a-ma72/rainflow, counted with rainflow 3.2.0: counts by range, number of full and half cycles, exact.
    [Fact]
    public void The_series_of_ten_thousand_samples_gives_the_counts_of_the_library()
    {
        CycleCount cycles = Count(PublishedData.Column(0, "rainflow", "long_series_10001.csv"));
        SortedDictionary<double, double> counts = ByRange(cycles);
        string[][] rows = PublishedData.Rows("rainflow", "long_series_10001_counts.csv");
        Assert.Equal(rows.Length, counts.Count);
        foreach (string[] row in rows)
        {
            Assert.Equal(PublishedData.Number(row[1]), counts[PublishedData.Number(row[0])]);
        }

        Assert.Equal(2358, cycles.Weight.Count(w => w == 1));
        Assert.Equal(11, cycles.Weight.Count(w => w == 0.5));
    }

    // 25,663 turning points of a standard blade spectrum, counted with rainflow 3.2.0 by range and mean, exact.
    [Fact]
    public void The_blade_spectrum_gives_the_range_and_mean_counts_of_the_library()
    {
        CycleCount cycles = Count(PublishedData.Column(0, "fatigue", "blade_spectrum_turning_points.csv"));
        Dictionary<(double, double), double> counts = [];
        for (int i = 0; i < cycles.Count; i++)
        {
            (double, double) cell = (Math.Abs(cycles.ToN[i] - cycles.FromN[i]), (cycles.ToN[i] + cycles.FromN[i]) / 2);
            counts[cell] = counts.GetValueOrDefault(cell) + cycles.Weight[i];
        }

        string[][] rows = PublishedData.Rows("fatigue", "blade_spectrum_range_mean.csv");
        Assert.Equal(rows.Length, counts.Count);
        foreach (string[] row in rows)
        {
            Assert.Equal(PublishedData.Number(row[2]), counts[(PublishedData.Number(row[0]), PublishedData.Number(row[1]))]);
        }
    }

    // rainflow 3.2.0 on A followed by B: carrying A's residue into the count of B must give the count of the whole.
    [Fact]
    public void A_run_joined_to_the_residue_of_the_run_before_gives_the_count_of_both()
    {
        foreach (JsonElement joined in PublishedData.Cases("rainflow", "joined_runs.json"))
        {
            RainflowCounter first = new();
            first.Add(joined.Numbers("A"));
            RainflowCounter second = new(0, first.Residue.AsSpan());
            second.Add(joined.Numbers("B"));

            SortedDictionary<double, double> counts = ByRange(ClosedOnly(first));
            foreach ((double range, double count) in ByRange(second.Count()))
            {
                counts[range] = counts.GetValueOrDefault(range) + count;
            }

            SortedDictionary<double, double> expected = [];
            foreach (JsonElement pair in joined.GetProperty("counts_joined").EnumerateArray())
            {
                expected[pair[0].GetDouble()] = pair[1].GetDouble();
            }

            Assert.Equal(expected, counts);
        }
    }

    // Values of ISO 12110-2 / Amzallag 1994 (fatpack tests) and of Haibach (pylife tests): closed cycles, residue, residue run through once more.
    [Fact]
    public void Four_point_counting_gives_the_published_cycles_residue_and_repeated_residue()
    {
        JsonElement amzallag = PublishedData.Case("four_point_amzallag_reversals", "rainflow", "published_cases.json");
        CycleList cycles = OtherCounts.FourPoint(amzallag.Numbers("series"), out double[] residue);
        Assert.Equal(Pairs(amzallag, "closed_cycles_from_to"), Pairs(cycles, full: true));
        Assert.Equal(amzallag.Numbers("residue"), residue);
        Assert.Equal(Pairs(amzallag, "repeated_residue_cycles_from_to"), Pairs(OtherCounts.RepeatedResidue(residue), full: true));
    }

    // ASTM E1049-85 5.3: on the load of 5.4.4 every one of the eight ranges is half a cycle. By hand: 3, 4, 8, 6, 4, 7, 8, 6.
    [Fact]
    public void Simple_range_counting_takes_every_range_as_half_a_cycle()
    {
        double[] reversals = OtherCounts.Reversals([-2, 1, -3, 5, -1, 3, -4, 4, -2], 0);
        CycleList cycles = OtherCounts.SimpleRanges(reversals);
        double[] ranges = [.. Enumerable.Range(0, cycles.Count).Select(i => Math.Abs(cycles.To[i] - cycles.From[i]))];
        Assert.Equal([3, 4, 8, 6, 4, 7, 8, 6], ranges);
    }

    // Exact sums with mpmath, 20 digits; 1e-12 relative for double arithmetic.
    [Theory]
    [InlineData("white_ints")]
    [InlineData("mean_reverting_walk")]
    [InlineData("coarse_ties")]
    public void Equivalent_ranges_match_exact_arithmetic(string name)
    {
        CycleCount cycles = Count(PublishedData.Column(1, "rainflow", name + "_signal.csv"));
        foreach (string[] row in PublishedData.Rows("rainflow", "damage_equivalent_ranges.csv").Where(row => row[0] == name))
        {
            double expected = PublishedData.Number(row[4]);
            double range = EquivalentLoad.Range(cycles, PublishedData.Number(row[1]), PublishedData.Number(row[2]));
            Assert.InRange(range / expected, 1 - 1e-12, 1 + 1e-12);
        }
    }

    // As above for the blade spectrum.
    [Fact]
    public void Equivalent_ranges_of_the_blade_spectrum_match_exact_arithmetic()
    {
        CycleCount cycles = Count(PublishedData.Column(0, "fatigue", "blade_spectrum_turning_points.csv"));
        foreach (string[] row in PublishedData.Rows("fatigue", "blade_spectrum_equivalent_ranges.csv"))
        {
            double range = EquivalentLoad.Range(cycles, PublishedData.Number(row[0]), PublishedData.Number(row[1]));
            Assert.InRange(range / PublishedData.Number(row[3]), 1 - 1e-12, 1 + 1e-12);
        }
    }

    /// <summary>The cycles that are closed for good: all but the residue's half cycles at the end of the list.</summary>
    private static CycleCount ClosedOnly(RainflowCounter counter)
    {
        CycleCount all = counter.Count();
        int closed = all.Count - Math.Max(0, counter.Residue.Length - 1);
        return new(all.FromN[..closed], all.ToN[..closed], all.FromIndex[..closed], all.ToIndex[..closed], all.Weight[..closed]);
    }

    private static List<(double, double)> Pairs(JsonElement element, string name) =>
        [.. element.GetProperty(name).EnumerateArray().Select(p => Sorted(p[0].GetDouble(), p[1].GetDouble())).Order()];

    private static List<(double, double)> Pairs(CycleList cycles, bool full)
    {
        List<(double, double)> pairs = [];
        for (int i = 0; i < cycles.Count; i++)
        {
            if (cycles.Weight[i] == 1 == full)
            {
                pairs.Add(Sorted(cycles.From[i], cycles.To[i]));
            }
        }

        pairs.Sort();
        return pairs;
    }

    private static (double, double) Sorted(double a, double b) => (Math.Min(a, b), Math.Max(a, b));
}
