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
    public static List<SampleSpan> Find(ReadOnlySpan<double> load, double smallestN, double rateHz)
    {
        List<SampleSpan> spikes = [];
        if (rateHz < LowestRateHz)
        {
            return spikes;
        }

        int most = Math.Clamp((int)(LongestS * rateHz), 1, MostSamples);
        for (int i = 2; i + 2 < load.Length; i++)
        {
            double away = load[i] - load[i - 1];
            if (!(Math.Abs(away) > smallestN))
            {
                continue;
            }

            for (int count = 1; count <= most && i + count + 1 < load.Length; count++)
            {
                if (IsSpike(load, i, count, away))
                {
                    spikes.Add(new(i, count));
                    i += count;
                    break;
                }
            }
        }

        return spikes;
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
