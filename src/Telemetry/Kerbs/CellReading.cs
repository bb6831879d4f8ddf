using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Kerbs;

/// <summary>Whether a reading of a load cell can be believed: at the end of its range it is a lower bound, alone among its neighbours it is more like a spike in the wiring.</summary>
internal static class CellReading
{
    /// <summary>A spike stands this many times further out than its four neighbours are apart: no part with mass moves like that.</summary>
    private const double SpikeRatio = 4;

    /// <summary>Below this logging rate one sample can hold a whole strike, so a lone sample proves nothing, Hz.</summary>
    private const double SpikeLowestRateHz = 400;

    /// <summary>True when the sample stands alone, far from its two neighbours on each side: more like a spike in the wiring than a load.</summary>
    public static bool IsLoneSpike(SampleSource load, int index, double rateHz)
    {
        if (index < 2 || index + 2 >= load.Length || rateHz < SpikeLowestRateHz)
        {
            return false;
        }

        ReadOnlySpan<double> near = load.Between(index - 2, index + 3);
        double low = Math.Min(Math.Min(near[0], near[1]), Math.Min(near[3], near[4]));
        double high = Math.Max(Math.Max(near[0], near[1]), Math.Max(near[3], near[4]));
        double out1 = Math.Max(near[2] - high, low - near[2]);

        // NaN among the neighbours makes every comparison false: beside a gap nothing is claimed.
        return out1 > SpikeRatio * (high - low) && out1 > 0;
    }

    /// <summary>True when the reading of a cell stands at an end of its range in some sample, so that the real load went further.</summary>
    /// <param name="run">The run; the reading is taken before the zero was removed.</param>
    /// <param name="corner">The cell.</param>
    /// <param name="endShare">How near counts as at the end, share of the range.</param>
    /// <param name="from">First sample to look at.</param>
    /// <param name="to">One past the last.</param>
    public static bool StandsAtRangeEnd(Run run, Corner corner, double endShare, int from, int to)
    {
        ChannelRole role = ChannelRoles.PushrodLoad(corner);
        if (run.Car.Mapping(role)?.Range is not { } range || !run.Has(role))
        {
            return false;
        }

        double margin = endShare * (range.High - range.Low);
        double high = range.High - margin;
        double low = range.Low + margin;
        double[] room = SampleSource.RoomForBlock(to - from);
        foreach ((int start, int count) in SampleSource.Blocks(from, to))
        {
            foreach (double reading in run.OnClock(role).Read(start, count, room))
            {
                if (reading >= high || reading <= low)
                {
                    return true;
                }
            }
        }

        return false;
    }
}
