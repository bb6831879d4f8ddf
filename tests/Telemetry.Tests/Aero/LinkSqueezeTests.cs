using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Simulation;
using Telemetry.Tests.Simulation;

namespace Telemetry.Tests.Aero;

public class LinkSqueezeTests
{
    private const double FuelKg = 60;
    private const double AccelerationMps2 = 4;

    private static CarDefinition Car => InventedCar.Car;

    private static BalanceTerms Terms(CarDefinition car) => BalanceTerms.Of(car, FuelKg, [0, 0, 0, 0]);

    private static RunWindow Window { get; } = new()
    {
        StartIndex = 0, EndIndex = 1, StartS = 0, EndS = 1, Lap = 1, LoadN = [0, 0, 0, 0], SpeedMps = 70, FlowSpeedMps = 70, FlowSpeedSquared = 4900,
        AccelerationX = AccelerationMps2, AccelerationZ = 9.80665, FrontHeightMm = 0, RearHeightMm = 0, FuelKg = FuelKg, DistanceM = 0,
    };

    /// <summary>Free body of the rear axle: the links carry 0.25 of the load that is thrown back, and both tyres give way under it.</summary>
    [Fact]
    public void It_is_the_share_of_the_transfer_over_both_tyres()
    {
        PerAxle<double> squeeze = LinkSqueeze.OfMm(Window, Terms(Car), Car.Suspension, AccelerationMps2);
        double transferN = (Car.Masses.WithoutFuelKg.Value + FuelKg) * AccelerationMps2 * Car.Geometry.CentreHeightM.Value / Car.Geometry.WheelbaseM.Value;
        Assert.Equal(0, squeeze.Front);
        Assert.Equal(0.25 * transferN / (2 * 270), squeeze.Rear, 1e-12);
        Assert.InRange(squeeze.Rear, 0.05, 0.3);
    }

    [Fact]
    public void Without_a_tyre_rate_nothing_is_said()
    {
        PerAxle<AxleSuspension> unknown = new(Car.Suspension.Front with { TyreRateNpm = null }, Car.Suspension.Rear with { TyreRateNpm = null });
        Assert.Equal(new PerAxle<double>(0, 0), LinkSqueeze.OfMm(Window, Terms(Car), unknown, AccelerationMps2));
    }

    /// <summary>The simulator's own equilibrium: accelerating, and steady at the speed at which the rear springs carry the same.</summary>
    [Fact]
    public void The_simulated_car_stands_lower_by_it_at_the_same_load_of_the_springs()
    {
        Vehicle vehicle = new(InventedCar.Scenario, Car);
        double massKg = Car.Masses.WithoutFuelKg.Value + FuelKg;
        AeroTruth At(double speedKmh, double acceleration) => TruthBuilder.AeroAt(vehicle, 1.2, massKg, speedKmh, new double[Motion.Size], acceleration);
        AeroTruth gaining = At(220, AccelerationMps2);
        double transferN = massKg * AccelerationMps2 * vehicle.HeightM / vehicle.WheelbaseM;
        double wanted = gaining.RearLoadN + (0.75 * transferN);
        double low = 220;
        double high = 330;
        for (int i = 0; i < 60; i++)
        {
            double middle = (low + high) / 2;
            (low, high) = At(middle, 0).RearLoadN < wanted ? (middle, high) : (low, middle);
        }

        double lower = At(low, 0).RearRideHeightMm - gaining.RearRideHeightMm;
        double squeeze = LinkSqueeze.OfMm(Window, Terms(Car), Car.Suspension, AccelerationMps2).Rear;

        // At the higher speed the links hold against more drag too, which takes a part of it away: the estimate's springs' line knows that, since both grow with the square of speed.
        double drag = 0.25 * (At(low, 0).DragN - gaining.DragN) * vehicle.HeightM / vehicle.WheelbaseM / (2 * 270);
        Assert.Equal(squeeze - drag, lower, 0.005);
        Assert.True(lower > squeeze / 2);
    }

    /// <summary>A window in which the links squeeze the tyres has its axle that much nearer to the road than the springs' line says; steady speed has not.</summary>
    [Fact]
    public void The_lift_area_is_that_of_the_lower_car()
    {
        double[] loads = [.. Enumerable.Range(0, 20).Select(i => 4000 + (200.0 * i))];
        SpringLine line = SpringLine.Of(loads, [.. loads.Select(load => 60 - (0.005 * load))])!;
        RideHeightBasis basis = new(new(line, line), new(30, 30), AeroOptions.Default);
        ModelWindow steady = new(0, 0, 70, 4900, 0, 5000, 5000, 0, 0, 0);
        double[] front = [1, 0.1, 0, 0, 0];
        double[] rear = [2, 0, 0.3, 0, 0];
        double[] factors = new double[5];
        LiftAreas at = basis.At(steady, 3000, 500, 500, front, rear, factors);
        LiftAreas lower = basis.At(steady with { FrontSqueezeMm = -0.1, RearSqueezeMm = 0.2 }, 3000, 500, 500, front, rear, factors);
        Assert.Equal(0.1 * 0.1, lower.Front - at.Front, 1e-9);
        Assert.Equal(-0.3 * 0.2, lower.Rear - at.Rear, 1e-9);
    }
}
