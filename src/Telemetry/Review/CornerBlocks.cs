using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Review;

/// <summary>Pushrod load and damper travel of all corners in blocks of a fifth of a second while the car runs: means, and how much the load shakes within a block.</summary>
/// <remarks>Over 0.2 s a damper comes back to where it was to a few per cent of its stroke, so that its force leaves the mean; what is left is springs, bar and third element.</remarks>
internal sealed class CornerBlocks
{
    private const double BlockS = 0.2;
    private const double RunningMps = 15;

    private CornerBlocks(int count)
    {
        for (int corner = 0; corner < 4; corner++)
        {
            LoadN[corner] = new double[count];
            TravelM[corner] = new double[count];
            ScatterN[corner] = new double[count];
        }
    }

    /// <summary>Mean load of each block, N; NaN where a sample is missing or the car does not run.</summary>
    public double[][] LoadN { get; } = new double[4][];

    /// <summary>Mean damper travel, m; NaN likewise.</summary>
    public double[][] TravelM { get; } = new double[4][];

    /// <summary>Standard deviation of the load within the block about its straight line, N; NaN likewise.</summary>
    public double[][] ScatterN { get; } = new double[4][];

    public int Count => LoadN[0].Length;

    public static CornerBlocks Of(WheelLoadSet wheels)
    {
        Run run = wheels.Run;
        int length = Math.Max(8, (int)Math.Round(BlockS / run.Clock.StepS));
        CornerBlocks blocks = new(run.Count / length);
        bool[] runs = Running(run, length, blocks.Count);
        Workers.Run(4, c =>
        {
            SampleSource load = wheels.Pushrods.PushrodLoadN[(Corner)c];
            SampleSource? travel = wheels.Pushrods.DamperTravelM[(Corner)c];
            double[] room = new double[length];
            for (int b = 0; b < blocks.Count; b++)
            {
                bool isUsed = runs[b];
                (blocks.LoadN[c][b], blocks.ScatterN[c][b]) = isUsed && !load.IsEmpty ? Line(load.Read(b * length, length, room)) : (double.NaN, double.NaN);
                blocks.TravelM[c][b] = isUsed && travel is { Length: > 0 } ? Mean(travel.Read(b * length, length, room)) : double.NaN;
            }
        });
        return blocks;
    }

    private static bool[] Running(Run run, int length, int count)
    {
        bool[] runs = new bool[count];
        SampleSource speed = run.OnClock(ChannelRole.Speed);
        for (int b = 0; b < count && !speed.IsEmpty; b++)
        {
            runs[b] = speed[b * length] > RunningMps && speed[((b + 1) * length) - 1] > RunningMps;
        }

        return runs;
    }

    private static double Mean(ReadOnlySpan<double> values)
    {
        double sum = 0;
        foreach (double value in values)
        {
            sum += value;
        }

        return sum / values.Length;
    }

    /// <summary>Mean, and standard deviation about the straight line through the block; NaN with a sample missing.</summary>
    private static (double Mean, double Scatter) Line(ReadOnlySpan<double> values)
    {
        double mean = Mean(values);
        double middle = (values.Length - 1) / 2.0;
        double squares = 0;
        double along = 0;
        for (int i = 0; i < values.Length; i++)
        {
            double off = values[i] - mean;
            squares += off * off;
            along += off * (i - middle);
        }

        double spread = values.Length * ((double)values.Length * values.Length - 1) / 12;
        return (mean, Math.Sqrt(Math.Max(0, squares - (along * along / spread)) / (values.Length - 2)));
    }
}
