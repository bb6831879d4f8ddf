using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Platform;

/// <summary>When a third element and its bump rubber work.</summary>
internal static class ThirdElements
{
    /// <summary>Use of one axle's third element while the car runs; null without an element, without both dampers, or without speed.</summary>
    public static ThirdElementUse? From(WheelLoadSet wheels, AeroResult aero, Axle axle, PlatformOptions options)
    {
        Run run = wheels.Run;
        (Corner left, Corner right) = axle == Axle.Front ? (Corner.FrontLeft, Corner.FrontRight) : (Corner.RearLeft, Corner.RearRight);
        SampleCursor speed = run.OnClock(ChannelRole.Speed).Cursor();
        if (run.Car.Suspension[axle].Third is not ThirdElement element || wheels.Pushrods.DamperTravelM[left] is not { } leftM || wheels.Pushrods.DamperTravelM[right] is not { } rightM || speed.IsEmpty)
        {
            return null;
        }

        int running = 0, spring = 0, rubber = 0;
        double largest = 0;
        double[] leftRoom = SampleSource.RoomForBlock(), rightRoom = SampleSource.RoomForBlock();
        foreach ((int start, int count) in SampleSource.Blocks(0, speed.Length))
        {
            ReadOnlySpan<double> lefts = leftM.Read(start, count, leftRoom), rights = rightM.Read(start, count, rightRoom);
            for (int i = 0; i < count; i++)
            {
                double travel = (lefts[i] + rights[i]) / 2;
                if (!(speed[start + i] > options.RunningMps) || double.IsNaN(travel))
                {
                    continue;
                }

                running++;
                spring += travel > element.SpringGapM ? 1 : 0;
                rubber += element.RubberGapM is double gap && travel > gap ? 1 : 0;
                largest = Math.Max(largest, Force(element, travel));
            }
        }

        return running == 0
            ? null
            : new ThirdElementUse(
                (double)spring / running,
                element.RubberGapM is null ? null : (double)rubber / running,
                EngagesAbove(run, aero, element, leftM, rightM, options),
                largest);
    }

    /// <summary>Force of spring and rubber at a mean damper travel, N. Beyond the rubber's last point its last slope goes on, which a force can only exceed: a rubber stiffens.</summary>
    internal static double Force(ThirdElement element, double travelM)
    {
        double force = Math.Max(0, travelM - element.SpringGapM) * element.SpringRateNpm;
        return element.RubberGapM is double gap && travelM > gap ? force + RubberForce(element, travelM - gap) : force;
    }

    /// <summary>Force of the rubber at a compression, N; 0 without a rubber or below 0.</summary>
    internal static double RubberForce(ThirdElement element, double compressionM)
    {
        if (element.Rubber.IsDefaultOrEmpty || compressionM <= 0)
        {
            return 0;
        }

        ImmutableArray<ForcePoint> points = element.Rubber;
        int k = 1;
        while (k < points.Length - 1 && compressionM > points[k].CompressionM)
        {
            k++;
        }

        if (points.Length == 1)
        {
            return points[0].ForceN;
        }

        double slope = (points[k].ForceN - points[k - 1].ForceN) / (points[k].CompressionM - points[k - 1].CompressionM);
        return points[k - 1].ForceN + (slope * (compressionM - points[k - 1].CompressionM));
    }

    /// <summary>The lowest speed band on straights from which on every faster band has the rubber touched for more than half of the time, m/s.</summary>
    private static double? EngagesAbove(Run run, AeroResult aero, ThirdElement element, SampleSource leftM, SampleSource rightM, PlatformOptions options)
    {
        if (element.RubberGapM is not double gap)
        {
            return null;
        }

        SortedDictionary<int, (int Touched, int All)> bands = [];
        double bandMps = options.BandMps / 2;
        foreach (QuasiSteadyWindow window in aero.Windows.Where(window => window.RejectedBecause is null))
        {
            (int from, int to) = PlatformAnalysis.SamplesOf(run, window, options);
            int band = (int)Math.Floor(window.SpeedMps / bandMps);
            (int touched, int all) = bands.GetValueOrDefault(band);
            ReadOnlySpan<double> lefts = leftM.Between(from, to), rights = rightM.Between(from, to);
            for (int i = 0; i < lefts.Length; i++)
            {
                double travel = (lefts[i] + rights[i]) / 2;
                all += double.IsNaN(travel) ? 0 : 1;
                touched += travel > gap ? 1 : 0;
            }

            bands[band] = (touched, all);
        }

        double? above = null;
        foreach ((int band, (int touched, int all)) in bands.Reverse())
        {
            if (2 * touched <= all)
            {
                break;
            }

            above = band * bandMps;
        }

        return above;
    }
}
