using Telemetry.Car;
using Telemetry.Platform;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Platform;

/// <summary>Statics by hand: a rigid body on springs.</summary>
public class CornerStaticsTests
{
    /// <summary>A square car on four equal springs: damper and installation ratio 1, springs 100 kN/m, tyres 300 kN/m, no bars, so 75 kN/m a corner (1/100 + 1/300 = 1/75).</summary>
    private static CarDefinition Square()
    {
        CarDefinition car = SampleCar.Make(new());
        AxleSuspension plain = new() { InstallationRatio = RatioCurve.Constant(0.8), DamperRatio = RatioCurve.Constant(1), SpringRateNpm = 100_000, TyreRateNpm = 300_000 };
        return car with
        {
            Suspension = new(plain, plain),
            Geometry = car.Geometry with { WheelbaseM = Measured.Exact(3), SprungCentreBehindFrontAxleM = Measured.Exact(1.5), TrackM = new(1.6, 1.6) },
        };
    }

    [Fact]
    public void Rates_of_spring_and_tyre_stand_in_series() =>
        Assert.Equal(150_000, CornerStatics.Of(Square())!.AxleRateNpm.Front, 1e-6);

    [Fact]
    public void Equal_changes_of_an_axle_lift_it_and_move_no_load()
    {
        (PerCorner<double> rise, PerCorner<double> load) = CornerStatics.Of(Square())!.Settle(new(0.002, 0.002, 0, 0));
        Assert.Equal([0.002, 0.002, 0, 0], rise.Each().Select(c => Math.Round(c.Value, 12)));
        Assert.All(load.Each(), corner => Assert.Equal(0, corner.Value, 1e-6));
    }

    // By hand: one corner's 4 mm is a quarter each of heave, pitch, roll and warp. The body follows the first three; the warp of 1 mm a corner stays in the springs: 75 kN/m 1 mm = 75 N, up at FL and RR, down at FR and RL.
    [Fact]
    public void A_change_of_one_corner_leaves_its_warp_to_the_springs()
    {
        (PerCorner<double> rise, PerCorner<double> load) = CornerStatics.Of(Square())!.Settle(new(0.004, 0, 0, 0));
        Assert.Equal([0.003, 0.001, 0.001, -0.001], rise.Each().Select(c => Math.Round(c.Value, 12)));
        Assert.Equal([75.0, -75.0, -75.0, 75.0], load.Each().Select(c => Math.Round(c.Value, 6)));
        Assert.Equal(75_000, CornerStatics.Of(Square())!.WarpPerReachNpm(Corner.FrontLeft), 1e-3);
    }

