using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Platform;

/// <summary>Ride height of each axle: measured, or from wheel travel and tyre deflection.</summary>
/// <param name="HeightM">Ride height at each sample of the clock, m; empty when it cannot be formed.</param>
/// <param name="Source">Where it came from, in words.</param>
internal sealed record RideHeights(PerAxle<SampleSource> HeightM, string Source)
{
    public bool AreKnown => !HeightM.Front.IsEmpty && !HeightM.Rear.IsEmpty;

    public static RideHeights From(WheelLoadSet wheels)
    {
        Run run = wheels.Run;
        if (run.Has(ChannelRole.RideHeightFront) && run.Has(ChannelRole.RideHeightRear))
        {
            return new(
                new(run.OnClock(ChannelRole.RideHeightFront), run.OnClock(ChannelRole.RideHeightRear)),
                "measured ride heights");
        }

        if (run.Car.Setup.RideHeightM is null)
        {
            return new(new(SampleSource.None, SampleSource.None), "no ride heights: neither sensors nor static ride heights in the car file");
        }

        if (wheels.WheelTravelM.Each().Any(corner => corner.Value is null))
        {
            return new(new(SampleSource.None, SampleSource.None), "no ride heights: neither sensors nor all four dampers");
        }

        bool withTyres = run.Car.Suspension.Front.TyreRateNpm is not null && run.Car.Suspension.Rear.TyreRateNpm is not null && wheels.Pushrods.WithheldBecause is null;
        return new(
            new(FromTravel(wheels, Axle.Front, withTyres), FromTravel(wheels, Axle.Rear, withTyres)),
            withTyres ? "damper travel and tyre deflection" : "damper travel without tyre deflection");
    }

    private static FromTravelOfAxle FromTravel(WheelLoadSet wheels, Axle axle, bool withTyres)
    {
        (Corner left, Corner right) = axle == Axle.Front ? (Corner.FrontLeft, Corner.FrontRight) : (Corner.RearLeft, Corner.RearRight);
        CarDefinition car = wheels.Run.Car;
        return new(
            wheels.WheelTravelM[left]!,
            wheels.WheelTravelM[right]!,
            withTyres ? (wheels.LoadN[left], wheels.LoadN[right]) : null,
            car.Setup.RideHeightM![axle],
            withTyres ? 1 / (2 * car.Suspension[axle].TyreRateNpm!.Value) : 0,
            withTyres ? StaticAxleLoad(wheels, left, right) : 0);
    }

    private static double StaticAxleLoad(WheelLoadSet wheels, Corner left, Corner right)
    {
        double sum = 0;
        int count = 0;
        foreach (Zero.StandstillWindow window in wheels.Pushrods.Windows.Where(window => !window.OnStands).Take(1))
        {
            ReadOnlySpan<double> lefts = wheels.LoadN[left].Between(window.StartIndex, window.EndIndex), rights = wheels.LoadN[right].Between(window.StartIndex, window.EndIndex);
            for (int i = 0; i < lefts.Length; i++)
            {
                double load = lefts[i] + rights[i];
                if (double.IsFinite(load))
                {
                    sum += load;
                    count++;
                }
            }
        }

        return count == 0 ? double.NaN : sum / count;
    }

    /// <summary>Static ride height, less the mean wheel travel, less what the tyres sink under the change of wheel load.</summary>
    private sealed class FromTravelOfAxle(SampleSource leftM, SampleSource rightM, (SampleSource LeftN, SampleSource RightN)? loads, double staticM, double perNewton, double staticN) : SampleSource(leftM.Length)
    {
        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            Span<double> heights = room[..count];
            int most = Math.Min(Together, count);
            Span<double> beside = stackalloc double[2 * most];
            for (int at = 0; at < count; at += Together)
            {
                int some = Math.Min(Together, count - at);
                ReadOnlySpan<double> left = leftM.Read(start + at, some, beside[..most]), right = rightM.Read(start + at, some, beside[most..]);
                for (int i = 0; i < some; i++)
                {
                    heights[at + i] = staticM - ((left[i] + right[i]) / 2);
                }

                if (loads is var (leftN, rightN))
                {
                    left = leftN.Read(start + at, some, beside[..most]);
                    right = rightN.Read(start + at, some, beside[most..]);
                    for (int i = 0; i < some; i++)
                    {
                        heights[at + i] -= perNewton * (left[i] + right[i] - staticN);
                    }
                }
            }

            return heights;
        }
    }
}
