using System.Runtime.Intrinsics;

namespace Telemetry.Zero;

/// <summary>Readings less one number.</summary>
internal sealed class ShiftedSamples(SampleSource readings, double zero) : SampleSource(readings.Length)
{
    public override double this[int index] => readings[index] - zero;

    public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
    {
        // A sample is written where it was read from, or beside what is kept.
        ReadOnlySpan<double> from = readings.Read(start, count, room);
        Span<double> shifted = room[..count];
        Vector256<double> zeros = Vector256.Create(zero);
        int i = 0;
        for (; i <= count - Vector256<double>.Count; i += Vector256<double>.Count)
        {
            (Vector256.Create(from[i..]) - zeros).CopyTo(shifted[i..]);
        }

        for (; i < count; i++)
        {
            shifted[i] = from[i] - zero;
        }

        return shifted;
    }
}
