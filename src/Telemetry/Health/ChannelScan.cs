using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>What one pass over a channel on the clock shows.</summary>
/// <param name="Missing">Samples without a number.</param>
/// <param name="LongestGap">Longest run of missing samples.</param>
/// <param name="LongestGapAt">First sample of it.</param>
/// <param name="LongestStuck">Longest run of one repeated number while the car runs.</param>
/// <param name="LongestStuckAt">First sample of it.</param>
/// <param name="AtLimit">Samples at an end of the sensor's range.</param>
/// <param name="FirstAtLimit">First of them; -1 when none.</param>
/// <param name="Spikes">Single samples that no wheel can make.</param>
/// <param name="FirstSpike">First of them; -1 when none.</param>
internal readonly record struct ChannelScan(
    int Missing,
    int LongestGap,
    int LongestGapAt,
    int LongestStuck,
    int LongestStuckAt,
    int AtLimit,
    int FirstAtLimit,
    int Spikes,
    int FirstSpike)
{
    /// <summary>Every so many samples one difference is taken for the scatter, so that the sort stays small.</summary>
    private const int ScatterStride = 37;

    /// <summary>Consistency factor of the median absolute deviation for a normal distribution.</summary>
    private const double NormalConsistency = 1.4826;

    public static ChannelScan Of(ReadOnlySpan<double> samples, ReadOnlySpan<bool> running, (double Low, double High)? range, HealthOptions options, bool lookForSpikes)
    {
        double low = double.NegativeInfinity;
        double high = double.PositiveInfinity;
        if (range is (double from, double to))
        {
            low = from + (options.RangeEdgeShare * (to - from));
            high = to - (options.RangeEdgeShare * (to - from));
        }

        double spikeLimit = lookForSpikes ? options.SpikeScatter * ScatterOfDifferences(samples, running) : double.PositiveInfinity;
        spikeLimit = spikeLimit > 0 ? spikeLimit : double.PositiveInfinity;
        int missing = 0, gap = 0, longestGap = 0, gapAt = 0;
        int same = 0, longestSame = 0, sameAt = 0;
        int atLimit = 0, firstAtLimit = -1, spikes = 0, firstSpike = -1;
        for (int i = 0; i < samples.Length; i++)
        {
            double value = samples[i];
            if (double.IsNaN(value))
            {
                missing++;
                gap++;
                same = 0;
                if (gap > longestGap)
                {
                    longestGap = gap;
                    gapAt = i - gap + 1;
                }

                continue;
            }

            gap = 0;
            same = running[i] && i > 0 && value == samples[i - 1] ? same + 1 : 0;
            if (same > longestSame)
            {
                longestSame = same;
                sameAt = i - same;
            }

            if (value <= low || value >= high)
            {
                atLimit++;
                firstAtLimit = firstAtLimit < 0 ? i : firstAtLimit;
            }

            if (i > 0 && i + 1 < samples.Length)
            {
                double rise = value - samples[i - 1];
                double fall = value - samples[i + 1];
                if (rise * fall > 0 && Math.Min(Math.Abs(rise), Math.Abs(fall)) > spikeLimit)
                {
                    spikes++;
                    firstSpike = firstSpike < 0 ? i : firstSpike;
                }
            }
        }

        return new(missing, longestGap, gapAt, longestSame == 0 ? 0 : longestSame + 1, sameAt, atLimit, firstAtLimit, spikes, firstSpike);
    }

    /// <summary>Where the car runs; all false without a speed.</summary>
    public static bool[] RunningMask(Run run, double speedMps)
    {
        bool[] running = new bool[run.Count];
        ReadOnlySpan<double> speed = run.OnClock(Car.ChannelRole.Speed);
        for (int i = 0; i < speed.Length; i++)
        {
            running[i] = speed[i] > speedMps;
        }

        return running;
    }

    private static double ScatterOfDifferences(ReadOnlySpan<double> samples, ReadOnlySpan<bool> running)
    {
        List<double> differences = new((samples.Length / ScatterStride) + 1);
        for (int i = 1; i < samples.Length; i += ScatterStride)
        {
            double difference = Math.Abs(samples[i] - samples[i - 1]);
            if (running[i] && double.IsFinite(difference))
            {
                differences.Add(difference);
            }
        }

        if (differences.Count == 0)
        {
            return 0;
        }

        differences.Sort();
        return NormalConsistency * differences[differences.Count / 2];
    }
}
