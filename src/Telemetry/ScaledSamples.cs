using System.Runtime.Intrinsics;

namespace Telemetry;

/// <summary>Samples times a factor plus an offset.</summary>
internal sealed class ScaledSamples(SampleSource samples, double factor, double offset) : SampleSource(samples.Length)
{
    public override double this[int index] => (samples[index] * factor) + offset;

    public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
    {
        // A sample is written where it was read from, or beside what is kept.
        ReadOnlySpan<double> from = samples.Read(start, count, room);
        Span<double> scaled = room[..count];
        (Vector256<double> factors, Vector256<double> offsets) = (Vector256.Create(factor), Vector256.Create(offset));
        int i = 0;
        for (; i <= scaled.Length - Vector256<double>.Count; i += Vector256<double>.Count)
        {
            ((Vector256.Create(from[i..]) * factors) + offsets).CopyTo(scaled[i..]);
        }

        for (; i < scaled.Length; i++)
        {
            scaled[i] = (from[i] * factor) + offset;
        }

        return scaled;
    }
}
