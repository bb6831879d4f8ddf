using System.Collections.Immutable;

namespace Telemetry.Logs;

/// <summary>The times at which a channel was sampled: an even grid, or one time a sample.</summary>
/// <remarks>Seconds from the log's own start of time. Equality compares the grid, or the identity of the array of times.</remarks>
public sealed record TimeBase
{
    private TimeBase(double startS, double stepS, int count, ImmutableArray<double> timesS)
    {
        StartS = startS;
        StepS = stepS;
        Count = count;
        TimesS = timesS;
    }

    /// <summary>Time of the first sample, s.</summary>
    public double StartS { get; }

    /// <summary>Time between samples, s: exact on an even grid, the median otherwise; NaN for fewer than two uneven samples.</summary>
    public double StepS { get; }

    /// <summary>Number of samples.</summary>
    public int Count { get; }

    /// <summary>One time a sample, s, strictly rising; empty (default) on an even grid.</summary>
    public ImmutableArray<double> TimesS { get; }

    /// <summary>True when sample i is at StartS + i * StepS.</summary>
    public bool IsEven => TimesS.IsDefault;

    /// <summary>Samples a second, Hz; NaN for fewer than two uneven samples.</summary>
    public double RateHz => 1 / StepS;

    /// <summary>Time of the last sample, s; NaN when there is none.</summary>
    public double LastS => Count == 0 ? double.NaN : At(Count - 1);

    /// <summary>An even grid.</summary>
    /// <param name="startS">Time of the first sample, s.</param>
    /// <param name="stepS">Time between samples, s, above 0.</param>
    /// <param name="count">Number of samples.</param>
    /// <exception cref="ArgumentOutOfRangeException">The step is not above 0, or the count is below 0.</exception>
    public static TimeBase Even(double startS, double stepS, int count)
    {
        if (!(stepS > 0) || !double.IsFinite(stepS))
        {
            throw new ArgumentOutOfRangeException(nameof(stepS), stepS, "The time between samples must be above 0 s.");
        }

        ArgumentOutOfRangeException.ThrowIfNegative(count);
        return new(startS, stepS, count, default);
    }

    /// <summary>One time a sample.</summary>
    /// <param name="timesS">Strictly rising finite times, s.</param>
    /// <exception cref="ArgumentException">A time is not finite or does not rise.</exception>
    public static TimeBase Uneven(ImmutableArray<double> timesS)
    {
        ReadOnlySpan<double> times = timesS.AsSpan();
        for (int i = 0; i < times.Length; i++)
        {
            if (!double.IsFinite(times[i]) || (i > 0 && times[i] <= times[i - 1]))
            {
                throw new ArgumentException($"Time {times[i]} s at sample {i} does not rise.", nameof(timesS));
            }
        }

        return new(times.Length == 0 ? double.NaN : times[0], MedianStep(times), times.Length, timesS.IsDefault ? [] : timesS);
    }

    /// <summary>Time of one sample, s.</summary>
    /// <param name="index">Sample, from 0.</param>
    public double At(int index)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(index);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(index, Count);
        return IsEven ? StartS + (index * StepS) : TimesS[index];
    }

    private static double MedianStep(ReadOnlySpan<double> times)
    {
        if (times.Length < 2)
        {
            return double.NaN;
        }

        double[] steps = new double[times.Length - 1];
        for (int i = 0; i < steps.Length; i++)
        {
            steps[i] = times[i + 1] - times[i];
        }

        return OrderStatistics.Median(steps);
    }
}