    // The other side gives the opposite warp; loads always sum to nothing.
    [Fact]
    public void Left_and_right_mirror_and_no_load_is_made()
    {
        CarDefinition car = CarFile.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "car.toml"));
        CornerStatics statics = CornerStatics.Of(car)!;
        Assert.Equal(statics.WarpPerReachNpm(Corner.FrontLeft), -statics.WarpPerReachNpm(Corner.FrontRight), 1e-6);
        Assert.Equal(0, statics.Settle(new(0.001, -0.002, 0.003, 0.0005)).LoadN.Each().Sum(c => c.Value), 1e-6);
    }

    [Fact]
    public void Without_rates_nothing_is_claimed()
    {
        CarDefinition car = Square();
        Assert.Null(CornerStatics.Of(car with { Suspension = new(car.Suspension.Front with { TyreRateNpm = null }, car.Suspension.Rear) }));
    }

    // By hand: 150 kN/m an axle; the front load grows by 30 N a mm as the front sinks (-30 kN/m up): h = 2 / (1 - 30 / 150) = 2.5 mm.
    [Fact]
    public void At_speed_a_load_that_grows_as_the_car_sinks_makes_the_change_larger()
    {
        CarDefinition car = Square() with { ShimStepsM = [0.0001] };
        ShimPlan plan = ShimStacks.For(car, new(0.002, null, null));
        ShimPrediction prediction = ShimPrediction.For(car, plan, new(Measured.Exact(-30_000), Measured.Exact(0), Measured.Exact(0), Measured.Exact(0)));
        Assert.Equal(0.0025, prediction.AtSpeedM!.Front.Value, 1e-9);
        Assert.Equal(0.002, prediction.StaticM.Front.Value, 1e-9);
        Assert.True(prediction.StaticM.Front.HalfWidth > 0);
        Assert.Null(ShimPrediction.For(car, plan, null).AtSpeedM);
    }

    // By hand: -0.6 % a mm up at the front; +0.3 % needs -0.5 mm there.
    [Fact]
    public void A_wished_balance_moves_the_axle_that_is_known_best()
    {
        Assert.Equal((-0.0005, 0), BalanceWish.RideHeights(0.3, new Measured(-600, 60), new Measured(300, 200)));
        (double front, double rear) = BalanceWish.RideHeights(0.3, new Measured(-600, 500), new Measured(300, 50));
        Assert.Equal((0, 0.001), (front, rear));
        Assert.Throws<ArgumentException>(() => BalanceWish.RideHeights(0.3, new Measured(-600, 500), null));
        Assert.Throws<ArgumentException>(() => BalanceWish.RideHeights(0.3, null, null));
    }

    // Two shims of 0.5 and eight of 0.1: an axle may take one of 0.5 and four of 0.1 a side. 1.6 mm at ratio 0.8 for 2 mm cannot be reached; 0.9 mm is the most.
    [Fact]
    public void A_store_that_runs_out_gives_what_it_holds()
    {
        AxleShims front = ShimStacks.For(Square(), new(0.002, null, null), [new(0.0005, 2), new(0.0001, 8)]).Axles.Front;
        Assert.Equal([(0.5, 1), (0.1, 4)], front.Shims.Select(shim => (Math.Round(shim.ThicknessM * 1000, 6), shim.Count)));
        Assert.Equal(0.0009, front.StackM, 1e-12);

        // What the front takes, the rear has no longer.
        ShimPlan both = ShimStacks.For(Square(), new(0.000625, 0.000625, null), [new(0.0005, 2)]);
        Assert.Single(both.Axles.Front.Shims);
        Assert.Empty(both.Axles.Rear.Shims);
    }

    [Theory]
    [InlineData(30.0, 32.05, 2.0, ChangeMade.Made)]
    [InlineData(30.0, 30.05, 2.0, ChangeMade.NotMade)]
    [InlineData(30.0, 35.0, 2.0, ChangeMade.OtherChange)]
    [InlineData(30.0, 30.05, 0.2, ChangeMade.CannotBeTold)]
    [InlineData(double.NaN, 32.0, 2.0, ChangeMade.CannotBeTold)]
    public void The_check_tells_made_from_not_made(double beforeMm, double afterMm, double plannedMm, ChangeMade expected)
    {
        AxleCheck check = ShimCheck.Of(new(beforeMm / 1000, 0.00015, 0.01), new(afterMm / 1000, 0.00015, 0.01), plannedMm / 1000, 0);
        Assert.Equal(expected, check.Verdict);
    }

    [Fact]
    public void A_damper_that_moved_at_standstill_tells_of_something_else() =>
        Assert.Contains("dampers moved", ShimCheck.Of(new(0.030, 0.00015, 0.010), new(0.032, 0.00015, 0.012), 0.002, 0).Because, StringComparison.Ordinal);

    // By hand: 10 kg less on an axle of 150 kN/m: 98 N lift it by 0.65 mm, which is no change of the setup.
    [Fact]
    public void Less_fuel_is_not_taken_for_a_shim() =>
        Assert.Equal(ChangeMade.NotMade, ShimCheck.Of(new(0.030, 0.0001, 0.01), new(0.03065, 0.0001, 0.01), 0.002, 0.00065).Verdict);
}
