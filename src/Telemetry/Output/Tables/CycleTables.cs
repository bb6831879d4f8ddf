using System.Collections.Immutable;
using Telemetry.Fatigue;

namespace Telemetry.Output.Tables;

/// <summary>Counted cycles as a range-mean matrix and as an exceedance curve, a component at a time.</summary>
/// <remarks>
/// A long log closes hundreds of thousands of cycles, most of them tiny, so the files hold bins and not single cycles.
/// Bins start at 0 N and are 1, 2 or 5 times a power of ten wide, as wide as it takes to cover the largest range with at most
/// <see cref="MostRangeBins"/>; a value on an edge belongs to the bin above it.
/// </remarks>
internal static class CycleTables
{
    /// <summary>Enough that a bin is at most a fiftieth of the largest range, few enough to read.</summary>
    public const int MostRangeBins = 50;

    /// <summary>Range-mean matrix: one row for each bin that holds a cycle, ranges falling, so the ones that hurt stand first.</summary>
    public static ResultTable Cycles(FatigueResult fatigue)
    {
        ImmutableArray<TableColumn> columns =
        [
            new("component", ""), new("range from", "N"), new("range to", "N"), new("mean from", "N"), new("mean to", "N"), new("cycles", "-", 1),
        ];
        ImmutableArray<ImmutableArray<TableCell>>.Builder rows = ImmutableArray.CreateBuilder<ImmutableArray<TableCell>>();
        foreach (ComponentResult result in fatigue.Components)
        {
            double width = BinWidthN(result.Cycles);
            foreach (((int range, int mean), double count) in Bins(result.Cycles, width)
                .OrderByDescending(bin => bin.Key.Range).ThenBy(bin => bin.Key.Mean))
            {
                rows.Add([result.Component.Id, range * width, (range + 1) * width, mean * width, (mean + 1) * width, count]);
            }
        }

        return new("cycles", "Load cycles by range and mean", columns, rows.ToImmutable());
    }

    /// <summary>How many cycles reach at least a range; levels are the lower edges of the range bins, falling.</summary>
    public static ResultTable Exceedance(FatigueResult fatigue)
    {
        ImmutableArray<TableColumn> columns = [new("component", ""), new("range at least", "N"), new("cycles", "-", 1)];
        ImmutableArray<ImmutableArray<TableCell>>.Builder rows = ImmutableArray.CreateBuilder<ImmutableArray<TableCell>>();
        foreach (ComponentResult result in fatigue.Components)
        {
            double width = BinWidthN(result.Cycles);
            double[] byRange = ByRange(result.Cycles, width);
            double count = 0;
            for (int bin = byRange.Length - 1; bin >= 0; bin--)
            {
                count += byRange[bin];
                rows.Add([result.Component.Id, bin * width, count]);
            }
        }

        return new("exceedance", "Cycles that reach a range", columns, rows.ToImmutable());
    }

    /// <summary>Width of a bin, N; 1 where there is no cycle with a range.</summary>
    internal static double BinWidthN(CycleCount cycles)
    {
        double largest = cycles.LargestRangeN();
        if (!(largest > 0))
        {
            return 1;
        }

        double least = largest / MostRangeBins;
        double decade = Math.Pow(10, Math.Floor(Math.Log10(least)));
        double share = least / decade;
        return decade * (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
    }

    private static double[] ByRange(CycleCount cycles, double width)
    {
        ReadOnlySpan<double> from = cycles.FromN.AsSpan();
        ReadOnlySpan<double> to = cycles.ToN.AsSpan();
        ReadOnlySpan<double> weight = cycles.Weight.AsSpan();
        // The largest range may lie on the upper edge of the last bin, and then opens one more.
        double[] counts = new double[MostRangeBins + 1];
        int used = 0;
        for (int i = 0; i < from.Length; i++)
        {
            int bin = RangeBin(from[i], to[i], width);
            counts[bin] += weight[i];
            used = Math.Max(used, bin + 1);
        }

        return counts[..used];
    }

    private static Dictionary<(int Range, int Mean), double> Bins(CycleCount cycles, double width)
    {
        ReadOnlySpan<double> from = cycles.FromN.AsSpan();
        ReadOnlySpan<double> to = cycles.ToN.AsSpan();
        ReadOnlySpan<double> weight = cycles.Weight.AsSpan();
        Dictionary<(int Range, int Mean), double> counts = [];
        (int Range, int Mean) here = default;
        double sum = 0;
        for (int i = 0; i < from.Length; i++)
        {
            (int Range, int Mean) bin = (RangeBin(from[i], to[i], width), (int)Math.Floor((from[i] + to[i]) / 2 / width));
            if (bin != here)
            {
                Keep();
                (here, sum) = (bin, 0);
            }

            sum += weight[i];
        }

        Keep();
        return counts;

        // Neighbours mostly share a bin: it is looked up once for all of them.
        void Keep()
        {
            if (sum > 0)
            {
                System.Runtime.InteropServices.CollectionsMarshal.GetValueRefOrAddDefault(counts, here, out _) += sum;
            }
        }
    }

    private static int RangeBin(double from, double to, double width) =>
        Math.Min((int)Math.Floor(Math.Abs(to - from) / width), MostRangeBins);
}
