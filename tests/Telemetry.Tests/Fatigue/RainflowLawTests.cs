using System.Collections.Immutable;
using CsCheck;
using Telemetry.Fatigue;

namespace Telemetry.Tests.Fatigue;

/// <summary>Laws that hold for any load: checked on random ones, small whole numbers so that ties and plateaus are common.</summary>
public class RainflowLawTests
{
    // A small number of levels makes ties; one in twelve samples is missing.
    private static readonly Gen<double[]> Loads =
        Gen.Int[0, 11].SelectMany(kind => Gen.Int[-6, 6].Select(level => kind == 0 ? double.NaN : level)).Array[0, 300];

    private static CycleCount Count(ReadOnlySpan<double> series, double smallest = 0)
    {
        RainflowCounter counter = new(smallest);
        counter.Add(series);
        return counter.Count();
    }

    private static void AssertSame(CycleCount expected, CycleCount actual)
    {
        Assert.Equal(expected.FromN.AsSpan(), actual.FromN.AsSpan());
        Assert.Equal(expected.ToN.AsSpan(), actual.ToN.AsSpan());
        Assert.Equal(expected.FromIndex.AsSpan(), actual.FromIndex.AsSpan());
        Assert.Equal(expected.ToIndex.AsSpan(), actual.ToIndex.AsSpan());
        Assert.Equal(expected.Weight.AsSpan(), actual.Weight.AsSpan());
    }

