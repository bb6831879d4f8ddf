using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Telemetry;

/// <summary>Smallest and largest of many numbers in one pass, several at a time.</summary>
internal static class Extremes
{
    /// <summary>Smallest and largest number; a NaN counts for nothing.</summary>
    /// <param name="values">The numbers.</param>
    /// <returns>Positive and negative infinity where there is no number at all.</returns>
    public static (double Low, double High) Of(ReadOnlySpan<double> values)
    {
        Vector256<double> lows = Vector256.Create(double.PositiveInfinity);
        Vector256<double> highs = Vector256.Create(double.NegativeInfinity);
        ReadOnlySpan<Vector256<double>> fours = MemoryMarshal.Cast<double, Vector256<double>>(values);
        foreach (Vector256<double> four in fours)
        {
            // A NaN makes both comparisons false, so what was there stays.
            lows = Vector256.ConditionalSelect(Vector256.LessThan(four, lows), four, lows);
            highs = Vector256.ConditionalSelect(Vector256.GreaterThan(four, highs), four, highs);
        }

        double low = double.PositiveInfinity;
        double high = double.NegativeInfinity;
        for (int lane = 0; lane < Vector256<double>.Count; lane++)
        {
            low = lows[lane] < low ? lows[lane] : low;
            high = highs[lane] > high ? highs[lane] : high;
        }

        foreach (double value in values[(fours.Length * Vector256<double>.Count)..])
        {
            low = value < low ? value : low;
            high = value > high ? value : high;
        }

        return (low, high);
    }

    /// <summary>The same of a channel between two places.</summary>
    /// <param name="samples">The channel.</param>
    /// <param name="from">First sample.</param>
    /// <param name="until">One past the last.</param>
    public static (double Low, double High) Of(SampleSource samples, int from, int until)
    {
        (double low, double high) = (double.PositiveInfinity, double.NegativeInfinity);
        double[] room = SampleSource.RoomForBlock(Math.Max(0, until - from));
        foreach ((int start, int count) in SampleSource.Blocks(from, until))
        {
            (double lowest, double highest) = Of(samples.Read(start, count, room));
            (low, high) = (Math.Min(low, lowest), Math.Max(high, highest));
        }

        return (low, high);
    }

    /// <summary>Smallest and largest step from one finite number to the next; positive and negative infinity below two numbers.</summary>
    public static (double Low, double High) OfSteps(ReadOnlySpan<double> values)
    {
        (double low, double high) = (double.PositiveInfinity, double.NegativeInfinity);
        Vector256<double> lows = Vector256.Create(low), highs = Vector256.Create(high);
        ref double first = ref MemoryMarshal.GetReference(values);
        int i = 0;
        for (; i < values.Length - Vector256<double>.Count; i += Vector256<double>.Count)
        {
            Vector256<double> four = Vector256.LoadUnsafe(ref first, (nuint)i + 1) - Vector256.LoadUnsafe(ref first, (nuint)i);
            lows = Vector256.ConditionalSelect(Vector256.LessThan(four, lows), four, lows);
            highs = Vector256.ConditionalSelect(Vector256.GreaterThan(four, highs), four, highs);
        }

        for (int lane = 0; lane < Vector256<double>.Count; lane++)
        {
            (low, high) = (Math.Min(low, lows[lane]), Math.Max(high, highs[lane]));
        }

        for (; i + 1 < values.Length; i++)
        {
            double step = values[i + 1] - values[i];
            (low, high) = (Math.Min(low, step), Math.Max(high, step));
        }

        return (low, high);
    }
}
