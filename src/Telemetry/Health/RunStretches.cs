using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>Where the car runs and where it stands, on the run's clock.</summary>
/// <param name="Running">Stretches above the running speed; the whole log when it has no speed.</param>
/// <param name="Standing">Stretches at standstill, their edges cut; empty without a speed.</param>
/// <param name="IsKnown">False when there is no speed to tell them apart.</param>
internal sealed record RunStretches(ImmutableArray<SampleSpan> Running, ImmutableArray<SampleSpan> Standing, bool IsKnown)
{
    /// <summary>From the speed channel.</summary>
    public static RunStretches Of(Run run, HealthOptions options)
    {
        SampleCursor speed = run.OnClock(ChannelRole.Speed).Cursor();
        if (speed.IsEmpty)
        {
            return new([new SampleSpan(0, run.Count)], [], false);
        }

        ImmutableArray<SampleSpan>.Builder running = ImmutableArray.CreateBuilder<SampleSpan>();
        ImmutableArray<SampleSpan>.Builder standing = ImmutableArray.CreateBuilder<SampleSpan>();
        int shortest = Math.Max(4, (int)(options.ShortestStretchS / run.Clock.StepS));
        int edge = (int)(options.StandstillEdgeS / run.Clock.StepS);
        int start = 0;
        int state = StateOf(speed[0], options);
        for (int i = 1; i <= speed.Length; i++)
        {
            int now = i < speed.Length ? StateOf(speed[i], options) : -2;
            if (now == state)
            {
                continue;
            }

            if (state == 1 && i - start >= shortest)
            {
                running.Add(new(start, i - start));
            }
            else if (state == 0)
            {
                int from = start == 0 ? 0 : start + edge;
                int to = i == speed.Length ? i : i - edge;
                if (to - from >= shortest)
                {
                    standing.Add(new(from, to - from));
                }
            }

            (start, state) = (i, now);
        }

        return new(running.ToImmutable(), standing.ToImmutable(), true);
    }

    /// <summary>The same stretches as sample numbers of a channel's own time base.</summary>
    public static ImmutableArray<SampleSpan> On(TimeBase time, TimeBase clock, ImmutableArray<SampleSpan> spans)
    {
        if (ReferenceEquals(time, clock) || time == clock || spans.IsEmpty)
        {
            return spans;
        }

        ImmutableArray<SampleSpan>.Builder own = ImmutableArray.CreateBuilder<SampleSpan>(spans.Length);
        foreach (SampleSpan span in spans)
        {
            int first = IndexAt(time, clock.At(span.First));
            int end = IndexAt(time, clock.At(span.End - 1) + (clock.StepS / 2));
            if (end > first)
            {
                own.Add(new(first, end - first));
            }
        }

        return own.ToImmutable();
    }

    /// <summary>The first sample that is not before a time; the count when all are.</summary>
    public static int IndexAt(TimeBase time, double seconds)
    {
        if (time.Count == 0)
        {
            return 0;
        }

        if (time.IsEven)
        {
            // A millionth of a step covers the rounding of the sum.
            return (int)Math.Clamp(Math.Ceiling(((seconds - time.StartS) / time.StepS) - 1e-6), 0, time.Count);
        }

        int found = time.TimesS.AsSpan().BinarySearch(seconds);
        return found < 0 ? ~found : found;
    }

    private static int StateOf(double speedMps, HealthOptions options) =>
        speedMps > options.RunningSpeedMps ? 1 : Math.Abs(speedMps) < options.StandstillSpeedMps ? 0 : -1;
}
