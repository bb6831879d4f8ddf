using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Aero;

/// <summary>Means of the run over short blocks of equal length, a fifth of a window; each channel is read once.</summary>
/// <remarks>A block with a gap in it has NaN. The last, incomplete block is left out. Null arrays stand for channels that the log lacks.</remarks>
internal sealed class BlockMeans
{
    /// <summary>Blocks in a window.</summary>
    public const int PerWindow = 5;

    private BlockMeans(int length, int count)
    {
        Length = length;
        Count = count;
    }

    /// <summary>Samples in a block.</summary>
    public int Length { get; }

    /// <summary>Number of blocks.</summary>
    public int Count { get; }

    public required double[][] LoadN { get; init; }

    public required double[][] LowestLoadN { get; init; }

    public required double[][] HighestLoadN { get; init; }

    public required double[]? Speed { get; init; }

    /// <summary>Mean of the square of speed: what dynamic pressure needs.</summary>
    public required double[]? SpeedSquared { get; init; }

    public required double[]? AirSpeed { get; init; }

    public required double[]? AirSpeedSquared { get; init; }

    public required double[]? AccelerationX { get; init; }

    public required double[]? AccelerationY { get; init; }

    public required double[]? AccelerationZ { get; init; }

    public required double[]? YawRate { get; init; }

    public required double[]? CourseCosine { get; init; }

    public required double[]? CourseSine { get; init; }

    /// <summary>Front and rear ride height, mm, from any fixed zero; null where neither sensors nor potentiometers give them.</summary>
    public required PerAxle<double[]>? HeightMm { get; init; }

    /// <summary>Where the ride heights came from, in words; empty without.</summary>
    public required string HeightSource { get; init; }

    /// <summary>True where the driver brakes at any sample of the block.</summary>
    public required bool[] Braking { get; init; }

    public static BlockMeans Of(WheelLoadSet wheels, AeroOptions options)
    {
        Run run = wheels.Run;
        int length = Math.Max(1, (int)Math.Round(options.WindowS / PerWindow / run.Clock.StepS));
        int count = run.Count / length;
        double[][] mean = new double[4][];
        double[][] lowest = new double[4][];
        double[][] highest = new double[4][];
        Workers.Run(4, c =>
        {
            mean[c] = new double[count];
            lowest[c] = new double[count];
            highest[c] = new double[count];
            MeansAndExtremes(wheels.LoadN[(Corner)c], length, mean[c], lowest[c], highest[c]);
        });
        double[]? speed = Mean(run, ChannelRole.Speed, length, count, out double[]? speedSquared);
        double[]? airSpeed = Mean(run, ChannelRole.AirSpeed, length, count, out double[]? airSquared);
        (double[]? cosine, double[]? sine) = Directions(run, length, count);
        (PerAxle<double[]>? heights, string heightSource) = options.UseRideHeights ? RideHeights.Of(wheels, length, count, mean) : (null, "");
        return new(length, count)
        {
            LoadN = mean,
            LowestLoadN = lowest,
            HighestLoadN = highest,
            Speed = speed,
            SpeedSquared = speedSquared,
            AirSpeed = airSpeed,
            AirSpeedSquared = airSquared,
            AccelerationX = Mean(run, ChannelRole.AccelerationX, length, count),
            AccelerationY = Mean(run, ChannelRole.AccelerationY, length, count),
            AccelerationZ = Mean(run, ChannelRole.AccelerationZ, length, count),
            YawRate = Mean(run, ChannelRole.YawRate, length, count),
            CourseCosine = cosine,
            CourseSine = sine,
            HeightMm = heights,
            HeightSource = heightSource,
            Braking = AnyBraking(BrakeDemand.From(run), length, count),
        };
    }

    /// <summary>Mean of the blocks of a window; NaN where one of them has a gap or the channel is missing.</summary>
    public static double Window(double[]? blocks, int window)
    {
        if (blocks is null)
        {
            return double.NaN;
        }

        double sum = 0;
        for (int k = window * PerWindow; k < (window + 1) * PerWindow; k++)
        {
            sum += blocks[k];
        }

        return sum / PerWindow;
    }

    private static double[]? Mean(Run run, ChannelRole role, int length, int count) => Mean(run.OnClock(role), length, count);

    /// <summary>Block means of samples on the clock; null without samples.</summary>
    public static double[]? Mean(SampleSource? samples, int length, int count)
    {
        if (samples is not { Length: > 0 })
        {
            return null;
        }

        double[] room = new double[length];
        double[] means = new double[count];
        for (int k = 0; k < count; k++)
        {
            means[k] = MeanOf(samples.Read(k * length, length, room));
        }

        return means;
    }

    private static double MeanOf(ReadOnlySpan<double> block)
    {
        double sum = 0;
        foreach (double value in block)
        {
            sum += value;
        }

        return sum / block.Length;
    }

    private static double[]? Mean(Run run, ChannelRole role, int length, int count, out double[]? squares)
    {
        SampleSource samples = run.OnClock(role);
        squares = null;
        if (samples.IsEmpty)
        {
            return null;
        }

        double[] means = new double[count];
        squares = new double[count];
        double[] room = new double[length];
        for (int k = 0; k < count; k++)
        {
            ReadOnlySpan<double> block = samples.Read(k * length, length, room);
            double sum = 0;
            double sumOfSquares = 0;
            for (int i = 0; i < block.Length; i++)
            {
                sum += block[i];
                sumOfSquares += block[i] * block[i];
            }

            means[k] = sum / length;
            squares[k] = sumOfSquares / length;
        }

        return means;
    }

    private static void MeansAndExtremes(SampleSource samples, int length, double[] mean, double[] lowest, double[] highest)
    {
        double[] room = new double[length];
        for (int k = 0; k < mean.Length; k++)
        {
            ReadOnlySpan<double> block = samples.Read(k * length, length, room);
            mean[k] = MeanOf(block);
            (lowest[k], highest[k]) = Extremes.Of(block);
        }
    }

    /// <summary>Course as a direction vector, because angles cannot be averaged across north; one sample a block is enough on a straight.</summary>
    private static (double[]? Cosine, double[]? Sine) Directions(Run run, int length, int count)
    {
        SampleSource course = run.OnClock(ChannelRole.Course);
        if (course.IsEmpty)
        {
            return (null, null);
        }

        double[] cosine = new double[count];
        double[] sine = new double[count];
        for (int k = 0; k < count; k++)
        {
            // A sample that was interpolated across north lies between its neighbours' values and points anywhere: the middle one of three is safe.
            (sine[k], cosine[k]) = Math.SinCos(course[(k * length) + (length / 2)]);
        }

        return (cosine, sine);
    }

    private static bool[] AnyBraking(ImmutableArray<bool> braking, int length, int count)
    {
        bool[] any = new bool[count];
        ReadOnlySpan<bool> samples = braking.AsSpan();
        for (int k = 0; k < count; k++)
        {
            any[k] = samples.Slice(k * length, length).Contains(true);
        }

        return any;
    }
}
