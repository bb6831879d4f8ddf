using MathNet.Numerics.Distributions;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Platform;

/// <summary>Front share of the roll moment that the pushrods carry.</summary>
internal static class RollShare
{
    /// <summary>Ratio of the sums of front and whole roll moment over corners, its interval by leaving out one corner at a time.</summary>
    /// <remarks>
    /// Delete-one jackknife over corners with Student's t: B. Efron and R. Tibshirani, An Introduction to the Bootstrap (1993), chapter 11.
    /// Moments are differences from the straight, so that unequal corner weights at rest do not enter.
    /// </remarks>
    public static (Estimate? FrontPct, string? Why) From(WheelLoadSet wheels, PlatformOptions options)
    {
        Run run = wheels.Run;
        if (!run.Has(ChannelRole.AccelerationY) || !run.Has(ChannelRole.Speed))
        {
            return (null, "The roll share needs lateral acceleration and speed.");
        }

        SampleCursor lateral = run.OnClock(ChannelRole.AccelerationY).Cursor();
        SampleCursor speed = run.OnClock(ChannelRole.Speed).Cursor();
        PerAxle<AxleMoment> moments = new(AxleMoment.Of(wheels, Axle.Front), AxleMoment.Of(wheels, Axle.Rear));
        (double straightFront, double straightRear) = Straight(moments, lateral, speed, options);
        List<(double Front, double Rear)> corners = [];
        int shortest = (int)Math.Round(options.ShortestCornerS / run.Clock.StepS);
        int start = -1;
        double sign = 0;
        for (int i = 0; i <= lateral.Length; i++)
        {
            bool cornering = i < lateral.Length && speed[i] > options.RunningMps && Math.Abs(lateral[i]) > options.CorneringMps2
                && (start < 0 || Math.Sign(lateral[i]) == sign);
            if (cornering && start < 0)
            {
                (start, sign) = (i, Math.Sign(lateral[i]));
            }
            else if (!cornering && start >= 0)
            {
                if (i - start >= shortest)
                {
                    double front = Mean(moments.Front, start, i) - straightFront;
                    double rear = Mean(moments.Rear, start, i) - straightRear;
                    if (double.IsFinite(front + rear))
                    {
                        corners.Add((sign * front, sign * rear));
                    }
                }

                start = -1;
            }
        }

        return corners.Count < options.FewestCorners
            ? (null, FormattableString.Invariant($"The roll share needs {options.FewestCorners} corners beyond {options.CorneringMps2 / StandardGravity.Mps2:0.0} g; the run has {corners.Count}."))
            : (Jackknife(corners), null);
    }

    private static Estimate Jackknife(List<(double Front, double Rear)> corners)
    {
        double front = corners.Sum(corner => corner.Front);
        double all = corners.Sum(corner => corner.Front + corner.Rear);
        double value = 100 * front / all;
        double[] without = [.. corners.Select(corner => 100 * (front - corner.Front) / (all - corner.Front - corner.Rear))];
        double mean = without.Average();
        int n = without.Length;
        double error = Math.Sqrt((n - 1.0) / n * without.Sum(one => (one - mean) * (one - mean)));
        double half = StudentT.InvCDF(0, 1, n - 1, 0.975) * error;
        return new Estimate(value, value - half, value + half);
    }

    private static (double Front, double Rear) Straight(PerAxle<AxleMoment> moments, SampleCursor lateral, SampleCursor speed, PlatformOptions options)
    {
        const double StraightMps2 = 0.1 * StandardGravity.Mps2;
        double front = 0;
        double rear = 0;
        int count = 0;
        for (int i = 0; i < lateral.Length; i++)
        {
            if (speed[i] > options.RunningMps && Math.Abs(lateral[i]) < StraightMps2)
            {
                double f = moments.Front[i];
                double r = moments.Rear[i];
                if (double.IsFinite(f + r))
                {
                    front += f;
                    rear += r;
                    count++;
                }
            }
        }

        return count == 0 ? (0, 0) : (front / count, rear / count);
    }

    private static double Mean(AxleMoment moments, int from, int to)
    {
        double sum = 0;
        int count = 0;
        for (int i = from; i < to; i++)
        {
            double moment = moments[i];
            if (double.IsFinite(moment))
            {
                sum += moment;
                count++;
            }
        }

        return sum / count;
    }

    /// <summary>Roll moment of an axle, Nm: half the track times what the right wheel carries more than the left.</summary>
    private sealed class AxleMoment(double halfTrackM, SampleCursor leftN, SampleCursor rightN)
    {
        public double this[int index] => halfTrackM * (rightN[index] - leftN[index]);

        public static AxleMoment Of(WheelLoadSet wheels, Axle axle)
        {
            (Corner left, Corner right) = axle == Axle.Front ? (Corner.FrontLeft, Corner.FrontRight) : (Corner.RearLeft, Corner.RearRight);
            return new(wheels.Run.Car.Geometry.TrackM[axle] / 2, wheels.LoadN[left].Cursor(), wheels.LoadN[right].Cursor());
        }
    }
}
