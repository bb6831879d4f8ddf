using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Kerbs;

/// <summary>Tells kerb strikes from bumps across the road and from the floor touching, by which wheels move together.</summary>
/// <remarks>
/// A kerb moves one wheel, and a wheelbase later the one behind it. A bump moves both wheels of an axle at once. When the floor is stopped by the road all corners
/// jolt within a hundredth of a second, faster than the car covers its wheelbase, and the dampers stop or extend instead of being pushed.
/// Measured by least squares: the motion of another wheel over the rise, projected on this wheel's own. Motion is the damper's velocity and, beside it,
/// the slope of the load: the larger share counts. The projection's standard uncertainty is the quiet road's scatter over the length of this wheel's own motion.
/// </remarks>
internal static class StrikeTellings
{
    /// <summary>The rise is looked at so far on each side of its steepest place, s: about one pulse of a hub.</summary>
    private const double HalfWindowS = 0.02;

    /// <summary>A kerb or a bump need not lie square to the road: the other wheel may come so much earlier or later, m of road.</summary>
    private const double SkewM = 0.4;

    /// <summary>Neighbouring samples of a quiet road move together over this time, s: half a period of a hub at 16 Hz is 0.03; a third of it is left when the slope is taken.</summary>
    private const double TogetherS = 0.01;

    /// <summary>Log odds of one wheel count at most so much, so that no single wheel outvotes the others.</summary>
    private const double MostOdds = 6;

    /// <summary>Tells all rises of a run; rises of one obstacle (same axle at once, the other axle a wheelbase away) are judged together.</summary>
    public static StrikeTelling[] Of(List<StrikeCandidate> rises, CornerDynamics[] dynamics, WheelLoadSet wheels, KerbOptions options)
    {
        Run run = wheels.Run;
        Signs[] signs = [.. rises.Select(rise => SignsOf(rise, dynamics, wheels, options))];
        int echo = (int)Math.Round(options.EchoS / run.Clock.StepS);
        int together = (int)Math.Round(2 * HalfWindowS / run.Clock.StepS);
        StrikeTelling[] tellings = new StrikeTelling[rises.Count];

        // Both wheels of an axle may have risen, the lightly loaded one less: what the more telling of them says holds for both.
        double[] axleOdds = new double[rises.Count];
        for (int i = 0; i < axleOdds.Length; i++)
        {
            axleOdds[i] = signs[i].Odds;
            for (int k = i - 1; k >= 0 && rises[i].PeakIndex - rises[k].PeakIndex <= together; k--)
            {
                if (rises[k].Corner == (Corner)((int)rises[i].Corner ^ 1))
                {
                    axleOdds[i] = axleOdds[k] = Math.Max(axleOdds[i], axleOdds[k]);
                }
            }
        }

        int reach = (int)Math.Round(((run.Car.Geometry.WheelbaseM.Value + options.PairToleranceM) / options.RunningMps + options.MergeGapS) / run.Clock.StepS);
        for (int i = 0; i < tellings.Length; i++)
        {
            double odds = axleOdds[i];
            bool isPaired = false;
            for (int k = FirstWithin(rises, i, reach); k < rises.Count && rises[k].PeakIndex - rises[i].PeakIndex <= reach; k++)
            {
                if (k != i && StrikeSelection.IsPairOfEither(rises[i], rises[k], run, options))
                {
                    isPaired = true;
                    odds += double.IsFinite(axleOdds[k]) ? axleOdds[k] : 0;
                }
            }

            tellings[i] = Judge(signs[i], odds, isPaired, options) with { Likeness = signs[i].Likeness };
        }

        // What follows a bump within the time that the car rings, and rises less steeply, may be a wheel that lands.
        for (int i = 0; i < tellings.Length; i++)
        {
            if (tellings[i].Class != StrikeClass.KerbStrike)
            {
                continue;
            }

            for (int k = FirstWithin(rises, i, reach + echo); k < i; k++)
            {
                int later = rises[i].FromIndex - rises[k].FromIndex;
                if (tellings[k].Class is StrikeClass.Bump or StrikeClass.Bottoming && later > 0 && later < echo && rises[i].Steepness < rises[k].Steepness)
                {
                    tellings[i] = tellings[i] with
                    {
                        Class = StrikeClass.NotTold,
                        Reason = FormattableString.Invariant($"It follows a steeper bump of {rises[k].Corner.Code()} by {later * run.Clock.StepS:0.00} s, while the car still rings: a wheel that lands looks the same as a kerb."),
                    };
                    break;
                }
            }
        }

        return tellings;
    }

