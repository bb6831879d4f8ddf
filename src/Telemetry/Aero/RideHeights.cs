using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Aero;

/// <summary>Ride heights of both axles from the sensors, else from wheel travel and what the tyres give under load.</summary>
/// <remarks>Only changes of height matter here, so sensor offsets and the static height play no part.</remarks>
internal static class RideHeights
{
    /// <summary>The source's name where sensors gave the heights.</summary>
    public const string FromSensors = "the ride-height sensors";

    /// <summary>Share of the blocks that must have a height; below it the source is not used at all.</summary>
    private const double LeastShare = 0.9;

    /// <summary>Block means in mm, or null, and their source in words.</summary>
    public static (PerAxle<double[]>? HeightMm, string Source) Of(WheelLoadSet wheels, int length, int count, double[][] loadN)
    {
        Run run = wheels.Run;
        double[]? front = BlockMeans.Mean(run.OnClock(ChannelRole.RideHeightFront), length, count);
        double[]? rear = BlockMeans.Mean(run.OnClock(ChannelRole.RideHeightRear), length, count);
        if (IsUsable(front) && IsUsable(rear))
        {
            return (new(Scaled(front!), Scaled(rear!)), FromSensors);
        }

        front = FromTravel(wheels, Axle.Front, length, count, loadN);
        rear = FromTravel(wheels, Axle.Rear, length, count, loadN);
        return IsUsable(front) && IsUsable(rear)
            ? (new(front!, rear!), "wheel travel")
            : (null, "");
    }

    private static bool IsUsable(double[]? blocks) =>
        blocks is { Length: > 0 } && blocks.Count(double.IsFinite) >= LeastShare * blocks.Length;

    private static double[] Scaled(double[] metres) => [.. metres.Select(m => 1000 * m)];

    private static double[]? FromTravel(WheelLoadSet wheels, Axle axle, int length, int count, double[][] loadN)
    {
        int left = axle == Axle.Front ? 0 : 2;
        double[]? leftTravel = Travel(wheels, (Corner)left, length, count);
        double[]? rightTravel = Travel(wheels, (Corner)(left + 1), length, count);
        if (leftTravel is null || rightTravel is null)
        {
            return null;
        }

        // Without a stated tyre rate its squeeze is left out: it is proportional to the load, which the spring line takes up.
        double tyre = wheels.Run.Car.Suspension[axle].TyreRateNpm is double rate ? 1 / rate : 0;
        double[] height = new double[count];
        for (int k = 0; k < count; k++)
        {
            double squeeze = (loadN[left][k] + loadN[left + 1][k]) * tyre;
            height[k] = -1000 * (leftTravel[k] + rightTravel[k] + squeeze) / 2;
        }

        return height;
    }

    private static double[]? Travel(WheelLoadSet wheels, Corner corner, int length, int count) =>
        BlockMeans.Mean(wheels.WheelTravelM[corner], length, count);
}
