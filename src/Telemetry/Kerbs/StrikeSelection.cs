using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Kerbs;

/// <summary>Tells strikes from what only looks like one.</summary>
internal static class StrikeSelection
{
    /// <summary>Strikes of all corners in time order.</summary>
    public static List<StrikeCandidate> Of(IReadOnlyList<List<StrikeCandidate>> byCorner, Run run, KerbOptions options)
    {
        List<StrikeCandidate> own = WithoutEchoes([.. byCorner.SelectMany(corner => corner)], run, options);
        List<StrikeCandidate> strong = own.FindAll(candidate => candidate.IsStrong);
        SampleSource distance = run.LapDistanceM;
        List<StrikeCandidate> strikes = [];
        foreach (StrikeCandidate candidate in own)
        {
            if (candidate.IsStrong || IsSupported(candidate, strong, run, distance, options))
            {
                strikes.Add(candidate);
            }
        }

        strikes.Sort((a, b) => a.PeakIndex != b.PeakIndex ? a.PeakIndex.CompareTo(b.PeakIndex) : a.Corner.CompareTo(b.Corner));
        return strikes;
    }

    /// <summary>The other axle's wheel on the same side.</summary>
    public static Corner OtherAxle(Corner corner) => (Corner)((int)corner ^ 2);

    /// <summary>Lag in samples by which the rear wheel meets what the front wheel met; NaN without a speed.</summary>
    public static double WheelbaseLag(Run run, int index)
    {
        SampleSource speed = run.OnClock(ChannelRole.Speed);
        return speed.IsEmpty || !(speed[index] > 0) ? double.NaN : run.Car.Geometry.WheelbaseM.Value / speed[index] / run.Clock.StepS;
    }

    /// <summary>True when a rear strike lies where the wheelbase puts the echo of a front one.</summary>
    public static bool IsPair(StrikeCandidate front, StrikeCandidate rear, Run run, KerbOptions options)
    {
        double lag = WheelbaseLag(run, front.PeakIndex);
        double play = lag * options.PairToleranceM / run.Car.Geometry.WheelbaseM.Value;

        // On a ribbed kerb the axles may peak on different ribs: it is enough that the stretches meet.
        return front.FromIndex + lag - play < rear.ToIndex && rear.FromIndex < front.ToIndex + lag + play && rear.PeakIndex > front.PeakIndex;
    }

    /// <summary>Steepest first, each strike takes the weaker rises around it with it: what bar, third element and body hand on is no kerb of its own.</summary>
    private static List<StrikeCandidate> WithoutEchoes(List<StrikeCandidate> candidates, Run run, KerbOptions options)
    {
        candidates.Sort((a, b) => a.Steepness != b.Steepness ? b.Steepness.CompareTo(a.Steepness)
            : a.PeakIndex != b.PeakIndex ? a.PeakIndex.CompareTo(b.PeakIndex) : a.Corner.CompareTo(b.Corner));
        int echo = (int)Math.Round(options.EchoS / run.Clock.StepS);
        List<StrikeCandidate> own = [];
        foreach (StrikeCandidate candidate in candidates)
        {
            if (!own.Exists(strike => IsEcho(candidate, strike, echo, run, options)))
            {
                own.Add(candidate);
            }
        }

        return own;
    }

    private static bool IsEcho(StrikeCandidate candidate, StrikeCandidate strike, int echo, Run run, KerbOptions options)
    {
        bool isNear = candidate.FromIndex < strike.ToIndex + echo && candidate.ToIndex > strike.FromIndex;
        if (candidate.Corner == strike.Corner)
        {
            // The same wheel rings on; a later peak that goes higher is always kept.
            return isNear && candidate.PeakN < strike.PeakN && candidate.Steepness < options.RingingShare * strike.Steepness;
        }

        return isNear && candidate.Steepness < options.EchoShare * strike.Steepness && !IsPairOfEither(candidate, strike, run, options);
    }

    public static bool IsPairOfEither(StrikeCandidate candidate, StrikeCandidate strike, Run run, KerbOptions options) =>
        candidate.Corner == OtherAxle(strike.Corner)
        && (strike.Corner.Axle() == Axle.Front ? IsPair(strike, candidate, run, options) : IsPair(candidate, strike, run, options));

    private static bool IsSupported(StrikeCandidate candidate, List<StrikeCandidate> strong, Run run, SampleSource distance, KerbOptions options)
    {
        bool isFront = candidate.Corner.Axle() == Axle.Front;
        foreach (StrikeCandidate other in strong)
        {
            if (other.Corner == OtherAxle(candidate.Corner))
            {
                if (isFront ? IsPair(candidate, other, run, options) : IsPair(other, candidate, run, options))
                {
                    return true;
                }
            }
            else if (other.Corner == candidate.Corner && !distance.IsEmpty && run.Laps.At(other.PeakIndex) != run.Laps.At(candidate.PeakIndex)
                && Math.Abs(distance[other.PeakIndex] - distance[candidate.PeakIndex]) < options.PairToleranceM)
            {
                return true;
            }
        }

        return false;
    }
}
