using CsCheck;
using Telemetry.Fatigue;

namespace Telemetry.Tests.Fatigue;

public class CycleCountingTests
{
    private static readonly Gen<double[]> Loads =
        Gen.Int[0, 11].SelectMany(kind => Gen.Int[-6, 6].Select(level => kind == 0 ? double.NaN : level)).Array[0, 200];

    // ASTM E1049-85, 5.3 on the load of figure 6 (A to I): ranges 3, 4, 8, 6, 4, 7, 8, 6, half a cycle each, between neighbouring points.
    [Fact]
    public void Simple_ranges_lie_between_neighbouring_turning_points()
    {
        CycleCount cycles = CycleCounting.Of([-2, 1, -3, 5, -1, 3, -4, 4, -2], CountMethod.SimpleRange);
        Assert.Equal([3.0, 4, 8, 6, 4, 7, 8, 6], Enumerable.Range(0, cycles.Count).Select(i => Math.Abs(cycles.ToN[i] - cycles.FromN[i])));
        Assert.Equal([0, 1, 2, 3, 4, 5, 6, 7], cycles.FromIndex.AsSpan());
        Assert.Equal([1, 2, 3, 4, 5, 6, 7, 8], cycles.ToIndex.AsSpan());
        Assert.All(cycles.Weight, weight => Assert.Equal(0.5, weight));
    }

    [Theory]
    [InlineData(CountMethod.Rainflow)]
    [InlineData(CountMethod.FourPoint)]
    [InlineData(CountMethod.SimpleRange)]
    public void Every_turning_point_is_the_load_at_its_sample(CountMethod method) =>
        Gen.Select(Loads, Gen.Int[0, 4]).Sample(
            (load, smallest) =>
            {
                CycleCount cycles = CycleCounting.Of(load, method, smallest);
                for (int i = 0; i < cycles.Count; i++)
                {
                    Assert.Equal(load[cycles.FromIndex[i]], cycles.FromN[i]);
                    Assert.Equal(load[cycles.ToIndex[i]], cycles.ToN[i]);
                    Assert.True(cycles.FromIndex[i] < cycles.ToIndex[i]);
                    Assert.True(Math.Abs(cycles.ToN[i] - cycles.FromN[i]) >= smallest);
                }
            },
            seed: "0000KOIkZbA5");

    // Many runs of any length, empty and of one sample among them, with equal neighbours, plateaus and gaps: the state carried is all there is.
    [Fact]
    public void Any_number_of_runs_carried_one_into_the_next_gives_exactly_the_cycles_of_the_joined_history() =>
        Gen.Select(Loads.Array[1, 8], Gen.Int[0, 4], Gen.Int[0, 3]).Sample(
            (runs, smallest, shortEvery) =>
            {
                List<(double, double, double)> closed = [];
                double[] carried = [];
                for (int run = 0; run < runs.Length; run++)
                {
                    double[] load = shortEvery > 0 && run % shortEvery == 0 ? runs[run][..Math.Min(1, runs[run].Length)] : runs[run];
                    runs[run] = load;
                    RainflowCounter counter = new(smallest, carried);
                    counter.Add(load);
                    carried = [.. counter.Residue];
                    CycleCount cycles = counter.Count();
                    bool isLast = run == runs.Length - 1;
                    bool isSettled = carried.Length > 2 || (carried.Length == 2 && Math.Abs(carried[1] - carried[0]) >= smallest);
                    int open = !isLast && isSettled ? carried.Length - 1 : 0;
                    closed.AddRange(Enumerable.Range(0, cycles.Count - open).Select(i => (cycles.FromN[i], cycles.ToN[i], cycles.Weight[i])));
                }

                CycleCount whole = CycleCounting.Of([.. runs.SelectMany(run => run)], CountMethod.Rainflow, smallest);
                Assert.Equal(Enumerable.Range(0, whole.Count).Select(i => (whole.FromN[i], whole.ToN[i], whole.Weight[i])), closed);
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void A_method_or_filter_that_is_not_known_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => CycleCounting.Of([1, 2], (CountMethod)9));
        Assert.Throws<ArgumentOutOfRangeException>(() => CycleCounting.Of([1, 2], CountMethod.SimpleRange, double.NaN));
    }
}
