using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Logs;

namespace Telemetry.Health;

/// <summary>Stretches of samples in order.</summary>
internal static class SpanList
{
    /// <summary>A finding with more stretches than this is about the whole channel: nobody can look at so many.</summary>
    public const int Most = 10_000;

    /// <summary>Adds a stretch that does not begin before the last one; joined to it where they touch.</summary>
    public static void Add(List<SampleSpan> spans, int first, int count)
    {
        if (spans.Count > 0 && spans[^1].End >= first)
        {
            SampleSpan last = spans[^1];
            spans[^1] = new(last.First, Math.Max(last.End, first + count) - last.First);
        }
        else
        {
            spans.Add(new(first, count));
        }
    }

    /// <summary>Samples in all stretches together.</summary>
    public static long Count(List<SampleSpan> spans)
    {
        long sum = 0;
        foreach (SampleSpan span in spans)
        {
            sum += span.Count;
        }

        return sum;
    }

    /// <summary>
    /// Stretches of a channel's own samples as stretches of the clock. Where the channel was read between its samples, every point of the clock
    /// that rests on one of them is in it.
    /// </summary>
    public static ImmutableArray<SampleSpan> OnClock(TimeBase time, TimeBase clock, List<SampleSpan> spans)
    {
        if (time == clock)
        {
            return [.. spans];
        }

        List<SampleSpan> placed = new(spans.Count);
        foreach (SampleSpan span in spans)
        {
            double from = time.At(Math.Max(0, span.First - 1));
            double to = time.At(Math.Min(time.Count - 1, span.End));
            int first = RunStretches.IndexAt(clock, from);
            first += span.First > 0 && first < clock.Count && clock.At(first) - from < clock.StepS / 1000 ? 1 : 0;
            int end = RunStretches.IndexAt(clock, to) + (span.End >= time.Count ? 1 : 0);
            end = Math.Min(clock.Count, end);
            if (end > first)
            {
                Add(placed, first, end - first);
            }
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(placed.ToArray());
    }
}
