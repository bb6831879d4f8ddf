using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Aero;

/// <summary>What makes the block means of ride height, which count from any zero, heights above the road.</summary>
/// <param name="ShiftM">To add to each axle's height, m.</param>
/// <param name="AreAbsolute">False when only changes from standstill are known.</param>
/// <param name="Source">Where the heights came from, in words.</param>
internal sealed record AbsoluteHeights(PerAxle<double> ShiftM, bool AreAbsolute, string Source)
{
    /// <summary>Sensors read heights; travel gives changes, to which the setup sheet adds the height at standstill.</summary>
    /// <returns>Null when there are no ride heights, or none at a standstill to count from.</returns>
    public static AbsoluteHeights? Of(WheelLoadSet wheels, BlockMeans blocks)
    {
        Run run = wheels.Run;
        if (blocks.HeightMm is null)
        {
            return null;
        }

        if (blocks.HeightSource == RideHeights.FromSensors)
        {
            return new(new(0, 0), true, blocks.HeightSource);
        }

        double front = AtStandstill(wheels, blocks, blocks.HeightMm.Front);
        double rear = AtStandstill(wheels, blocks, blocks.HeightMm.Rear);
        if (!double.IsFinite(front + rear))
        {
            return null;
        }

        return run.Car.Setup.RideHeightM is PerAxle<double> sheet
            ? new(new(sheet.Front - front, sheet.Rear - rear), true, "wheel travel and tyre squeeze from the setup sheet's static heights")
            : new(new(-front, -rear), false, "wheel travel and tyre squeeze, counted from standstill");
    }

    private static double AtStandstill(WheelLoadSet wheels, BlockMeans blocks, double[] heightMm)
    {
        List<double> still = [];
        foreach (StandstillWindow window in wheels.Pushrods.Windows.Where(w => !w.OnStands))
        {
            int last = Math.Min(window.EndIndex / blocks.Length, blocks.Count);
            for (int k = (window.StartIndex + blocks.Length - 1) / blocks.Length; k < last; k++)
            {
                if (double.IsFinite(heightMm[k]))
                {
                    still.Add(heightMm[k]);
                }
            }
        }

        return OrderStatistics.Median([.. still]) / 1000;
    }
}