    /// <summary>The first rise, in order of their peaks, that peaks at most so many samples before another.</summary>
    private static int FirstWithin(List<StrikeCandidate> rises, int of, int samples)
    {
        int first = of;
        while (first > 0 && rises[of].PeakIndex - rises[first - 1].PeakIndex <= samples)
        {
            first--;
        }

        return first;
    }

    /// <summary>What one rise shows.</summary>
    private readonly record struct Signs(double Across, double Uncertainty, double Axles, double Likeness, double Odds);

    private static Signs SignsOf(StrikeCandidate candidate, CornerDynamics[] dynamics, WheelLoadSet wheels, KerbOptions options)
    {
        Run run = wheels.Run;
        double step = run.Clock.StepS;
        Corner across = (Corner)((int)candidate.Corner ^ 1);
        Corner axles = StrikeSelection.OtherAxle(candidate.Corner);
        double speed = run.OnClock(ChannelRole.Speed) is { IsEmpty: false } speeds && speeds[candidate.PeakIndex] > options.RunningMps ? speeds[candidate.PeakIndex] : options.RunningMps;
        int centre = Steepest(dynamics[(int)candidate.Corner].Steepness, candidate);
        int half = Math.Max(2, (int)Math.Round(HalfWindowS / step));
        int skew = (int)Math.Round(Math.Min(SkewM / speed, HalfWindowS) / step);
        (double share, double uncertainty, double axlesShare, double likeness) = (double.NaN, double.NaN, double.NaN, double.NaN);
        foreach (bool byDamper in (ReadOnlySpan<bool>)[true, false])
        {
            double[] own = Motion(candidate.Corner, byDamper, dynamics, wheels, centre, half);
            double length = 0;
            foreach (double value in own)
            {
                length += double.IsFinite(value) ? value * value : 0;
            }

            (double other, double quiet, double like) = Projected(own, length, across, byDamper, dynamics, wheels, centre, half, skew);
            double doubt = quiet * Math.Sqrt(Math.Max(1, TogetherS / step)) / Math.Sqrt(length);

            // The larger of both: in a corner the inner damper can stand at its stop while its load still jumps, and a soft rocker moves without much load.
            if (double.IsFinite(other) && double.IsFinite(doubt) && !(other <= share))
            {
                (share, uncertainty, likeness) = (other, doubt, like);
            }

            double behind = Projected(own, length, axles, byDamper, dynamics, wheels, centre, half, 0).Share;
            axlesShare = axlesShare >= behind ? axlesShare : behind;
        }

        // Kerbs and bumps themselves scatter: what one wheel hands to the other through bar and body, and bumps that are higher on one side.
        double sigma = double.Hypot(uncertainty, options.AcrossScatter);
        double odds = Math.Clamp((share - options.AcrossLimit) / (sigma * sigma), -MostOdds, MostOdds);
        return new(share, uncertainty, axlesShare, likeness, odds);
    }

