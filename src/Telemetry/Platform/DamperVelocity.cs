using System.Runtime.Intrinsics;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Platform;

/// <summary>Velocity of a damper from its travel.</summary>
public static class DamperVelocity
{
    /// <summary>Samples at a time where velocities are counted and not kept.</summary>
    private const int BlockLength = 4096;

    /// <summary>Velocity at each sample: slope of the straight line fitted by least squares to the samples around it.</summary>
    /// <remarks>First-derivative filter of polynomial degree 1 or 2, A. Savitzky and M. Golay, Anal. Chem. 36 (1964) 1627, table of first derivatives.</remarks>
    /// <param name="travelM">Travel, m, one value a sample.</param>
    /// <param name="stepS">Time between samples, s.</param>
    /// <param name="spanS">Time that the fit covers, s; at least one sample on each side is used.</param>
    /// <returns>m/s, bump positive; NaN at the ends, and where a sample within the fit is missing.</returns>
    public static double[] Of(ReadOnlySpan<double> travelM, double stepS, double spanS)
    {
        double[] velocity = new double[travelM.Length];
        Part(travelM, stepS, spanS, 0, velocity);
        return velocity;
    }

    /// <summary>The same at some of the samples.</summary>
    /// <param name="travelM">Travel, m, all of it.</param>
    /// <param name="stepS">Time between samples, s.</param>
    /// <param name="spanS">Time that the fit covers, s.</param>
    /// <param name="start">The first sample whose velocity is wanted.</param>
    /// <param name="velocity">Velocities of the samples from there on, m/s.</param>
    internal static void Part(ReadOnlySpan<double> travelM, double stepS, double spanS, int start, Span<double> velocity)
    {
        int half = Half(stepS, spanS);
        int from = Math.Clamp(half - start, 0, velocity.Length);
        int to = Math.Clamp(travelM.Length - half - start, from, velocity.Length);
        velocity[..from].Fill(double.NaN);
        velocity[to..].Fill(double.NaN);
        if (to > from)
        {
            Inside(travelM[(start + from - half)..], half, stepS, velocity[from..to]);
        }
    }

    /// <summary>Samples on each side that the fit takes.</summary>
    internal static int Half(double stepS, double spanS) => Math.Max(1, (int)Math.Round(spanS / stepS / 2));

    /// <summary>Velocities of the samples that have as many on each side as the fit takes: of travel[half] and those that follow it.</summary>
    private static void Inside(ReadOnlySpan<double> travelM, int half, double stepS, Span<double> velocity)
    {
        double scale = 0;
        for (int k = 1; k <= half; k++)
        {
            scale += 2.0 * k * k;
        }

        scale = 1 / (scale * stepS);

        // Neighbouring samples side by side, each with the same sums in the same order as alone.
        int i = 0;
        for (; i <= velocity.Length - Vector256<double>.Count; i += Vector256<double>.Count)
        {
            Vector256<double> sums = Vector256<double>.Zero;
            for (int k = 1; k <= half; k++)
            {
                sums += k * (Vector256.Create(travelM[(i + half + k)..]) - Vector256.Create(travelM[(i + half - k)..]));
            }

            (sums * scale).CopyTo(velocity[i..]);
        }

        for (; i < velocity.Length; i++)
        {
            double sum = 0;
            for (int k = 1; k <= half; k++)
            {
                sum += k * (travelM[i + half + k] - travelM[i + half - k]);
            }

            velocity[i] = sum * scale;
        }
    }

    /// <summary>Histogram of a corner's damper velocity while the car runs; null without a potentiometer or without running.</summary>
    internal static VelocityHistogram? Histogram(Run run, SampleSource? travelM, PlatformOptions options)
    {
        SampleSource speed = run.OnClock(ChannelRole.Speed);
        if (travelM is null || speed.IsEmpty)
        {
            return null;
        }

        int half = Half(run.Clock.StepS, options.VelocitySpanS);
        int bins = (int)Math.Round(2 * options.HistogramMps / options.HistogramBinMps);
        long[] counts = new long[bins];
        long all = 0, bump = 0, moving = 0;

        // Block by block: only the counts are kept.
        double[] block = new double[BlockLength];
        double[] room = new double[BlockLength + (2 * half)], speedRoom = new double[BlockLength];
        for (int start = half; start < travelM.Length - half; start += BlockLength)
        {
            Span<double> velocity = block.AsSpan(0, Math.Min(BlockLength, travelM.Length - half - start));
            Inside(travelM.Read(start - half, velocity.Length + (2 * half), room), half, run.Clock.StepS, velocity);
            ReadOnlySpan<double> speeds = speed.Read(start, velocity.Length, speedRoom);
            for (int i = 0; i < velocity.Length; i++)
            {
                double v = velocity[i];
                if (!(speeds[i] > options.RunningMps) || double.IsNaN(v))
                {
                    continue;
                }

                counts[Math.Clamp((int)Math.Floor((v + options.HistogramMps) / options.HistogramBinMps), 0, bins - 1)]++;
                all++;
                moving += v != 0 ? 1 : 0;
                bump += v > 0 ? 1 : 0;
            }
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
