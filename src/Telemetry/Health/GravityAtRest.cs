using Telemetry.Car;

namespace Telemetry.Health;

/// <summary>The vertical accelerometer must read standard gravity at rest: it measures specific force.</summary>
internal static class GravityAtRest
{
    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        if (view.Channel.Role != ChannelRole.AccelerationZ)
        {
            return [];
        }

        double sum = 0;
        int count = 0;
        foreach (SampleSpan span in view.Standing)
        {
            foreach (double value in view.Samples.Slice(span.First, span.Count))
            {
                sum += double.IsFinite(value) ? value : 0;
                count += double.IsFinite(value) ? 1 : 0;
            }
        }

        double mean = sum / count;
        return count * view.StepS < view.Options.ShortestStretchS || Math.Abs(mean - StandardGravity.Mps2) <= view.Options.StandstillGravityMps2 ? [] :
        [
            view.Finding(
                "gravity_off",
                HealthVerdict.Unusable,
                FormattableString.Invariant($"At standstill it reads {mean:0.00} m/s2 where specific force is +9.81."),
                "Check unit, sign and zero of the vertical accelerometer: specific force is +1 g at rest, not 0.",
                "The vertical balance, and so the aero load, is withheld."),
        ];
    }
}
