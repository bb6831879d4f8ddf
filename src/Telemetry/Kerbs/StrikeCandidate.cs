using Telemetry.Car;

namespace Telemetry.Kerbs;

/// <summary>A stretch of one corner's load that rises more steeply than the quiet road makes it rise: perhaps a strike.</summary>
/// <param name="Corner">The wheel.</param>
/// <param name="FromIndex">First steep sample.</param>
/// <param name="ToIndex">One past the last sample that can hold the peak.</param>
/// <param name="PeakIndex">Sample of the largest dynamic load.</param>
/// <param name="PeakN">That load, N.</param>
/// <param name="Steepness">Steepest rise, in the unit of <see cref="CornerDynamics.Steepness"/>.</param>
/// <param name="IsStrong">True when it stands for itself.</param>
internal sealed record StrikeCandidate(Corner Corner, int FromIndex, int ToIndex, int PeakIndex, double PeakN, double Steepness, bool IsStrong)
{
    /// <summary>A load is over its peak this long after its last steep rise, s: half of the longest single pulse.</summary>
    private const double RiseS = 0.04;

    /// <summary>All candidates of a corner in time order; rises that follow each other within the gap are one.</summary>
    public static List<StrikeCandidate> Find(CornerDynamics dynamics, SampleSource? travelM, double stepS, KerbOptions options)
    {
        List<StrikeCandidate> found = [];
        SampleCursor slope = dynamics.Steepness.Cursor();
        double threshold = options.SupportedMultiple * dynamics.QuietSteepness;
        int gap = Math.Max(1, (int)Math.Round(options.MergeGapS / stepS));
        int rise = Math.Max(1, (int)Math.Round(RiseS / stepS));
        int index = 0;
        while (index < slope.Length)
        {
            // NaN is not above anything, so a gap of the log makes no strike.
            if (!(slope[index] > threshold))
            {
                index++;
                continue;
            }

            int from = index;
            int last = index;
            double steepest = 0;
            for (; index < slope.Length && index - last <= gap; index++)
            {
                if (slope[index] > threshold)
                {
                    last = index;
                    steepest = Math.Max(steepest, slope[index]);
                }
            }

            int to = Math.Min(slope.Length, last + rise + 1);
            int peak = Highest(dynamics, from, to);
            if (peak >= 0 && dynamics.DynamicN[peak] > dynamics.SmallestN && Moves(dynamics, travelM, from, to, stepS, options))
            {
                found.Add(new(dynamics.Corner, from, to, peak, dynamics.DynamicN[peak], steepest, steepest > options.SteepnessMultiple * dynamics.QuietSteepness));
            }
        }

        return found;
    }

    /// <summary>A wheel that climbs a kerb moves its damper; a load that jumps without it is friction that lets go, or noise. Where there is no potentiometer the load alone must do.</summary>
    private static bool Moves(CornerDynamics dynamics, SampleSource? travelM, int from, int to, double stepS, KerbOptions options)
    {
        double largest = BumpVelocity.Largest(travelM, from, to, stepS);
        return !(largest < options.VelocityMultiple * dynamics.QuietVelocityMps);
    }

    /// <summary>The largest sample that is no spike; -1 when there is none.</summary>
    private static int Highest(CornerDynamics dynamics, int from, int to)
    {
        ReadOnlySpan<double> load = dynamics.DynamicN.Between(from, to);
        int highest = -1;
        for (int i = 0; i < load.Length; i++)
        {
            if (double.IsFinite(load[i]) && (highest < 0 || load[i] > load[highest]) && !dynamics.IsSpike(from + i))
            {
                highest = i;
            }
        }

        return highest < 0 ? -1 : from + highest;
    }
}
