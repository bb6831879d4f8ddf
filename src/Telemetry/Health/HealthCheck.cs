using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>Tells what in a run's log can be believed.</summary>
public static class HealthCheck
{
    /// <summary>Looks at every mapped channel and at what the reader noticed.</summary>
    /// <param name="run">The run.</param>
    /// <param name="options">From what size on something is a finding.</param>
    /// <returns>Findings of the channels themselves; later stages add theirs with <see cref="RunHealth.With"/>.</returns>
    public static RunHealth From(Run run, HealthOptions options)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(options);
        List<HealthFinding> findings = [.. run.LogFindings.Select(FromReader)];
        findings.AddRange(MissingChannels.Of(run));
        if (run.Clock.RateHz < options.StrikeRateHz)
        {
            findings.Add(new HealthFinding(
                "log",
                "slow_logging",
                HealthVerdict.Doubtful,
                double.NaN,
                double.NaN,
                FormattableString.Invariant($"The load cells are logged at {run.Clock.RateHz:0.#} Hz; a kerb strike lasts 10 to 40 ms."),
                "Peaks of kerb strikes and the cycles they make are lower bounds.",
                FormattableString.Invariant($"Log the load cells at {options.StrikeRateHz:0} Hz or more, better at 1000 Hz.")));
        }

        bool[] running = ChannelScan.RunningMask(run, options.RunningSpeedMps);
        var perChannel = new ImmutableArray<HealthFinding>[run.Channels.Length];
        Parallel.For(0, run.Channels.Length, i => perChannel[i] = OfChannel(run, run.Channels[i], running, options));
        findings.AddRange(perChannel.SelectMany(some => some));
        if (Standing(run, options) is HealthFinding standing)
        {
            findings.Add(standing);
        }

