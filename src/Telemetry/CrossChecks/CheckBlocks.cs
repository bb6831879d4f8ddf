using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.CrossChecks;

/// <summary>Means of every channel over short blocks; each channel is read once. NaN where a block has a gap, null where the log has no such channel.</summary>
internal sealed class CheckBlocks
{
    /// <summary>The eight sensors FL FR RL RR: first load cells (N at the pushrod), then dampers (m at the damper).</summary>
    public required double[]?[] Sensor { get; init; }

    public required double[] Speed { get; init; }

    public required double[]? AccelerationX { get; init; }

    public required double[]? AccelerationY { get; init; }

    public required double[]? AccelerationZ { get; init; }

    public required double[]? YawRate { get; init; }

    /// <summary>Mean of the wheel speeds that the log has.</summary>
    public required double[]? WheelSpeed { get; init; }

    /// <summary>Samples in a block.</summary>
    public required int Length { get; init; }

    /// <summary>Duration of a block, s.</summary>
    public required double BlockS { get; init; }

    public int Count => Speed.Length;

    public static CheckBlocks Of(WheelLoadSet wheels, CrossCheckOptions options)
    {
        Run run = wheels.Run;
        int length = Math.Max(1, (int)Math.Round(options.BlockS / run.Clock.StepS));
        int count = run.Count / length;
        double[]?[] all = new double[]?[17];
        Workers.Run(all.Length, k => all[k] = k switch
        {
            < 4 => Mean(wheels.Pushrods.PushrodLoadN[(Corner)k], length, count),
            < 8 => Mean(wheels.Pushrods.DamperTravelM[(Corner)(k - 4)], length, count),
            < 12 => Mean(run, ChannelRole.WheelSpeedFL + (k - 8), length, count),
            12 => Mean(run, ChannelRole.Speed, length, count),
            13 => Mean(run, ChannelRole.AccelerationX, length, count),
            14 => Mean(run, ChannelRole.AccelerationY, length, count),
            15 => Mean(run, ChannelRole.AccelerationZ, length, count),
            _ => Mean(run, ChannelRole.YawRate, length, count),
        });
        return new()
        {
            Sensor = all[..8],
            WheelSpeed = Average([.. all[8..12].OfType<double[]>()]),
            Speed = all[12] ?? [],
            AccelerationX = all[13],
            AccelerationY = all[14],
            AccelerationZ = all[15],
            YawRate = all[16],
            Length = length,
            BlockS = length * run.Clock.StepS,
        };
    }

    /// <summary>Change of speed a second over the blocks beside each block, m/s2; NaN at gaps and at the ends.</summary>
    public double[] SpeedSlope()
    {
        double[] slope = new double[Count];
        Array.Fill(slope, double.NaN);
        for (int k = 1; k < Count - 1; k++)
        {
            slope[k] = (Speed[k + 1] - Speed[k - 1]) / (2 * BlockS);
        }

        return slope;
    }

    private static double[]? Mean(Run run, ChannelRole role, int length, int count) =>
        Mean(run.OnClock(role), length, count);

    private static double[]? Mean(SampleSource? samples, int length, int count)
    {
        if (samples is not { Length: > 0 })
        {
            return null;
        }

        double[] room = new double[length];
        double[] means = new double[count];
        for (int k = 0; k < count; k++)
        {
            // Four running sums: one would wait for itself.
            ReadOnlySpan<double> block = samples.Read(k * length, length, room);
            double a = 0, b = 0, c = 0, d = 0;
            int i = 0;
            for (; i + 3 < block.Length; i += 4)
            {
                a += block[i];
                b += block[i + 1];
                c += block[i + 2];
                d += block[i + 3];
            }

            for (; i < block.Length; i++)
            {
                a += block[i];
            }

            means[k] = (a + b + c + d) / length;
        }

        return means;
    }

    private static double[]? Average(double[][] channels)
    {
        if (channels.Length == 0)
        {
            return null;
        }

        double[] mean = new double[channels[0].Length];
        for (int k = 0; k < mean.Length; k++)
        {
            double sum = 0;
            foreach (double[] channel in channels)
            {
                sum += channel[k];
            }

            mean[k] = sum / channels.Length;
        }

        return mean;
    }
}
