using System.Runtime.InteropServices;

namespace Telemetry.Simulation;

/// <summary>The simplest rainflow count, written apart from the analyser's so that one can check the other.</summary>
/// <remarks>
/// Four-point method (Amzallag, Gerey, Robert, Bahuaud, Int. J. Fatigue 16 (1994) 287): of four successive turning points the inner pair is a
/// closed cycle when its range is not larger than either neighbour's. The residue is counted as half cycles, as ASTM E1049-85 5.4.4 does with its own;
/// both counts give the same ranges and sums.
/// </remarks>
internal static class FourPointCount
{
    private const double BinN = 250;
    private const int Slope = 5;
    private const double EquivalentCycles = 1e6;

    public static RainflowTruth Of(ReadOnlySpan<double> load)
    {
        List<double> stack = [];
        List<double> ranges = [];
        List<double> counts = [];
        double before = double.NaN;
        for (int i = 0; i < load.Length; i++)
        {
            // A sample on the way from the last point to the next is no turning point, and neither is the end of a plateau that began at one.
            if (i > 0 && (load[i] == before || (i + 1 < load.Length && ((load[i] - before) * (load[i + 1] - load[i]) > 0 || load[i] == load[i + 1]))))
            {
                continue;
            }

            before = load[i];
            Push(stack, load[i], ranges, counts);
        }

        Span<double> left = CollectionsMarshal.AsSpan(stack);
        for (int i = 0; i + 1 < left.Length; i++)
        {
            ranges.Add(Math.Abs(left[i + 1] - left[i]));
            counts.Add(0.5);
        }

        return Summary(ranges, counts);
    }

    private static void Push(List<double> stack, double point, List<double> ranges, List<double> counts)
    {
        stack.Add(point);
        while (stack.Count >= 4)
        {
            Span<double> s = CollectionsMarshal.AsSpan(stack)[^4..];
            double first = Math.Abs(s[1] - s[0]);
            double inner = Math.Abs(s[2] - s[1]);
            double last = Math.Abs(s[3] - s[2]);
            if (inner > first || inner > last)
            {
                return;
            }

            ranges.Add(inner);
            counts.Add(1);
            stack.RemoveRange(stack.Count - 3, 2);
        }
    }

    private static RainflowTruth Summary(List<double> ranges, List<double> counts)
    {
        double largest = 0;
        double total = 0;
        double damage = 0;
        foreach (double range in ranges)
        {
            largest = Math.Max(largest, range);
        }

        double[] bins = new double[(int)(largest / BinN) + 1];
        for (int i = 0; i < ranges.Count; i++)
        {
            double range = ranges[i];
            double square = range * range;
            bins[(int)(range / BinN)] += counts[i];
            total += counts[i];
            damage += counts[i] * square * square * range;
        }

        double equivalent = damage > 0 ? PortableMath.Exp(PortableMath.Log(damage / EquivalentCycles) / Slope) : 0;
        return new RainflowTruth(total, largest, equivalent, BinN, ImmutableCollectionsMarshal.AsImmutableArray(bins));
    }
}