        return RunHealth.Of(findings);
    }

    private static HealthFinding FromReader(LogFinding finding)
    {
        (string kind, HealthVerdict severity, string consequence, string remedy) = finding.Kind switch
        {
            LogFindingKind.RepeatedTime => ("time_repeated", HealthVerdict.Doubtful, "The rows after the first of each time are left out.", "Check the logger's clock and the offload."),
            LogFindingKind.BackwardTime => ("time_backward", HealthVerdict.Doubtful, "Rows that go back in time are left out.", "Check that the file is one run, not two pasted together, and the logger's clock."),
            LogFindingKind.CutOffRow => ("cut_off_row", HealthVerdict.Good, "The last row is left out.", "Check that the offload ended; the rest of the run may be missing."),
            LogFindingKind.NotFinite => ("not_finite", HealthVerdict.Doubtful, "Those samples are gaps.", "Look for the sensor or the logger's arithmetic that makes them."),
            LogFindingKind.UnevenTime => ("time_uneven", HealthVerdict.Doubtful, "Channels are put on an even clock by straight lines; short peaks are shaved.", "Check the logger's clock; log on an even time base."),
            LogFindingKind.TimeGap => ("time_gap", HealthVerdict.Doubtful, "Nothing is answered across the gap; a cycle or a strike inside it is lost.", "Check the logger's memory and the offload."),
            _ => ("note", HealthVerdict.Good, "None by itself.", "Correct the car file's channel names if the channel is there under another name."),
        };
        return new HealthFinding(finding.Where, kind, severity, finding.FirstS, finding.FirstS, finding.Message, consequence, remedy);
    }

    private static ImmutableArray<HealthFinding> OfChannel(Run run, Channel channel, bool[] running, HealthOptions options)
    {
        bool isLoad = channel.Role <= ChannelRole.PushrodLoadRR;
        bool isFast = channel.Role <= ChannelRole.DamperTravelRR
            || channel.Role is ChannelRole.AccelerationX or ChannelRole.AccelerationY or ChannelRole.AccelerationZ;
        bool isSlow = channel.Role is ChannelRole.Speed or ChannelRole.RideHeightFront or ChannelRole.RideHeightRear;
        (int first, int length) = Covered(run.Clock, channel.Time);
        ReadOnlySpan<double> samples = run.OnClock(channel.Role).Slice(first, length);
        bool isNative = !channel.Steps.OfType<Resampled>().Any();
        ChannelScan scan = ChannelScan.Of(
            samples,
            running.AsSpan(first, length),
            run.Car.Mapping(channel.Role)?.Range,
            options,
            isFast && isNative && run.Clock.RateHz >= options.SpikeRateHz);
        ImmutableArray<HealthFinding>.Builder findings = ImmutableArray.CreateBuilder<HealthFinding>();
        double step = run.Clock.StepS;
        if (scan.Missing == samples.Length)
        {
            Add("dead", isLoad ? HealthVerdict.Unusable : HealthVerdict.Doubtful, 0, samples.Length, "The channel has no number at all.", "Check the sensor, its cable and the logger's channel.");
            return findings.ToImmutable();
        }

        double missingShare = (double)scan.Missing / samples.Length;
        if (missingShare > options.GapShareDoubtful)
        {
            Add(
                "gap",
                isLoad && missingShare > options.GapShareUnusable ? HealthVerdict.Unusable : HealthVerdict.Doubtful,
                scan.LongestGapAt,
                scan.LongestGap,
                FormattableString.Invariant($"{100 * missingShare:0.##} % of the samples are missing; the longest gap lasts {scan.LongestGap * step:0.###} s."),
                "Check connector and cable; a strike inside a gap is lost.");
        }

        double stuckLimit = isFast ? options.StuckS : isSlow ? options.StuckSlowS : double.PositiveInfinity;
        if (scan.LongestStuck * step > stuckLimit)
        {
            Add(
                "stuck",
                isLoad ? HealthVerdict.Unusable : HealthVerdict.Doubtful,
                scan.LongestStuckAt,
                scan.LongestStuck,
                FormattableString.Invariant($"It repeats one number for {scan.LongestStuck * step:0.##} s while the car runs."),
                "Check the sensor and the logger's channel; a slower channel held between its samples must be logged with blanks instead.");
        }

        if (scan.AtLimit > 0 && (isFast || isSlow))
        {
            Add(
                "range_limit",
                HealthVerdict.Doubtful,
                scan.FirstAtLimit,
                scan.AtLimit,
                FormattableString.Invariant($"{scan.AtLimit} samples stand at the end of the sensor's range; peaks there are lower bounds."),
                "Fit a sensor of a wider range, or set the amplifier to it.");
        }

        if (scan.Spikes > 0)
        {
            Add(
                "spike",
                HealthVerdict.Doubtful,
                scan.FirstSpike,
                1,
                FormattableString.Invariant($"{scan.Spikes} single samples jump away and back; a wheel cannot do that in {2000 * step:0.##} ms."),
                "Check connector, screen and earth; such samples are kept and may count as load cycles.");
        }

        if (channel.Steps.OfType<LowPassedInLogger>().FirstOrDefault() is LowPassedInLogger filtered && isLoad)
        {
            Add(
                "filtered_in_logger",
                HealthVerdict.Doubtful,
                0,
                samples.Length,
                FormattableString.Invariant($"It was low-passed at {filtered.CutOffHz:0.#} Hz before it was recorded."),
                "Record the load cells unfiltered for kerb strikes and fatigue.");
        }

        return findings.ToImmutable();

        void Add(string kind, HealthVerdict severity, int from, int count, string message, string remedy) =>
            findings.Add(new HealthFinding(
                channel.SourceName,
                kind,
                severity,
                run.Clock.At(first + from),
                run.Clock.At(first + Math.Min(length, from + Math.Max(1, count)) - 1),
                message,
                MissingChannels.AnswersOf(channel.Role),
                remedy));
    }

    /// <summary>
    /// The part of the clock that a channel covers: a slow channel starts and ends up to one of its own steps inside the clock, and that is no gap.
    /// A channel that starts later or ends earlier than that is scanned to the end of the clock, so that what is missing counts.
    /// </summary>
    private static (int First, int Length) Covered(TimeBase clock, TimeBase channel)
    {
        if (channel.Count == 0)
        {
            return (0, clock.Count);
        }

        // A gap of the channel is more than one and a half steps (as for reading between samples); the tenth covers rounded time stamps.
        double allowedS = 1.6 * (double.IsNaN(channel.StepS) ? clock.StepS : Math.Max(channel.StepS, clock.StepS));
        int first = channel.StartS - clock.StartS <= allowedS ? (int)Math.Ceiling(Math.Max(0, (channel.StartS - clock.StartS) / clock.StepS) - 1e-3) : 0;
        int last = clock.LastS - channel.LastS <= allowedS ? (int)Math.Floor(Math.Min(clock.Count - 1, (channel.LastS - clock.StartS) / clock.StepS) + 1e-3) : clock.Count - 1;
        return last < first ? (0, clock.Count) : (first, last - first + 1);
    }

    private static HealthFinding? Standing(Run run, HealthOptions options)
    {
        ReadOnlySpan<double> speed = run.OnClock(ChannelRole.Speed);
        ReadOnlySpan<double> vertical = run.OnClock(ChannelRole.AccelerationZ);
        if (speed.IsEmpty || vertical.IsEmpty)
        {
            return null;
        }

        const double StandardGravityMps2 = 9.80665;
        double sum = 0;
        int count = 0;
        for (int i = 0; i < speed.Length; i++)
        {
            if (Math.Abs(speed[i]) < 0.3 && double.IsFinite(vertical[i]))
            {
                sum += vertical[i];
                count++;
            }
        }

        double mean = sum / count;
        return count * run.Clock.StepS < 1 || Math.Abs(mean - StandardGravityMps2) <= options.StandstillGravityMps2
            ? null
            : new HealthFinding(
                run.Find(ChannelRole.AccelerationZ)!.SourceName,
                "gravity_off",
                HealthVerdict.Unusable,
                double.NaN,
                double.NaN,
                FormattableString.Invariant($"At standstill it reads {mean:0.00} m/s2 where specific force is +9.81."),
                "The vertical balance, and so the aero load, is withheld.",
                "Check unit, sign and zero of the vertical accelerometer: specific force is +1 g at rest, not 0.");
    }
}
