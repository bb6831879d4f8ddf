using System.Collections.Immutable;

namespace Telemetry.Health;

/// <summary>Step, scatter and noise of samples, from a share of them that keeps the cost small.</summary>
internal static class SampleScatter
{
    /// <summary>Differences that are looked at for one figure: their median is then known to about 2 %.</summary>
    private const int Wanted = 4096;

    /// <summary>A difference below this share of the numbers themselves is rounding of their conversion, not a step.</summary>
    private const double RoundingShare = 1e-11;

    /// <summary>
    /// Smallest step of the numbers: the least difference between neighbours that is not 0, if nearly all others are whole multiples of it; else 0.
    /// </summary>
    public static double StepOf(ReadOnlySpan<double> samples)
    {
        const int pieces = 32;
        const int length = 256;
        const double wholeWithin = 0.02;
        const double nearlyAll = 0.98;
        Span<double> seen = stackalloc double[pieces * length];
        int count = 0;
        double smallest = double.PositiveInfinity;
        for (int piece = 0; piece < pieces; piece++)
        {
            int from = (int)((long)piece * Math.Max(0, samples.Length - length) / (pieces - 1));
            for (int i = Math.Max(1, from); i < Math.Min(samples.Length, from + length); i++)
            {
                double difference = Math.Abs(samples[i] - samples[i - 1]);
                if (difference > RoundingShare * Math.Abs(samples[i]) && double.IsFinite(difference))
                {
                    seen[count++] = difference;
                    smallest = Math.Min(smallest, difference);
                }
            }
        }

        if (count < 2)
        {
            return 0;
        }

        int whole = 0;
        foreach (double difference in seen[..count])
        {
            double steps = difference / smallest;
            whole += steps < 1e6 && Math.Abs(steps - Math.Round(steps)) < wholeWithin + (1e-6 * steps) ? 1 : 0;
        }

        return whole >= nearlyAll * count ? smallest : 0;
    }

    /// <summary>Robust standard deviation of the differences between neighbours in the given stretches; 0 when there is none.</summary>
    public static double OfDifferences(ReadOnlySpan<double> samples, ImmutableArray<SampleSpan> spans)
    {
        double[] differences = Differences(samples, spans, isSecond: false, out int count);
        return count == 0 ? 0 : OrderStatistics.NormalConsistency * differences[count / 2];
    }

    /// <summary>
    /// Standard deviation of white noise, from the mean size of the second differences of neighbours: sqrt(pi / 12) of it, for normal values.
    /// Rocking and drift bend little within three samples. The largest hundredth is left out, so that a bump does not count. NaN when there are fewer than 100.
    /// </summary>
    public static double NoiseOf(ReadOnlySpan<double> samples, ImmutableArray<SampleSpan> spans)
    {
        const int least = 100;
        const double kept = 0.99;
        double[] differences = Differences(samples, spans, isSecond: true, out int count);
        if (count < least)
        {
            return double.NaN;
        }

        double sum = 0;
        int used = (int)(kept * count);
        foreach (double difference in differences.AsSpan(0, used))
        {
            sum += difference;
        }

        // Without its largest hundredth the mean of a half-normal distribution is 2.7 % smaller: (1 - exp(-2.576^2 / 2)) / 0.99.
        return Math.Sqrt(Math.PI / 12) * sum / used / 0.973;
    }

    /// <summary>Sizes of differences, sorted; every so many are taken so that about <see cref="Wanted"/> remain.</summary>
    private static double[] Differences(ReadOnlySpan<double> samples, ImmutableArray<SampleSpan> spans, bool isSecond, out int count)
    {
        long all = 0;
        foreach (SampleSpan span in spans)
        {
            all += span.Count;
        }

        // An odd stride does not fall in step with anything periodic that the logger makes.
        int stride = (int)(all / Wanted) | 1;
        double[] differences = new double[(int)((all / stride) + spans.Length)];
        count = 0;
        foreach (SampleSpan span in spans)
        {
            for (int i = span.First + 1; i + 1 < span.End; i += stride)
            {
                double difference = Math.Abs(isSecond ? samples[i - 1] - (2 * samples[i]) + samples[i + 1] : samples[i] - samples[i - 1]);
                if (double.IsFinite(difference) && count < differences.Length)
                {
                    differences[count++] = difference;
                }
            }
        }

        Array.Sort(differences, 0, count);
        return differences;
    }
}
