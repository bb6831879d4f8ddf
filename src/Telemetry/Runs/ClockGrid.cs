using System.Runtime.InteropServices;
using Telemetry.Logs;

namespace Telemetry.Runs;

/// <summary>How a channel may be read between its samples.</summary>
internal enum BetweenSamples
{
    /// <summary>Straight line.</summary>
    Line,

    /// <summary>The last value holds: counters such as a lap number.</summary>
    Hold,

    /// <summary>Straight line, except where the value falls by more than half its span (a lap distance at the line), where the last value holds.</summary>
    LineUnlessReset,

    /// <summary>Straight line along the shorter way round the circle, rad.</summary>
    Angle,
}

/// <summary>Makes the common clock and puts channels on it.</summary>
internal static class ClockGrid
{
    /// <summary>Two samples further apart than this many steps have a gap between them; nothing is drawn across it.</summary>
    private const double GapSteps = 1.5;

    /// <summary>A channel with more than this many samples to one step of the clock is averaged over the step, so that it does not alias.</summary>
    private const double AverageAboveRatio = 1.33;

    /// <summary>A channel with at most so many samples to one of the clock is read between them each time; a faster one is kept on the clock, because that costs little more than keeping it on its own.</summary>
    private const double MostShareReadEachTime = 0.5;

    /// <summary>The even grid that a time base stands for: itself when it is even, else the grid of its median step from its first to its last sample.</summary>
    /// <exception cref="ArgumentException">Fewer than two samples.</exception>
    public static TimeBase EvenGridOf(TimeBase time)
    {
        if (time.IsEven)
        {
            return time;
        }

        if (time.Count < 2)
        {
            throw new ArgumentException("A clock needs at least two samples.", nameof(time));
        }

        // The median says the step; the whole length divided by the number of steps says it without the rounding of single time stamps.
        double length = time.LastS - time.StartS;
        double steps = Math.Round(length / time.StepS);
        double step = length / steps;
        if (Math.Abs(step - time.StepS) > 1e-3 * time.StepS)
        {
            step = time.StepS;
            steps = Math.Floor(length / step);
        }

        return TimeBase.Even(time.StartS, step, (int)steps + 1);
    }

    /// <summary>A channel's samples at the points of the clock; NaN where it has a gap or has not begun.</summary>
    /// <param name="time">The channel's own time base.</param>
    /// <param name="samples">Its samples.</param>
    /// <param name="clock">The even grid.</param>
    /// <param name="between">How to read between samples.</param>
    /// <param name="changed">True when any value had to be formed between or over samples, false when every value is a logged one.</param>
    public static SampleSource Place(TimeBase time, SampleSource samples, TimeBase clock, BetweenSamples between, out bool changed)
    {
        changed = false;
        if (IsSameGrid(time, clock))
        {
            return samples;
        }

        double step = double.IsNaN(time.StepS) ? clock.StepS : time.StepS;
        if (time.Count > 0 && between is BetweenSamples.Line && clock.StepS > AverageAboveRatio * step)
        {
            changed = true;
            return AverageOverSteps(time, samples, clock);
        }

        ReadBetween read = new(time, samples, clock, between, GapSteps * step);
        changed = read.FormsAny();
        return time.Count <= MostShareReadEachTime * clock.Count ? read : SampleSource.Of(read.ToImmutableArray());
    }

    private static bool IsSameGrid(TimeBase time, TimeBase clock) =>
        time.IsEven && time.Count == clock.Count && time.StartS == clock.StartS && time.StepS == clock.StepS;

    private static SampleSource AverageOverSteps(TimeBase time, SampleSource samples, TimeBase clock)
    {
        double[] placed = GC.AllocateUninitializedArray<double>(clock.Count);
        SampleCursor own = samples.Cursor();
        int next = 0;
        for (int k = 0; k < placed.Length; k++)
        {
            double from = clock.At(k) - (clock.StepS / 2);
            double to = from + clock.StepS;
            while (next < own.Length && time.At(next) < from)
            {
                next++;
            }

            double sum = 0;
            int count = 0;
            while (next < own.Length && time.At(next) < to)
            {
                sum += own[next];
                count++;
                next++;
            }

            placed[k] = count == 0 ? double.NaN : sum / count;
        }

        return SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(placed));
    }
}
