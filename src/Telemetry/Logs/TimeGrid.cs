using System.Globalization;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Telemetry.Logs;

/// <summary>Finds whether times lie on an even grid.</summary>
internal static class TimeGrid
{
    /// <summary>Jitter below this share of a step is the rounding of binary sums, not of the clock.</summary>
    private const double LeastJitterInSteps = 1e-6;

    /// <summary>A step longer than this many median steps is a gap.</summary>
    private const double GapInSteps = 1.5;

    /// <summary>What was seen in the times.</summary>
    /// <param name="Time">The time base.</param>
    /// <param name="Gaps">Steps longer than 1.5 median steps.</param>
    /// <param name="FirstGap">Sample before the first gap, or -1.</param>
    /// <param name="LongestGapS">The longest such step, s.</param>
    /// <param name="UnevenSteps">Steps that differ from the median by more than the rounding of one time explains; 0 when a grid with gaps explains all.</param>
    /// <param name="FirstUneven">Sample before the first such step, or -1.</param>
    /// <param name="ShortestS">Shortest step, s.</param>
    internal sealed record Result(TimeBase Time, int Gaps, int FirstGap, double LongestGapS, int UnevenSteps, int FirstUneven, double ShortestS);

    /// <summary>The time base of rising times.</summary>
    /// <param name="times">Strictly rising, finite times, s; taken over, not copied.</param>
    /// <param name="quantumS">What the last digit of the text (or one step of the binary number) stands for, s.</param>
    public static Result Find(double[] times, double quantumS)
    {
        int count = times.Length;
        if (count < 2)
        {
            return new(TimeBase.Uneven(ImmutableCollectionsMarshal.AsImmutableArray(times)), 0, -1, 0, 0, -1, double.NaN);
        }

        double largest = Math.Max(Math.Abs(times[0]), Math.Abs(times[^1]));
        double rounding = 4 * (Math.BitIncrement(largest) - largest);
        double mean = (times[^1] - times[0]) / (count - 1);
        double tolerance = Tolerance(quantumS, mean, rounding);
        if (double.IsFinite(mean) && mean > 0 && FindEven(times, mean, quantumS, tolerance) is { } even)
        {
            return new(even, 0, -1, 0, 0, -1, even.StepS);
        }

        TimeBase uneven = TimeBase.Uneven(ImmutableCollectionsMarshal.AsImmutableArray(times));
        return Describe(times, uneven, quantumS, rounding);
    }

    /// <summary>The even grid that explains rising times, equal neighbours allowed, within a rounding coarser than their text; or null.</summary>
    /// <param name="times">Times, s.</param>
    /// <param name="quantumS">What they are rounded to, s.</param>
    public static TimeBase? FindEven(double[] times, double quantumS)
    {
        double mean = (times[^1] - times[0]) / (times.Length - 1);
        return double.IsFinite(mean) && mean > 0 ? FindEven(times, mean, quantumS, quantumS) : null;
    }

    /// <summary>How far the times of an even grid may spread about it: rounding moves each by half a quantum at most, so that two differ by one.</summary>
    private static double Tolerance(double quantumS, double stepS, double rounding) =>
        Math.Max(quantumS * (1 + 1e-8), LeastJitterInSteps * stepS) + rounding;

    /// <summary>
    /// Steps of a rounded even grid are of two neighbouring sizes at most; 9, 10 and 11 ms in one file come from the clock,
    /// although each time alone lies within a millisecond of an even grid.
    /// </summary>
    private static bool HasStepsOfOneGrid(double[] times, double quantumS, double least)
    {
        (double shortest, double longest) = Extremes.OfSteps(times);
        return longest - shortest <= Math.Max(1.5 * quantumS, least);
    }

    /// <summary>
    /// A grid from which no time differs by more than its rounding: the spread of (time - i * step) over all samples is then at most one quantum.
    /// Round steps and round rates are tried first, so that a log written at 128 Hz with milliseconds gives 1/128 s and not a fitted number.
    /// </summary>
    private static TimeBase? FindEven(double[] times, double mean, double quantumS, double tolerance)
    {
        int count = times.Length;
        if (!HasStepsOfOneGrid(times, quantumS, tolerance > 1.5 * quantumS ? 2 * tolerance : 0))
        {
            return null;
        }

        double slack = tolerance / (count - 1);
        Span<double> steps = [RoundedToQuantum(mean, quantumS), 1 / Math.Round(1 / mean), mean];
        foreach (double step in steps)
        {
            if (step > 0 && double.IsFinite(step) && Math.Abs(step - mean) <= 2 * slack && Spread(times, step, out double low, out double high) <= tolerance)
            {
                return Even(times[0], step, count, low, high, tolerance);
            }
        }

        // The spread is a convex function of the step: the samples at its two ends tell on which side the least one lies.
        double from = mean - (2 * slack);
        double to = mean + (2 * slack);
        const int mostHalvings = 40;
        for (int i = 0; i < mostHalvings && from > 0; i++)
        {
            double step = (from + to) / 2;
            if (Spread(times, step, out double low, out double high) <= tolerance)
            {
                return Even(times[0], step, count, low, high, tolerance);
            }

            if (PlaceOf(high, times, step) > PlaceOf(low, times, step))
            {
                from = step;
            }
            else
            {
                to = step;
            }
        }

        return null;
    }