    private static StrikeTelling Judge(Signs signs, double odds, bool isPaired, KerbOptions options)
    {
        (double across, double uncertainty, double axles, _, _) = signs;
        if (!double.IsFinite(signs.Odds))
        {
            return new(StrikeClass.KerbStrike, double.NaN, double.NaN, double.NaN, axles, isPaired, "The axle's other wheel was not measured here, so a bump across the road cannot be told from a kerb; it is counted as a kerb strike.");
        }

        // Two normal distributions about 0 and 1 of one width: the log odds are (share - limit) / width squared, and independent wheels add.
        double bump = 1 / (1 + Math.Exp(-odds));
        string seen = FormattableString.Invariant($"the axle's other wheel made {100 * across:0} % (standard uncertainty {100 * uncertainty:0} %) of this wheel's motion at the same time");
        string pair = isPaired ? ", and the same side's other axle met it a wheelbase away" : "";
        if (bump < options.ToldFrom && bump > 1 - options.ToldFrom)
        {
            return new(StrikeClass.NotTold, Math.Max(bump, 1 - bump), across, uncertainty, axles, isPaired, $"Neither a kerb nor a bump for certain: {seen}{pair}.");
        }

        if (bump >= 0.5)
        {
            return axles > options.AcrossLimit && !isPaired
                ? new(StrikeClass.Bottoming, bump, across, uncertainty, axles, isPaired, FormattableString.Invariant($"All corners jolted at once: {seen}, the other axle's {100 * axles:0} %. What lies on the road meets the axles one after the other; this looks like the floor touching."))
                : new(StrikeClass.Bump, bump, across, uncertainty, axles, isPaired, $"A bump across the road: {seen}{pair}.");
        }

        return new(StrikeClass.KerbStrike, 1 - bump, across, uncertainty, axles, isPaired, $"One side only: {seen}{pair}.");
    }

    private static int Steepest(SampleSource steepness, StrikeCandidate candidate)
    {
        int count = Math.Min(candidate.ToIndex, steepness.Length) - candidate.FromIndex;
        ReadOnlySpan<double> slopes = steepness.Read(candidate.FromIndex, count, new double[count]);
        int steepest = 0;
        for (int i = 0; i < count; i++)
        {
            steepest = slopes[i] > slopes[steepest] ? i : steepest;
        }

        return candidate.FromIndex + steepest;
    }

    private static double[] Motion(Corner corner, bool byDamper, CornerDynamics[] dynamics, WheelLoadSet wheels, int centre, int half)
    {
        double[] motion = new double[(2 * half) + 1];
        Array.Fill(motion, double.NaN);
        int first = centre - half;
        if (!byDamper)
        {
            SampleSource slope = dynamics[(int)corner].Steepness;
            int from = Math.Max(0, first), to = Math.Min(slope.Length, first + motion.Length);
            if (from < to)
            {
                slope.ReadInto(from, motion.AsSpan(from - first, to - from));
            }

            return motion;
        }

        double step = wheels.Run.Clock.StepS;
        int span = BumpVelocity.HalfSpan(step);
        if (wheels.Pushrods.DamperTravelM[corner] is { } travel)
        {
            int from = Math.Max(span, first), to = Math.Max(from, Math.Min(travel.Length - span, first + motion.Length));
            ReadOnlySpan<double> near = from < to ? travel.Between(from - span, to + span) : [];
            for (int i = 0; i < to - from; i++)
            {
                motion[from - first + i] = BumpVelocity.Across(near[i], near[i + (2 * span)], span, step);
            }
        }

        return motion;
    }

    /// <summary>The largest share of the own motion in another wheel's, over the lags that a skewed obstacle makes, and that wheel's quiet scatter.</summary>
    private static (double Share, double Quiet, double Likeness) Projected(double[] own, double length, Corner other, bool byDamper, CornerDynamics[] dynamics, WheelLoadSet wheels, int centre, int half, int skew)
    {
        double quiet = byDamper ? dynamics[(int)other].QuietVelocityMps : dynamics[(int)other].QuietSteepness;
        double largest = double.NaN;
        double likeness = double.NaN;
        int stride = Math.Max(1, skew / 4);
        for (int lag = -skew; lag <= skew; lag += stride)
        {
            double[] motion = Motion(other, byDamper, dynamics, wheels, centre + lag, half);
            double sum = 0;
            double others = 0;
            for (int k = 0; k < own.Length; k++)
            {
                bool known = double.IsFinite(own[k]) && double.IsFinite(motion[k]);
                sum += known ? own[k] * motion[k] : 0;
                others += known ? motion[k] * motion[k] : 0;
            }

            double share = length > 0 ? sum / length : double.NaN;
            if (!(largest >= share))
            {
                largest = share;
                likeness = sum / Math.Sqrt(length * others);
            }
        }

        return (largest, quiet, likeness);
    }
}
