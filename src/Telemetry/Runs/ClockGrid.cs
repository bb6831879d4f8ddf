using System.Collections.Immutable;
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
    /// <summary>A sample this near to a point of the clock, as a share of the step, is taken as it is.</summary>
    private const double SamePointShare = 1e-3;

    /// <summary>Two samples further apart than this many steps have a gap between them; nothing is drawn across it.</summary>
    private const double GapSteps = 1.5;

    /// <summary>A channel with more than this many samples to one step of the clock is averaged over the step, so that it does not alias.</summary>
    private const double AverageAboveRatio = 1.33;

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
    public static ImmutableArray<double> Place(TimeBase time, ImmutableArray<double> samples, TimeBase clock, BetweenSamples between, out bool changed)
    {
        changed = false;
        if (IsSameGrid(time, clock))
        {
            return samples;
        }

        // Every point is written once, NaN included: a run's worth of fresh memory is not touched twice.
        double[] placed = GC.AllocateUninitializedArray<double>(clock.Count);
        if (time.Count == 0)
        {
            placed.AsSpan().Fill(double.NaN);
            return ImmutableCollectionsMarshal.AsImmutableArray(placed);
        }

        double step = double.IsNaN(time.StepS) ? clock.StepS : time.StepS;
        if (between is BetweenSamples.Line && clock.StepS > AverageAboveRatio * step)
        {
            changed = true;
            AverageOverSteps(time, samples.AsSpan(), clock, placed);
        }
        else
        {
            changed = ReadBetween(time, samples.AsSpan(), clock, between, GapSteps * step, placed);
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(placed);
    }

    private static bool IsSameGrid(TimeBase time, TimeBase clock) =>
        time.IsEven && time.Count == clock.Count && time.StartS == clock.StartS && time.StepS == clock.StepS;

    private static void AverageOverSteps(TimeBase time, ReadOnlySpan<double> samples, TimeBase clock, double[] placed)
    {
        int next = 0;
        for (int k = 0; k < placed.Length; k++)
        {
            double from = clock.At(k) - (clock.StepS / 2);
            double to = from + clock.StepS;
            while (next < samples.Length && time.At(next) < from)
            {
                next++;
            }

            double sum = 0;
            int count = 0;
            while (next < samples.Length && time.At(next) < to)
            {
                sum += samples[next];
                count++;
                next++;
            }

            placed[k] = count == 0 ? double.NaN : sum / count;
        }
    }

    private static bool ReadBetween(TimeBase time, ReadOnlySpan<double> samples, TimeBase clock, BetweenSamples between, double gapS, double[] placed)
    {
        bool changed = false;
        double nearS = SamePointShare * clock.StepS;
        double resetFall = between == BetweenSamples.LineUnlessReset ? Span(samples) / 2 : double.NaN;
        int right = 0;
        double rightS = samples.IsEmpty ? double.NaN : time.At(0);
        for (int k = 0; k < placed.Length; k++)
        {
            double t = clock.At(k);
            while (right < samples.Length && rightS < t - nearS)
            {
                right++;
                rightS = right < samples.Length ? time.At(right) : double.NaN;
            }

            if (right < samples.Length && rightS <= t + nearS)
            {
                placed[k] = samples[right];
                continue;
            }

            if (right == 0)
            {
                placed[k] = double.NaN;
                continue;
            }

            int left = right - 1;
            double leftS = time.At(left);
            if (between == BetweenSamples.Hold)
            {
                placed[k] = right < samples.Length || t - leftS <= gapS ? samples[left] : double.NaN;
                changed = true;
                continue;
            }

            if (right == samples.Length || rightS - leftS > gapS)
            {
                placed[k] = double.NaN;
                continue;
            }

            double rise = samples[right] - samples[left];
            if (between == BetweenSamples.Angle)
            {
                rise = Math.IEEERemainder(rise, 2 * Math.PI);
            }

            if (between == BetweenSamples.LineUnlessReset && -rise > resetFall)
            {
                rise = 0;
            }

            // All points of the clock between the same two samples at once: a slow channel has many.
            double from = samples[left], length = rightS - leftS;
            for (; ; k++)
            {
                placed[k] = from + ((t - leftS) / length * rise);
                if (k + 1 == placed.Length || rightS <= (t = clock.At(k + 1)) + nearS)
                {
                    break;
                }
            }

            changed = true;
        }

        return changed;
    }

    private static double Span(ReadOnlySpan<double> samples)
    {
        (double low, double high) = Extremes.Of(samples);
        return high > low ? high - low : double.PositiveInfinity;
    }
}
