using System.Collections.Immutable;
using System.Numerics;
using Telemetry.Logs;

namespace Telemetry.Health;

/// <summary>Samples without a number on the run's clock, which is what the answers are made from.</summary>
internal static class MissingSamples
{
    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        TimeBase clock = view.Run.Clock;
        (int first, int length) = Covered(clock, view.Channel.Time);
        SampleSource onClock = view.Run.OnClock(view.Channel.Role);
        if (onClock.IsFiniteThroughout)
        {
            return [];
        }

        using WholeSamples whole = onClock.Whole();
        ReadOnlySpan<double> samples = whole.Span.Slice(first, length);
        List<SampleSpan> gaps = [];
        int missing = 0;
        int longest = 0;
        for (int i = 0; i < samples.Length; i++)
        {
            // Asked only now and then, so that a channel full of gaps is not summed again for each.
            i += i % 256 == 0 ? WholeBlocks(samples[i..]) : 0;
            if (i >= samples.Length || !double.IsNaN(samples[i]))
            {
                continue;
            }

            int start = i;
            while (i < samples.Length && double.IsNaN(samples[i]))
            {
                i++;
            }

            missing += i - start;
            longest = Math.Max(longest, i - start);
            gaps.Add(new(first + start, i - start));
        }

        double share = (double)missing / samples.Length;
        if (share <= view.Options.GapShareDoubtful)
        {
            return [];
        }

        bool isUnusable = view.Family == ChannelFamily.Load && share > view.Options.GapShareUnusable;
        ImmutableArray<SampleSpan> spans = gaps.Count > SpanList.Most ? [] : [.. gaps];
        string count = gaps.Count == 1 ? "1 gap" : $"{gaps.Count} gaps";
        return
        [
            view.Finding(
                "gap",
                isUnusable ? HealthVerdict.Unusable : HealthVerdict.Doubtful,
                FormattableString.Invariant($"{100 * share:0.##} % of the samples are missing in {count}; the longest lasts {longest * clock.StepS:0.###} s."),
                "Check connector and cable; a strike inside a gap is lost.") with
            {
                StartS = spans.IsEmpty ? double.NaN : clock.At(spans[0].First),
                EndS = spans.IsEmpty ? double.NaN : clock.At(spans[^1].End - 1),
                Spans = spans,
            },
        ];
    }

    /// <summary>Samples at the start in whole blocks whose sum is a number, so that none of them is missing.</summary>
    private static int WholeBlocks(ReadOnlySpan<double> samples)
    {
        int block = 64 * Vector<double>.Count;
        int whole = 0;
        while (whole + block <= samples.Length)
        {
            // A NaN makes every sum NaN; two infinities may too, and are then looked at one by one.
            Vector<double> sum = Vector<double>.Zero;
            for (int i = whole; i < whole + block; i += Vector<double>.Count)
            {
                sum += new Vector<double>(samples[i..]);
            }

            if (double.IsNaN(Vector.Sum(sum)))
            {
                break;
            }

            whole += block;
        }

        return whole;
    }

    /// <summary>
    /// The part of the clock that a channel covers: a slow channel starts and ends up to one of its own steps inside the clock, and that is no gap,
    /// also in a log that breaks off. A channel that starts later or ends earlier than that is looked at to the end of the clock, so that what is missing counts.
    /// </summary>
    private static (int First, int Length) Covered(TimeBase clock, TimeBase channel)
    {
        if (channel.Count == 0)
        {
            return (0, clock.Count);
        }

        // A gap of the channel is more than one and a half steps (as for reading between samples); the tenth covers rounded time stamps.
        // A channel with a single sample has no step: it is as slow as it needs to be.
        double allowedS = double.IsNaN(channel.StepS) || channel.Count < 2
            ? double.PositiveInfinity
            : 1.6 * Math.Max(channel.StepS, clock.StepS);
        int first = channel.StartS - clock.StartS <= allowedS ? (int)Math.Ceiling(Math.Max(0, (channel.StartS - clock.StartS) / clock.StepS) - 1e-3) : 0;
        int last = clock.LastS - channel.LastS <= allowedS ? (int)Math.Floor(Math.Min(clock.Count - 1, (channel.LastS - clock.StartS) / clock.StepS) + 1e-3) : clock.Count - 1;
        return last < first || first >= clock.Count ? (0, clock.Count) : (first, last - first + 1);
    }
}
