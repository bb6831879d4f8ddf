using System.Collections.Immutable;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>Time stamps that scatter about their grid by more than their rounding.</summary>
/// <remarks>
/// The reader says when stamps are uneven; this says by how much: the standard deviation of (step - median step) / sqrt(2), gaps left out. A sample read a time e too late
/// is wrong by the slope times e; for a half sine of 10 ms and height A that is pi A e / T at its flank.
/// </remarks>
internal static class ClockJitter
{
    /// <summary>Channels that share a time base are one finding.</summary>
    public static IEnumerable<HealthFinding> Find(Run run, HealthOptions options)
    {
        foreach (IGrouping<ImmutableArray<double>, Channel> shared in run.Channels
            .Where(channel => !channel.Time.IsEven && channel.Time.Count > 2 && !channel.Steps.Any(step => step is Derived))
            .GroupBy(channel => channel.Time.TimesS))
        {
            Channel[] channels = [.. shared];
            TimeBase time = channels[0].Time;
            double jitterS = Of(time);
            double share = jitterS / time.StepS;
            if (!(share > options.JitterShare))
            {
                continue;
            }

            string names = channels.Length == 1 ? channels[0].SourceName : FormattableString.Invariant($"{channels[0].SourceName} and {channels.Length - 1} more");
            yield return new HealthFinding(
                channels.Length == 1 ? channels[0].SourceName : "log",
                "clock_jitter",
                HealthVerdict.Doubtful,
                double.NaN,
                double.NaN,
                FormattableString.Invariant($"The time stamps of {names} scatter by {1000 * jitterS:0.###} ms about steps of {1000 * time.StepS:0.###} ms ({100 * share:0.#} %)."),
                FormattableString.Invariant($"On the flank of a kerb strike of 10 ms a sample is then wrong by {100 * Math.Min(1, Math.PI * jitterS / options.ShortestStrikeS):0} % of its height; damper velocities scatter likewise. Means are hardly touched."),
                "Log on the sampler's own clock, not with the time at which a message arrived.")
            {
                Role = channels.Length == 1 ? channels[0].Role : null,
            };
        }
    }

    private static double Of(TimeBase time)
    {
        const double gapSteps = 1.5;
        ReadOnlySpan<double> times = time.TimesS.AsSpan();
        double sum = 0;
        int count = 0;
        for (int i = 1; i < times.Length; i++)
        {
            double off = times[i] - times[i - 1] - time.StepS;
            if (off < (gapSteps - 1) * time.StepS)
            {
                sum += off * off;
                count++;
            }
        }

        return count == 0 ? 0 : Math.Sqrt(sum / count / 2);
    }
}