    private static TimeBase Even(double first, double step, int count, double low, double high, double tolerance)
    {
        // The first time stands where it does unless its own rounding would push another time out of reach.
        bool firstFits = Math.Max(Math.Abs(low), Math.Abs(high)) <= tolerance / 2;
        return TimeBase.Even(firstFits ? first : first + ((low + high) / 2), step, count);
    }

    private static double RoundedToQuantum(double step, double quantumS) =>
        quantumS > 0 && step > quantumS / 2 && step / quantumS < 1e9
            ? quantumS < 1 ? Math.Round(step / quantumS) / Math.Round(1 / quantumS) : Math.Round(step / quantumS) * quantumS
            : step;

    /// <summary>How far the times lie off an even grid from the first on, at the lowest and at the highest; one of them is 0 where none lies on that side.</summary>
    private static double Spread(ReadOnlySpan<double> times, double step, out double low, out double high)
    {
        double first = times[0];
        Vector256<double> lows = Vector256<double>.Zero, highs = Vector256<double>.Zero, firsts = Vector256.Create(first), steps = Vector256.Create(step);
        Vector256<double> places = Vector256.Create(0.0, 1, 2, 3);
        int i = 0;
        for (; i <= times.Length - Vector256<double>.Count; i += Vector256<double>.Count)
        {
            Vector256<double> off = Vector256.Create(times[i..]) - firsts - (places * steps);
            lows = Vector256.Min(lows, off);
            highs = Vector256.Max(highs, off);
            places += Vector256.Create((double)Vector256<double>.Count);
        }

        low = 0;
        high = 0;
        for (int lane = 0; lane < Vector256<double>.Count; lane++)
        {
            low = Math.Min(low, lows[lane]);
            high = Math.Max(high, highs[lane]);
        }

        for (; i < times.Length; i++)
        {
            double off = times[i] - first - (i * step);
            low = Math.Min(low, off);
            high = Math.Max(high, off);
        }

        return high - low;
    }

    /// <summary>The first time that lies so far off; the first of all for 0.</summary>
    private static int PlaceOf(double off, double[] times, double step)
    {
        int i = 0;
        while (off != 0 && i < times.Length - 1 && times[i] - times[0] - (i * step) != off)
        {
            i++;
        }

        return i;
    }

    private static Result Describe(double[] times, TimeBase time, double quantumS, double rounding)
    {
        double median = time.StepS;
        int gaps = 0;
        int firstGap = -1;
        double longest = 0;
        double shortest = double.PositiveInfinity;
        int uneven = 0;
        int firstUneven = -1;
        double stepTolerance = Math.Max(quantumS / 2, LeastJitterInSteps * median) + rounding;
        for (int i = 1; i < times.Length; i++)
        {
            double step = times[i] - times[i - 1];
            shortest = Math.Min(shortest, step);
            if (step > GapInSteps * median)
            {
                firstGap = gaps++ == 0 ? i - 1 : firstGap;
                longest = Math.Max(longest, step);
            }
            else if (Math.Abs(step - median) > stepTolerance)
            {
                firstUneven = uneven++ == 0 ? i - 1 : firstUneven;
            }
        }

        if (gaps > 0 && uneven > 0 && IsGridWithGaps(times, median, quantumS, rounding))
        {
            (uneven, firstUneven) = (0, -1);
        }

        return new(time, gaps, firstGap, longest, uneven, firstUneven, shortest);
    }

    /// <summary>True when every stretch between gaps keeps within the rounding of its own even grid.</summary>
    private static bool IsGridWithGaps(double[] times, double median, double quantumS, double rounding)
    {
        int start = 0;
        for (int i = 1; i <= times.Length; i++)
        {
            if (i < times.Length && times[i] - times[i - 1] <= GapInSteps * median)
            {
                continue;
            }

            if (i - start > 2)
            {
                double[] stretch = times[start..i];
                double mean = (stretch[^1] - stretch[0]) / (stretch.Length - 1);
                if (FindEven(stretch, mean, quantumS, Tolerance(quantumS, mean, rounding)) is null)
                {
                    return false;
                }
            }

            start = i;
        }

        return true;
    }

    /// <summary>Text for a finding: a time with as many digits as it needs.</summary>
    public static string Seconds(double value) => value.ToString("G7", CultureInfo.InvariantCulture) + " s";
}
