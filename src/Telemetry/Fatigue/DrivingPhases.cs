using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Runs;

namespace Telemetry.Fatigue;

/// <summary>What the car was doing: the keys of <see cref="DrivingPhases"/>.</summary>
public enum DrivingPhase
{
    /// <summary>Neither braking nor cornering, the car moving or not.</summary>
    Straight,

    /// <summary>The driver brakes, cornering or not.</summary>
    Braking,

    /// <summary>Cornering without the brake.</summary>
    Corner,

    /// <summary>A wheel strikes a kerb, and shortly before and after.</summary>
    Kerb,
}

/// <summary>Cuts a run into straight, braking, corner and kerb, so that damage can be charged to what the car was doing.</summary>
/// <remarks>
/// Kerb goes before braking, braking before corner. Braking as <see cref="BrakeDemand"/> finds it. A corner is lateral acceleration (else yaw rate times speed),
/// as a mean of 0.1 s, past 3 m/s2: a third of g, more than a crowned straight or a lane change asks of a race car (common practice, no source).
/// Without a signal for corners there are none, and <see cref="Of"/> gives no phases at all: "straight" would be a claim that nothing supports.
/// </remarks>
public static class DrivingPhases
{
    private const double CornerMps2 = 3;
    private const double BlockS = 0.1;

    /// <summary>Time around the peak of a strike that belongs to it, in lengths of the strike: the hit itself and the rebound after it.</summary>
    private const double BeforeStrike = 1;
    private const double AfterStrike = 3;

    /// <summary>The stretches, ready for <see cref="DamageCharges.Of(ComponentResult, ImmutableArray{ChargeSpan})"/>; keys are <see cref="DrivingPhase"/>. They cover every sample; strikes are given first, so they win.</summary>
    /// <param name="run">The run.</param>
    /// <param name="kerbs">Its strikes.</param>
    /// <returns>Empty when the log tells nothing of corners.</returns>
    public static ImmutableArray<ChargeSpan> Of(Run run, KerbResult kerbs)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(kerbs);
        bool hasLateral = run.Has(ChannelRole.AccelerationY);
        if (run.Count == 0 || (!hasLateral && !(run.Has(ChannelRole.YawRate) && run.Has(ChannelRole.Speed))))
        {
            return [];
        }

        var spans = ImmutableArray.CreateBuilder<ChargeSpan>();
        double rate = run.Clock.RateHz;
        foreach (KerbStrike strike in kerbs.Strikes)
        {
            double length = double.IsFinite(strike.DurationS) ? strike.DurationS : 0;
            double peak = (strike.TimeS - run.Clock.At(0)) * rate;
            int first = (int)Math.Clamp(Math.Floor(peak - (BeforeStrike * length * rate)), 0, run.Count);
            int end = (int)Math.Clamp(Math.Ceiling(peak + (AfterStrike * length * rate)) + 1, first, run.Count);
            spans.Add(new(first, end, (int)DrivingPhase.Kerb));
        }

        ImmutableArray<bool> braking = BrakeDemand.From(run);
        SampleCursor lateral = run.OnClock(hasLateral ? ChannelRole.AccelerationY : ChannelRole.YawRate).Cursor();
        SampleCursor? speed = hasLateral ? null : run.OnClock(ChannelRole.Speed).Cursor();
        int block = Math.Max(1, (int)Math.Round(BlockS * rate));
        DrivingPhase? open = null;
        int start = 0;
        for (int at = 0; at < run.Count; at += block)
        {
            int end = Math.Min(at + block, run.Count);
            DrivingPhase phase = braking.AsSpan()[at..end].Contains(true) ? DrivingPhase.Braking
                : Math.Abs(Lateral(lateral, speed, at, end)) > CornerMps2 ? DrivingPhase.Corner
                : DrivingPhase.Straight;
            if (open is { } before && before != phase)
            {
                spans.Add(new(start, at, (int)before));
                start = at;
            }

            open = phase;
        }

        spans.Add(new(start, run.Count, (int)open!.Value));
        return spans.ToImmutable();
    }

    /// <summary>Mean over a block; samples that are missing are left out, and a block without any is no corner.</summary>
    /// <param name="lateral">Lateral acceleration, m/s2, or yaw rate, rad/s.</param>
    /// <param name="speed">What the yaw rate is multiplied by, m/s; null with an acceleration.</param>
    /// <param name="first">First sample.</param>
    /// <param name="end">One past the last.</param>
    private static double Lateral(SampleCursor lateral, SampleCursor? speed, int first, int end)
    {
        double sum = 0;
        int count = 0;
        for (int i = first; i < end; i++)
        {
            double value = speed is null ? lateral[i] : lateral[i] * speed[i];
            if (double.IsFinite(value))
            {
                sum += value;
                count++;
            }
        }

        return count > 0 ? sum / count : 0;
    }
}
