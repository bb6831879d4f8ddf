using System.Runtime.Intrinsics;

namespace Telemetry.Filters;

/// <summary>A run of samples without NaN or infinity, as long as it can be.</summary>
/// <param name="Start">First sample, from 0.</param>
/// <param name="End">One past the last sample.</param>
internal readonly record struct FiniteStretch(int Start, int End)
{
    internal int Length => End - Start;

    /// <summary>The first stretch that starts at or after a sample; of length 0 at the end of the samples when there is none.</summary>
    internal static FiniteStretch Next(ReadOnlySpan<double> samples, int from)
    {
        int start = from;
        while (start < samples.Length && !double.IsFinite(samples[start]))
        {
            start++;
        }

        // Four at a time while none of them is NaN or infinite: a finite number less itself is 0, any other is NaN.
        int end = start;
        while (end <= samples.Length - Vector256<double>.Count)
        {
            Vector256<double> four = Vector256.Create(samples[end..]);
            if (!Vector256.EqualsAll(four - four, Vector256<double>.Zero))
            {
                break;
            }

            end += Vector256<double>.Count;
        }

        while (end < samples.Length && double.IsFinite(samples[end]))
        {
            end++;
        }

        return new(start, end);
    }
}
