using System.Runtime.InteropServices;
using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Platform;

/// <summary>Ride height of each axle: measured, or from wheel travel and tyre deflection.</summary>
/// <param name="HeightM">Ride height at each sample of the clock, m; default when it cannot be formed.</param>
/// <param name="Source">Where it came from, in words.</param>
internal sealed record RideHeights(PerAxle<ImmutableArray<double>> HeightM, string Source)
{
    public bool AreKnown => !HeightM.Front.IsDefault && !HeightM.Rear.IsDefault;

    public static RideHeights From(WheelLoadSet wheels)
    {
        Run run = wheels.Run;
        if (run.Has(ChannelRole.RideHeightFront) && run.Has(ChannelRole.RideHeightRear))
        {
            return new(
                new(run.ClockSamples[(int)ChannelRole.RideHeightFront], run.ClockSamples[(int)ChannelRole.RideHeightRear]),
                "measured ride heights");
        }

        if (run.Car.Setup.RideHeightM is null)
        {
            return new(new(default, default), "no ride heights: neither sensors nor static ride heights in the car file");
        }

        if (wheels.WheelTravelM.Each().Any(corner => corner.Value is null))
        {
            return new(new(default, default), "no ride heights: neither sensors nor all four dampers");
        }

        bool withTyres = run.Car.Suspension.Front.TyreRateNpm is not null && run.Car.Suspension.Rear.TyreRateNpm is not null && wheels.Pushrods.WithheldBecause is null;
        return new(
            new(FromTravel(wheels, Axle.Front, withTyres), FromTravel(wheels, Axle.Rear, withTyres)),
            withTyres ? "damper travel and tyre deflection" : "damper travel without tyre deflection");
    }

    /// <summary>Static ride height, less the mean wheel travel, less what the tyres sink under the change of wheel load.</summary>
    private static ImmutableArray<double> FromTravel(WheelLoadSet wheels, Axle axle, bool withTyres)
    {
        (Corner left, Corner right) = axle == Axle.Front ? (Corner.FrontLeft, Corner.FrontRight) : (Corner.RearLeft, Corner.RearRight);
        SampleSource leftTravelM = wheels.WheelTravelM[left]!, rightTravelM = wheels.WheelTravelM[right]!;
        CarDefinition car = wheels.Run.Car;
        double staticHeight = car.Setup.RideHeightM![axle];
        double perNewton = withTyres ? 1 / (2 * car.Suspension[axle].TyreRateNpm!.Value) : 0;
        double staticLoad = withTyres ? StaticAxleLoad(wheels, left, right) : 0;
        double[] height = new double[leftTravelM.Length];
        double[] leftRoom = SampleSource.RoomForBlock(), rightRoom = SampleSource.RoomForBlock();
        foreach ((int start, int count) in SampleSource.Blocks(0, height.Length))
        {
            ReadOnlySpan<double> leftTravel = leftTravelM.Read(start, count, leftRoom), rightTravel = rightTravelM.Read(start, count, rightRoom);
            ReadOnlySpan<double> leftLoad = withTyres ? wheels.LoadN[left].AsSpan(start, count) : [], rightLoad = withTyres ? wheels.LoadN[right].AsSpan(start, count) : [];
            Span<double> block = height.AsSpan(start, count);
            for (int i = 0; i < block.Length; i++)
            {
                block[i] = staticHeight - ((leftTravel[i] + rightTravel[i]) / 2);
                if (withTyres)
                {
                    block[i] -= perNewton * (leftLoad[i] + rightLoad[i] - staticLoad);
                }
            }
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(height);
    }

    private static double StaticAxleLoad(WheelLoadSet wheels, Corner left, Corner right)
    {
        double sum = 0;
        int count = 0;
        foreach (Zero.StandstillWindow window in wheels.Pushrods.Windows.Where(window => !window.OnStands).Take(1))
        {
            for (int i = window.StartIndex; i < window.EndIndex; i++)
            {
                double load = wheels.LoadN[left][i] + wheels.LoadN[right][i];
                if (double.IsFinite(load))
                {
                    sum += load;
                    count++;
                }
            }
        }

        return count == 0 ? double.NaN : sum / count;
    }
}
