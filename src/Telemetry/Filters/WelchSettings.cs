using System.Numerics;

namespace Telemetry.Filters;

/// <summary>How a power spectrum is estimated.</summary>
public sealed record WelchSettings
{
    private const int Least = 4;
    private const int Most = 1 << 24;

    /// <summary>Samples per segment, a power of two from 4 to 2^24; lines stand sample rate / this apart.
    /// Null, the default: the smallest power of two that is at least four seconds, so that lines stand at most 0.25 Hz apart
    /// and a ride frequency of 2 Hz has eight of them below it.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not a power of two, or outside the range.</exception>
    public int? SegmentSamples
    {
        get;
        init => field = value is not int count || (count is >= Least and <= Most && int.IsPow2(count))
            ? value
            : throw new ArgumentOutOfRangeException(nameof(value), value, "A segment must be a power of two from 4 to 2^24 samples.");
    }

    internal int SegmentFor(double sampleRateHz)
    {
        const double LongEnoughS = 4;
        double wanted = Math.Clamp(LongEnoughS * sampleRateHz, Least, Most);
        return SegmentSamples ?? (int)BitOperations.RoundUpToPowerOf2((uint)Math.Ceiling(wanted));
    }
}
