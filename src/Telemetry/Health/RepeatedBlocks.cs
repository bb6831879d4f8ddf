using System.Numerics;

namespace Telemetry.Health;

/// <summary>A block of samples that stands in the channel twice: a logger that wrote one buffer again.</summary>
/// <remarks>
/// Windows of 16 samples at every 32nd place are kept by a hash of their bits; then every window of the channel is looked up. A window must bend by more than
/// a step at six places or more, as noise makes it: a resting channel makes none, and two even ramps through the same steps are no copy. A match is followed to both sides to its whole length, which must be 32 samples or more. In a load cell whose noise is
/// above a step two samples are equal by chance with 0.3 at most; 32 of them with 1e-17, times the 1e10 pairs of a long run.
/// </remarks>
internal static class RepeatedBlocks
{
    private const int Window = 16;
    private const int Apart = 32;
    private const int Least = 32;
    private const int LeastBends = 6;
    private const double BendSteps = 1.5;
    private const ulong Factor = 0x9E3779B97F4A7C15UL;

    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        if (view.Family != ChannelFamily.Load || view.Samples.Length < 4 * Least)
        {
            return [];
        }

        List<SampleSpan> spans = [];
        Search(view, spans);
        if (spans.Count == 0)
        {
            return [];
        }

        int longest = spans.Max(span => span.Count);
        return
        [
            view.Finding(
                "repeated_block",
                HealthVerdict.Doubtful,
                spans,
                FormattableString.Invariant($"{CountText.Of(spans.Count, "block of samples stands", "blocks of samples stand")} in it twice, the longest of {longest} samples ({longest * view.StepS:0.###} s), number for number."),
                "Check the logger's buffer and the offload; leave the run out of fatigue if many blocks are written twice.",
                "Load cycles in the block count twice, and what should stand there is lost; all later times may be late by its length."),
        ];
    }

    private static void Search(ChannelView view, List<SampleSpan> spans)
    {
        ReadOnlySpan<double> samples = view.Samples;

        // A bit for each hash first: nearly every window is turned away by it, and the dictionary is asked seldom. One bit in 64 is set at most, whatever the length of the run.
        ulong[] bits = new ulong[BitOperations.RoundUpToPowerOf2((uint)Math.Max(1 << 10, samples.Length / Apart))];
        int shift = 64 - BitOperations.Log2((uint)bits.Length);

        // A kept window is found in the dictionary by itself, and then says nothing: its place is known without asking.
        int[] kept = new int[(samples.Length / Apart) + 1];
        Dictionary<ulong, int> places = new(kept.Length);
        foreach (SampleSpan span in view.Running)
        {
            for (int i = span.First; i + Window <= span.End; i += Apart)
            {
                if (Moves(samples.Slice(i, Window), view.Step))
                {
                    ulong hash = SumOf(samples.Slice(i, Window));
                    if (places.TryAdd(hash, i))
                    {
                        kept[i / Apart] = i;
                        bits[hash >> shift] |= 1UL << (int)((hash >> (shift - 6)) & 63);
                    }
                }
            }
        }

        foreach (SampleSpan span in view.Running)
        {
            Roll(samples, span, bits, shift, kept, places, spans);
        }
    }

    /// <summary>The hash of a window is a sum of powers, so that the next window's follows from it in three operations.</summary>
    private static void Roll(ReadOnlySpan<double> samples, SampleSpan span, ulong[] bits, int shift, int[] kept, Dictionary<ulong, int> places, List<SampleSpan> spans)
    {
        if (span.Count < Window)
        {
            return;
        }

        ulong oldest = Power(Window);
        ulong sum = SumOf(samples.Slice(span.First, Window));
        int done = 0;
        for (int i = span.First; ; i++)
        {
            if ((bits[sum >> shift] >> (int)((sum >> (shift - 6)) & 63) & 1) != 0 && i >= done && kept[i / Apart] != i && places.TryGetValue(sum, out int first) && first < i
                && Extend(samples, first, i, span.End) is var (from, count) && count >= Least)
            {
                SpanList.Add(spans, from, count);
                done = from + count;
            }

            if (i + Window >= span.End)
            {
                return;
            }

            sum = unchecked((sum * Factor) + Bits(samples[i + Window]) - (Bits(samples[i]) * oldest));
        }
    }

    /// <summary>The whole length of a match; a block is not longer than the distance to its copy.</summary>
    private static (int From, int Count) Extend(ReadOnlySpan<double> samples, int first, int again, int end)
    {
        int from = again;
        while (first > 0 && samples[first - 1] == samples[from - 1] && again - from < again - first)
        {
            first--;
            from--;
        }

        int count = 0;
        while (from + count < end && first + count < from && samples[first + count] == samples[from + count])
        {
            count++;
        }

        return (from, count);
    }

    private static bool Moves(ReadOnlySpan<double> window, double step)
    {
        int bends = 0;
        for (int i = 1; i + 1 < window.Length; i++)
        {
            // A NaN makes the comparison false, and a window with one is turned away by its ends or its neighbours.
            bends += Math.Abs(window[i - 1] - (2 * window[i]) + window[i + 1]) > BendSteps * step ? 1 : 0;
        }

        return bends >= LeastBends && double.IsFinite(window[0] + window[^1]);
    }

    private static ulong SumOf(ReadOnlySpan<double> window)
    {
        ulong sum = 0;
        foreach (double value in window)
        {
            sum = unchecked((sum * Factor) + Bits(value));
        }

        return sum;
    }

    private static ulong Bits(double value) => BitConverter.DoubleToUInt64Bits(value) * 0xD6E8FEB86659FD93UL;

    private static ulong Power(int exponent)
    {
        ulong power = 1;
        for (int i = 0; i < exponent; i++)
        {
            power = unchecked(power * Factor);
        }

        return power;
    }
}