    [Fact]
    public void Any_chunking_gives_exactly_the_count_of_the_whole() =>
        Gen.Select(Loads, Gen.Int[1, 90].Array[1, 6], Gen.Int[0, 4]).Sample(
            (series, lengths, smallest) =>
            {
                RainflowCounter counter = new(smallest);
                int at = 0;
                for (int chunk = 0; at < series.Length; chunk++)
                {
                    int length = Math.Min(lengths[chunk % lengths.Length], series.Length - at);
                    counter.Add(series.AsSpan(at, length));
                    _ = counter.Count();
                    at += length;
                }

                AssertSame(Count(series, smallest), counter.Count());
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_right_a_low_or_a_high_expectation_gives_the_same_count() =>
        Gen.Select(Gen.Int[-40, 40].Array[0, 3000], Gen.Int[0, 9].Array[0, 4], Gen.Int[0, 4], Gen.Int[-400, 400]).Sample(
            (levels, residue, smallest, wrongBy) =>
            {
                double[] series = [.. levels.Select(level => (double)level)];
                // Ranges that fall are a residue that a count can leave.
                double[] carried = [.. residue.Select((part, i) => (i % 2 == 0 ? 1 : -1) * (200.0 - (20 * i) - part))];
                RainflowCounter plain = new(smallest, carried);
                plain.Add(series);
                CycleCount whole = plain.Count();
                RainflowCounter expecting = new(smallest, carried, Math.Max(0, whole.FromN.Length + wrongBy));
                expecting.Add(series);
                AssertSame(whole, expecting.Finish().ToCycleCount());
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void Counting_alone_gives_the_number_of_cycles_from_the_samples_and_from_their_turning_points() =>
        Gen.Select(Loads, Loads, Gen.Int[0, 4]).Sample(
            (before, series, smallest) =>
            {
                RainflowCounter first = new(smallest);
                first.Add(before);
                ImmutableArray<double> carried = first.Residue;
                RainflowCounter whole = new(smallest, carried.AsSpan());
                whole.Add(series);
                int expected = whole.Count().FromN.Length;
                Assert.Equal(expected, RainflowCounter.CyclesOf(smallest, carried.AsSpan(), series));
                Assert.Equal(expected, RainflowCounter.CyclesOf(smallest, carried.AsSpan(), OtherCounts.Reversals(series, 0)));
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_load_that_never_moves_has_one_turning_point_and_closes_what_was_carried_as_its_samples_do()
    {
        // By hand: 5, -4, 3 carried and then -1 without a move: 3 to -1 opens the third range, which the carried points alone do not have.
        double[] still = [-1, double.NaN, -1];
        Assert.Equal([-1.0], OtherCounts.Reversals(still, 0));
        Assert.Empty(OtherCounts.Reversals([double.NaN], 0));
        Assert.Equal(3, RainflowCounter.CyclesOf(0, [5, -4, 3], still));
        Assert.Equal(3, RainflowCounter.CyclesOf(0, [5, -4, 3], OtherCounts.Reversals(still, 0)));
    }

    [Fact]
    public void One_sample_at_a_time_gives_the_same_count_as_blocks_of_sixty_four() =>
        Gen.Select(Gen.Double[-1, 1].Array[0, 700], Gen.Int[0, 40]).Sample(
            (series, gapEvery) =>
            {
                for (int i = gapEvery; gapEvery > 0 && i < series.Length; i += 7 * gapEvery)
                {
                    series[i] = i % 2 == 0 ? double.NaN : double.PositiveInfinity;
                }

                RainflowCounter counter = new();
                for (int i = 0; i < series.Length; i++)
                {
                    counter.Add(series.AsSpan(i, 1));
                }

                AssertSame(Count(series), counter.Count());
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_carried_residue_gives_exactly_the_cycles_of_the_joined_runs() =>
        Gen.Select(Loads, Loads, Gen.Int[0, 4]).Sample(
            (before, after, smallest) =>
            {
                RainflowCounter first = new(smallest);
                first.Add(before);
                RainflowCounter second = new(smallest, first.Residue.AsSpan());
                second.Add(after);
                RainflowCounter whole = new(smallest);
                whole.Add([.. before, .. after]);

                Assert.Equal(whole.Residue.AsSpan(), second.Residue.AsSpan());
                CycleCount one = first.Count();
                CycleCount two = second.Count();
                CycleCount all = whole.Count();
                int closedFirst = one.Count - Open(first, smallest);
                Assert.Equal(all.FromN.AsSpan(), (double[])[.. one.FromN.AsSpan()[..closedFirst], .. two.FromN]);
                Assert.Equal(all.ToN.AsSpan(), (double[])[.. one.ToN.AsSpan()[..closedFirst], .. two.ToN]);
                Assert.Equal(all.Weight.AsSpan(), (double[])[.. one.Weight.AsSpan()[..closedFirst], .. two.Weight]);
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void Half_cycles_of_the_residue_count_once()
    {
        RainflowCounter counter = new();
        counter.Add([0, 5, 1, 4, 2]);
        AssertSame(counter.Count(), counter.Count());

        // By hand: the ranges 5, 4, 3, 2 fall, so nothing closes and each is half a cycle.
        Assert.Equal([0.5, 0.5, 0.5, 0.5], counter.Count().Weight.AsSpan());
        Assert.Equal([0, 5, 1, 4, 2], counter.Residue.AsSpan());
    }

    [Fact]
    public void Every_range_between_reversals_is_used_up_exactly() =>
        Loads.Sample(
            series =>
            {
                // Sum of weight times range is half the way that the load travels (each metre of the way is half of one cycle).
                double[] reversals = OtherCounts.Reversals(series, 0);
                double way = 0;
                for (int i = 0; i + 1 < reversals.Length; i++)
                {
                    way += Math.Abs(reversals[i + 1] - reversals[i]);
                }

                CycleCount cycles = Count(series);
                double counted = 0;
                for (int i = 0; i < cycles.Count; i++)
                {
                    counted += cycles.Weight[i] * Math.Abs(cycles.ToN[i] - cycles.FromN[i]);
                }

                Assert.Equal(way / 2, counted);
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_mirrored_load_gives_mirrored_cycles() =>
        Loads.Sample(
            series =>
            {
                CycleCount cycles = Count(series);
                CycleCount mirrored = Count(Array.ConvertAll(series, x => -x));
                Assert.Equal(cycles.FromN.AsSpan(), Array.ConvertAll(mirrored.FromN.ToArray(), x => -x));
                Assert.Equal(cycles.FromIndex.AsSpan(), mirrored.FromIndex.AsSpan());
                Assert.Equal(cycles.ToIndex.AsSpan(), mirrored.ToIndex.AsSpan());
                Assert.Equal(cycles.Weight.AsSpan(), mirrored.Weight.AsSpan());
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_gap_never_invents_a_reversal() =>
        Gen.Select(Gen.Int[-6, 6].Select(x => (double)x).Array[1, 200], Gen.Int[0, 199], Gen.Int[1, 40]).Sample(
            (series, start, length) =>
            {
                double[] gapped = [.. series];
                for (int i = start; i < Math.Min(start + length, series.Length); i++)
                {
                    gapped[i] = double.NaN;
                }

                // The count with a gap is the count of the samples that are left.
                CycleCount left = Count(Array.FindAll(gapped, double.IsFinite));
                CycleCount cycles = Count(gapped);
                Assert.Equal(left.FromN.AsSpan(), cycles.FromN.AsSpan());
                Assert.Equal(left.ToN.AsSpan(), cycles.ToN.AsSpan());
                Assert.All(cycles.FromIndex, index => Assert.True(double.IsFinite(gapped[index])));
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void The_reversal_filter_drops_exactly_the_cycles_below_it() =>
        Gen.Select(Loads, Gen.Int[1, 6]).Sample(
            (series, smallest) =>
            {
                CycleCount filtered = Count(series, smallest);
                CycleCount all = Count(series);
                Assert.Equal(
                    Ranges(all).Where(r => r.Range >= smallest).Order(),
                    Ranges(filtered).Order());
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void Four_point_and_three_point_counting_agree_by_range() =>
        Loads.Sample(
            series =>
            {
                CycleList four = OtherCounts.FourPoint(OtherCounts.Reversals(series, 0), out _);
                Assert.Equal(Total(Ranges(Count(series))), Total(Ranges(four.ToCycleCount())));
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_repeated_residue_never_does_less_than_its_half_cycles() =>
        Loads.Sample(
            series =>
            {
                OtherCounts.FourPoint(OtherCounts.Reversals(series, 0), out double[] residue);
                CycleList halves = OtherCounts.SimpleRanges(residue);
                CycleList repeated = OtherCounts.RepeatedResidue(residue);
                Assert.True(Power(repeated) >= Power(halves), $"{Power(repeated)} < {Power(halves)}");
            },
            seed: "0000KOIkZbA5");

    [Theory]
    [InlineData(new double[0], 0)]
    [InlineData(new double[] { 3 }, 0)]
    [InlineData(new double[] { 3, 3, 3 }, 0)]
    [InlineData(new double[] { double.NaN, double.NaN }, 0)]
    [InlineData(new double[] { 3, double.NaN, 3 }, 0)]
    [InlineData(new double[] { 3, 4 }, 1)]
    [InlineData(new double[] { 3, double.NaN, 4 }, 1)]
    [InlineData(new double[] { 3, double.PositiveInfinity, 4 }, 1)]
    public void Short_loads_give_at_most_one_half_cycle(double[] series, int cycles) => Assert.Equal(cycles, Count(series).Count);

    [Fact]
    public void A_carried_value_that_is_no_number_is_refused() =>
        Assert.Throws<ArgumentException>(() => new RainflowCounter(0, [1, double.NaN]));

    [Theory]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    public void A_smallest_range_below_zero_is_refused(double smallest) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new RainflowCounter(smallest));

    private static int Open(RainflowCounter counter, double smallest)
    {
        ImmutableArray<double> residue = counter.Residue;
        bool isSettled = residue.Length > 2 || (residue.Length == 2 && Math.Abs(residue[1] - residue[0]) >= smallest);
        return isSettled ? residue.Length - 1 : 0;
    }

    private static IEnumerable<(double Range, double Weight)> Ranges(CycleCount cycles) =>
        Enumerable.Range(0, cycles.Count).Select(i => (Math.Abs(cycles.ToN[i] - cycles.FromN[i]), cycles.Weight[i]));

    private static List<(double, double)> Total(IEnumerable<(double Range, double Weight)> ranges) =>
        [.. ranges.GroupBy(r => r.Range).Select(g => (g.Key, g.Sum(r => r.Weight))).Order()];

    private static double Power(CycleList cycles)
    {
        double sum = 0;
        for (int i = 0; i < cycles.Count; i++)
        {
            sum += cycles.Weight[i] * Math.Pow(Math.Abs(cycles.To[i] - cycles.From[i]), 5);
        }

        return sum;
    }
}
