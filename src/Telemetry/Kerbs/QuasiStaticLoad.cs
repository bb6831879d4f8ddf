using System.Runtime.Intrinsics;

namespace Telemetry.Kerbs;

/// <summary>The slow part of a load: what braking, cornering and speed do, without what the road does.</summary>
/// <remarks>
/// A running median of block medians. It follows any steady rise or fall exactly and does not move for a pulse shorter than half its window,
/// so that a strike cannot pull up the ground that it is measured from (J. W. Tukey, Exploratory Data Analysis, 1977, running medians; from memory).
/// </remarks>
internal sealed class QuasiStaticLoad
{
    private readonly double[] levels;
    private readonly int blockLength;

    private QuasiStaticLoad(double[] levels, int blockLength)
    {
        this.levels = levels;
        this.blockLength = blockLength;
    }

    /// <summary>Finds the slow part of a load.</summary>
    /// <param name="load">Samples; what is not finite is left out.</param>
    /// <param name="stepS">Time between samples, s.</param>
    /// <param name="blockS">Length of a block, s; at least one sample.</param>
    /// <param name="windowS">Length of the window, s; at least three blocks.</param>
    public static QuasiStaticLoad Of(SampleSource load, double stepS, double blockS, double windowS)
    {
        int length = Math.Max(1, (int)Math.Round(blockS / stepS));
        int half = Math.Max(1, (int)Math.Round(windowS / (length * stepS) / 2));
        double[] medians = BlockMedians(load, length);
        return new(RunningMedian(medians, half), length);
    }

    /// <summary>Takes the slow part off some samples of a load.</summary>
    /// <param name="load">The samples.</param>
    /// <param name="start">Where the first of them lies in the whole load.</param>
    /// <param name="dynamic">Receives sample minus slow part; NaN where either is unknown.</param>
    public void Subtract(ReadOnlySpan<double> load, int start, Span<double> dynamic)
    {
        double centre = (blockLength - 1) / 2.0;
        int end = start + load.Length;
        for (int at = start; at < end;)
        {
            int block = at / blockLength;
            int from = block * blockLength;
            int to = Math.Min(from + blockLength, end);
            double here = levels[block];
            double before = block > 0 && double.IsFinite(levels[block - 1]) ? levels[block - 1] : here;
            double after = block + 1 < levels.Length && double.IsFinite(levels[block + 1]) ? levels[block + 1] : here;
            Vector256<double> heres = Vector256.Create(here), rise = Vector256.Create(here - before), fall = Vector256.Create(after - here), length = Vector256.Create((double)blockLength);
            for (; at <= to - Vector256<double>.Count; at += Vector256<double>.Count)
            {
                // Straight lines between the middles of the blocks, four samples at a time.
                double first = at - from;
                Vector256<double> alongs = (Vector256.Create(first, first + 1, first + 2, first + 3) - Vector256.Create(centre)) / length;
                Vector256<double> level = heres + (alongs * Vector256.ConditionalSelect(Vector256.LessThan(alongs, Vector256<double>.Zero), rise, fall));
                (Vector256.Create(load[(at - start)..]) - level).CopyTo(dynamic[(at - start)..]);
            }

            for (; at < to; at++)
            {
                double along = (at - from - centre) / blockLength;
                double level = along < 0 ? here + (along * (here - before)) : here + (along * (after - here));
                dynamic[at - start] = load[at - start] - level;
            }
        }
    }

    private static double[] BlockMedians(SampleSource load, int length)
    {
        double[] medians = new double[(load.Length + length - 1) / length];
        double[] block = new double[length], room = new double[length];
        for (int b = 0; b < medians.Length; b++)
        {
            int count = 0;
            foreach (double value in load.Read(b * length, Math.Min(length, load.Length - (b * length)), room))
            {
                if (double.IsFinite(value))
                {
                    block[count++] = value;
                }
            }

            medians[b] = OrderStatistics.Median(block.AsSpan(0, count));
        }

        return medians;
    }

    private static double[] RunningMedian(double[] values, int half)
    {
        double[] result = new double[values.Length];
        SortedWindow window = new((2 * half) + 1);
        for (int i = 0; i < Math.Min(half, values.Length); i++)
        {
            window.Add(values[i]);
        }

        for (int i = 0; i < values.Length; i++)
        {
            if (i - half - 1 >= 0)
            {
                window.Remove(values[i - half - 1]);
            }

            if (i + half < values.Length)
            {
                window.Add(values[i + half]);
            }

            ReadOnlySpan<double> sorted = window.Values;
            result[i] = sorted.IsEmpty || double.IsNaN(values[i]) ? double.NaN : (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
        }

        return result;
    }

    /// <summary>A few numbers in rising order; NaN is none.</summary>
    private sealed class SortedWindow(int most)
    {
        private readonly double[] _sorted = new double[most];
        private int _count;

        public ReadOnlySpan<double> Values => _sorted.AsSpan(0, _count);

        public void Add(double value)
        {
            if (!double.IsNaN(value))
            {
                int at = OrderStatistics.Ranks(Values, value).Smaller;
                _sorted.AsSpan(at, _count - at).CopyTo(_sorted.AsSpan(at + 1));
                _sorted[at] = value;
                _count++;
            }
        }

        /// <summary>Takes out a number that was added.</summary>
        public void Remove(double value)
        {
            if (!double.IsNaN(value))
            {
                int at = OrderStatistics.Ranks(Values, value).Smaller;
                _sorted.AsSpan(at + 1, _count - at - 1).CopyTo(_sorted.AsSpan(at));
                _count--;
            }
        }
    }
}
