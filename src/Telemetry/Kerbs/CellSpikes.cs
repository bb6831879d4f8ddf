namespace Telemetry.Kerbs;

/// <summary>Samples of a load that jump away and back faster than any part with mass moves: one to three in a row.</summary>
/// <remarks>
/// A jump counts when it and the way back are each more than four times as large as the two samples before and the two after are apart, so that the flank of a
/// steep strike, whose neighbours are themselves far apart, is never taken for one. The same rule as for a lone sample, for a few more.
/// </remarks>
internal static class CellSpikes
{
    /// <summary>Most samples of a spike.</summary>
    private const int MostSamples = 3;

    /// <summary>Longest spike, s: a strike's peak is broader at its top.</summary>
    private const double LongestS = 0.004;

    private const double SpikeRatio = 4;

    /// <summary>Below this logging rate a few samples can hold a whole strike, Hz.</summary>
    private const double LowestRateHz = 400;

    /// <summary>The first sample and the length of each spike, in order.</summary>
    /// <param name="load">The load; what is not finite is no spike and has none beside it.</param>
    /// <param name="smallestN">Smallest jump, N: the scatter of the quiet road.</param>
    /// <param name="rateHz">Logging rate, Hz.</param>
    public static List<SampleSpan> Find(SampleSource load, double smallestN, double rateHz)
    {
        List<SampleSpan> spikes = [];
        if (rateHz < LowestRateHz)
        {
            return spikes;
        }

        // Each block with what a spike at its edge is judged by: two samples before, itself and two after.
        int most = Math.Clamp((int)(LongestS * rateHz), 1, MostSamples);
        double[] room = new double[SampleSource.RoomForBlock().Length + 2 + most + 2];
        int at = 2;
        foreach ((int start, int count) in SampleSource.Blocks(2, load.Length))
        {
            int from = start - 2;
            ReadOnlySpan<double> near = load.Read(from, Math.Min(load.Length, start + count + most + 2) - from, room);
            for (at = Math.Max(at, start); at < start + count && at + 2 < load.Length; at++)
            {
                int length = LengthAt(near, at - from, most, smallestN);
                if (length > 0)
                {
                    spikes.Add(new(at, length));
                    at += length;
                }
            }
        }

        return spikes;
    }

    /// <summary>Samples of the spike that begins at one; 0 when none does.</summary>
    private static int LengthAt(ReadOnlySpan<double> load, int i, int most, double smallestN)
    {
        double away = load[i] - load[i - 1];
        for (int count = 1; Math.Abs(away) > smallestN && count <= most && i + count + 1 < load.Length; count++)
        {
            if (IsSpike(load, i, count, away))
            {
                return count;
            }
        }

        return 0;
    }

    private static bool IsSpike(ReadOnlySpan<double> load, int at, int count, double away)
    {
        int end = at + count;
        double low = Math.Min(Math.Min(load[at - 2], load[at - 1]), Math.Min(load[end], load[end + 1]));
        double high = Math.Max(Math.Max(load[at - 2], load[at - 1]), Math.Max(load[end], load[end + 1]));
        double least = double.PositiveInfinity;
        for (int i = at; i < end; i++)
        {
            least = Math.Min(least, away > 0 ? load[i] - high : low - load[i]);
        }

        // NaN among the neighbours makes the comparison false: beside a gap nothing is claimed.
        return least > SpikeRatio * (high - low) && least > 0;
    }
}
