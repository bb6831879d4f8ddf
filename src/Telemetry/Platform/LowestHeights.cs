using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.WheelLoads;

namespace Telemetry.Platform;

/// <summary>The lowest ride height of an axle and where it was.</summary>
internal static class LowestHeights
{
    /// <summary>The lowest mean over 0.1 s while the car runs; its interval is what neighbouring means scatter about a straight line.</summary>
    public static LowestHeight? Of(WheelLoadSet wheels, PlatformBlocks blocks, Axle axle, PlatformOptions options)
    {
        if (blocks.Means.HeightMm is not { } all || AbsoluteHeights.Of(wheels, blocks.Means) is not { AreAbsolute: true } shift)
        {
            return null;
        }

        double[] height = all[axle];
        int lowest = -1;
        List<double> bends = [];
        for (int k = 1; k < height.Length - 1; k++)
        {
            if (!(blocks.Means.Speed![k] > options.RunningMps) || !double.IsFinite(height[k]))
            {
                continue;
            }

            lowest = lowest < 0 || height[k] < height[lowest] ? k : lowest;
            double bend = height[k - 1] - (2 * height[k]) + height[k + 1];
            if (double.IsFinite(bend))
            {
                bends.Add(Math.Abs(bend));
            }
        }

        if (lowest < 0 || bends.Count == 0)
        {
            return null;
        }

        // The second difference of independent errors has six times their variance.
        double half = 1.96 * OrderStatistics.NormalConsistency * OrderStatistics.Median([.. bends]) / Math.Sqrt(6) / 1000;
        double value = (height[lowest] / 1000) + shift.ShiftM[axle];
        int sample = lowest * blocks.Means.Length;
        return new(
            new(value, value - half, value + half),
            blocks.Run.Clock.At(sample),
            blocks.Run.Laps.At(sample).Number,
            blocks.Run.LapDistanceM.IsEmpty ? double.NaN : blocks.Run.LapDistanceM[sample],
            blocks.Means.Speed![lowest]);
    }
}
