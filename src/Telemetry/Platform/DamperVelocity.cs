using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Platform;

/// <summary>Velocity of a damper from its travel.</summary>
public static class DamperVelocity
{
    /// <summary>Velocity at each sample: slope of the straight line fitted by least squares to the samples around it.</summary>
    /// <remarks>First-derivative filter of polynomial degree 1 or 2, A. Savitzky and M. Golay, Anal. Chem. 36 (1964) 1627, table of first derivatives.</remarks>
    /// <param name="travelM">Travel, m, one value a sample.</param>
    /// <param name="stepS">Time between samples, s.</param>
    /// <param name="spanS">Time that the fit covers, s; at least one sample on each side is used.</param>
    /// <returns>m/s, bump positive; NaN at the ends, and where a sample within the fit is missing.</returns>
    public static double[] Of(ReadOnlySpan<double> travelM, double stepS, double spanS)
    {
        int half = Math.Max(1, (int)Math.Round(spanS / stepS / 2));
        double scale = 0;
        for (int k = 1; k <= half; k++)
        {
            scale += 2.0 * k * k;
        }

        scale = 1 / (scale * stepS);
        double[] velocity = new double[travelM.Length];
        velocity.AsSpan().Fill(double.NaN);
        for (int i = half; i < travelM.Length - half; i++)
        {
            double sum = 0;
            for (int k = 1; k <= half; k++)
            {
                sum += k * (travelM[i + k] - travelM[i - k]);
            }

            velocity[i] = sum * scale;
        }

        return velocity;
    }

    /// <summary>Histogram of a corner's damper velocity while the car runs; null without a potentiometer or without running.</summary>
    internal static VelocityHistogram? Histogram(Run run, ImmutableArray<double> travelM, PlatformOptions options)
    {
        ReadOnlySpan<double> speed = run.OnClock(ChannelRole.Speed);
        if (travelM.IsDefault || speed.IsEmpty)
        {
            return null;
        }

        double[] velocity = Of(travelM.AsSpan(), run.Clock.StepS, options.VelocitySpanS);
        int bins = (int)Math.Round(2 * options.HistogramMps / options.HistogramBinMps);
        long[] counts = new long[bins];
        long all = 0, bump = 0, moving = 0;
        for (int i = 0; i < velocity.Length; i++)
        {
            double v = velocity[i];
            if (!(speed[i] > options.RunningMps) || double.IsNaN(v))
            {
                continue;
            }

            counts[Math.Clamp((int)Math.Floor((v + options.HistogramMps) / options.HistogramBinMps), 0, bins - 1)]++;
            all++;
            moving += v != 0 ? 1 : 0;
            bump += v > 0 ? 1 : 0;
        }

        return all == 0
            ? null
            : new VelocityHistogram(
                -options.HistogramMps,
                options.HistogramBinMps,
                [.. counts.Select(count => (double)count / all)],
                moving == 0 ? double.NaN : (double)bump / moving);
    }
}
