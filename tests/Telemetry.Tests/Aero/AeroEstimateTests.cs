using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.WheelLoads;

namespace Telemetry.Tests.Aero;

/// <summary>Loads made from equation E4 with a given lift area must give that lift area back: algebra, no tolerance to tune.</summary>
public class AeroEstimateTests
{
    [Fact]
    public void A_constant_lift_area_comes_back_exactly()
    {
        AeroAtSpeed at = Reference(new DrivenRun());
        Assert.Equal(1.3, at.FrontLiftAreaM2.Value, 1e-5);
        Assert.Equal(1.9, at.RearLiftAreaM2.Value, 1e-5);
        Assert.Equal(3.2, at.TotalLiftAreaM2.Value, 1e-5);
        Assert.Equal(100 * 1.3 / 3.2, at.BalanceFrontPct.Value, 1e-4);
        double pressure = new DrivenRun().BelievedDensity * at.SpeedMps * at.SpeedMps / 2;
        Assert.Equal(1.3 * pressure, at.FrontLoadN.Value, 0.05);
    }

    [Fact]
    public void A_lift_area_that_follows_ride_height_comes_back_at_steady_speed()
    {
        DrivenRun run = new() { PerFrontHeight = -9, PerRearHeight = 3 };
        AeroResult result = AeroEstimate.From(run.Build(), AeroOptions.Default);
        AeroAtSpeed at = result.AtReference!;

        // The cubic through the heights is not the exponential that made them, and the priors draw a little: 0.3 % is what both may cost.
        (double front, double rear) = run.Truth(at.SpeedMps);
        Assert.Equal(1, at.FrontLiftAreaM2.Value / front, 3e-3);
        Assert.Equal(1, at.RearLiftAreaM2.Value / rear, 3e-3);
        foreach (AeroAtSpeed point in result.Curve)
        {
            (front, rear) = run.Truth(point.SpeedMps);
            AssertInside(front, point.FrontLiftAreaM2);
            AssertInside(rear, point.RearLiftAreaM2);
        }
    }

    [Fact]
    public void Without_ride_heights_the_interval_still_holds_the_truth()
    {
        DrivenRun run = new() { PerFrontHeight = -9, PerRearHeight = 3, HasRideHeights = false, NoiseN = 300 };
        AeroAtSpeed at = Reference(run);
        (double front, double rear) = run.Truth(at.SpeedMps);
        AssertInside(front, at.FrontLiftAreaM2);
        AssertInside(rear, at.RearLiftAreaM2);
        Assert.Equal(1, at.TotalLiftAreaM2.Value / (front + rear), 0.01);
    }

    [Fact]
    public void Offsets_of_accelerometers_and_a_wrong_mass_cancel_against_standstill()
    {
        AeroAtSpeed at = Reference(new DrivenRun { OffsetX = 0.2, OffsetZ = -0.3, ExtraMassKg = 15 });

        // What is left of 15 kg is their share of a_z - g and of a_x h / L: below 1 % of 15 kg * g * ... = 0.1 % of the load.
        Assert.Equal(1.3, at.FrontLiftAreaM2.Value, 2e-3);
        Assert.Equal(1.9, at.RearLiftAreaM2.Value, 2e-3);
    }

    [Fact]
    public void A_steady_wind_is_found_with_the_lift_area()
    {
        AeroResult result = AeroEstimate.From(new DrivenRun { WindMps = 5, WindFromRad = 1.1 }.Build(), AeroOptions.Default);
        Assert.Equal(1.3, result.AtReference!.FrontLiftAreaM2.Value, 3e-4);
        Assert.Equal(1.9, result.AtReference.RearLiftAreaM2.Value, 3e-4);
        Assert.Equal(5, result.Wind.SpeedMps!.Value, 0.01);
        Assert.Equal(1.1, result.Wind.FromRad!.Value, 0.01);
        Assert.True(result.Wind.HeadingIsTrue);
    }

    [Fact]
    public void A_yaw_rate_with_a_bias_gives_headings_as_good_as_a_course()
    {
        DrivenRun run = new() { WindMps = 5, WindFromRad = 1.1, HasCourse = false, HasYawRate = true, YawBias = 0.002 };
        AeroResult result = AeroEstimate.From(run.Build(), AeroOptions.Default);
        Assert.Equal(1.3, result.AtReference!.FrontLiftAreaM2.Value, 1e-3);
        Assert.Equal(5, result.Wind.SpeedMps!.Value, 0.05);
        Assert.False(result.Wind.HeadingIsTrue);
    }

    [Fact]
    public void An_air_speed_channel_replaces_the_wind()
    {
        AeroResult result = AeroEstimate.From(new DrivenRun { WindMps = 5, GustMps = 2, HasAirSpeed = true }.Build(), AeroOptions.Default);
        Assert.Equal(1.3, result.AtReference!.FrontLiftAreaM2.Value, 1e-5);
        Assert.Null(result.Wind.SpeedMps);
        Assert.Contains("air-speed channel", result.Wind.Statement, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_headings_the_interval_allows_for_an_unknown_wind()
    {
        // Both straights lie the same way here, so a wind from ahead is a head wind on every pass.
        DrivenRun still = new() { HasCourse = false, HeadingsRad = [0.3, 0.3], NoiseN = 300 };
        AeroResult result = AeroEstimate.From(still.Build(), AeroOptions.Default);
        AeroAtSpeed calm = result.AtReference!;
        Assert.Null(result.Wind.SpeedMps);
        Assert.Contains("No steady wind was assumed", result.Wind.Statement, StringComparison.Ordinal);

        // What the budget states must be what a wind of one standard deviation does.
        AeroAtSpeed windy = Reference(still with { WindMps = AeroOptions.Default.AssumedWindMps, WindFromRad = 0.3 });
        double stated = result.Budget.Single(p => p.Name == "wind").TotalLoadN;
        Assert.Equal(stated, windy.TotalLoadN.Value - calm.TotalLoadN.Value, 0.1 * stated);
        Assert.True(calm.TotalLoadN.HalfWidth > 1.9 * stated);

        // By hand: (1 + u / v)^2 - 1 = 6.5 % for 2.5 m/s at 78 m/s.
        Assert.Equal(0.065, stated / calm.TotalLoadN.Value, 0.015);
    }

    [Theory]
    [InlineData("mass")]
    [InlineData("height of the centre of gravity")]
    [InlineData("ratio front")]
    [InlineData("zero FL")]
    public void A_part_of_the_budget_is_what_the_answer_moves_by(string part)
    {
        // Move the input by its standard uncertainty and estimate again: the budget's line must say the same.
        const double Share = 0.004;
        CarDefinition car = DrivenRun.Default;
        CarDefinition unsure = car with
        {
            Masses = car.Masses with { WithoutFuelKg = new Measured(640, 30) },
            Geometry = car.Geometry with { CentreHeightM = new Measured(0.3, 0.02) },
            Suspension = car.Suspension with { Front = car.Suspension.Front with { InstallationRatio = RatioCurve.Constant(0.8, Share) } },
        };
        DrivenRun run = new() { NoiseN = 50, Car = unsure, ZeroUncertaintyN = 25 };
        AeroResult result = AeroEstimate.From(run.Build(), AeroOptions.Default);
        UncertaintyPart line = result.Budget.Single(p => p.Name == part);
        DrivenRun moved = part switch
        {
            "mass" => run with { ExtraMassKg = -30 },
            "height of the centre of gravity" => run,
            "ratio front" => run with { GainError = [-Share, -Share, 0, 0] },
            _ => run with { LoadErrorN = [25 * 0.8, 0, 0, 0] },
        };
        WheelLoadSet wheels = moved.Build();
        if (part.StartsWith("height", StringComparison.Ordinal))
        {
            wheels = wheels with { Run = wheels.Run with { Car = unsure with { Geometry = unsure.Geometry with { CentreHeightM = new Measured(0.32, 0.02) } } } };
        }

        AeroAtSpeed before = result.AtReference!;
        AeroAtSpeed after = AeroEstimate.From(wheels, AeroOptions.Default).AtReference!;
        Assert.Equal(line.FrontLoadN, Math.Abs(after.FrontLoadN.Value - before.FrontLoadN.Value), Math.Max(2.5, 0.1 * line.FrontLoadN));
        Assert.Equal(line.RearLoadN, Math.Abs(after.RearLoadN.Value - before.RearLoadN.Value), Math.Max(2.5, 0.1 * line.RearLoadN));
    }

    [Fact]
    public void Two_passes_give_no_answer()
    {
        AeroResult result = AeroEstimate.From(new DrivenRun { Laps = 1, HeadingsRad = [0.35, 2.6] }.Build(), AeroOptions.Default);
        Assert.Null(result.AtReference);
        Assert.Equal("The run has 2 straight passes that are quasi-steady; below 3 there is no honest interval.", result.WithheldBecause);
        Assert.Equal(2, result.Passes.Length);
        Assert.Empty(result.Curve);
    }

    [Fact]
    public void A_speed_outside_the_passes_is_refused()
    {
        AeroResult result = AeroEstimate.From(new DrivenRun().Build(), AeroOptions.Default with { AtSpeedMps = 100 });
        Assert.Null(result.AtReference);
        Assert.StartsWith("360 km/h was asked for", result.WithheldBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void A_speed_inside_the_passes_is_granted() =>
        Assert.Equal(72, AeroEstimate.From(new DrivenRun().Build(), AeroOptions.Default with { AtSpeedMps = 72 }).AtReference!.SpeedMps);

    [Fact]
    public void The_reference_speed_is_round_and_inside_the_fastest_third()
    {
        AeroResult result = AeroEstimate.From(new DrivenRun().Build(), AeroOptions.Default);
        double kmh = result.ReferenceSpeedMps * 3.6;
        Assert.Equal(Math.Round(kmh / 10) * 10, kmh, 1e-9);
        double low = result.Curve[0].SpeedMps;
        double high = result.Curve[^1].SpeedMps;
        Assert.InRange(result.ReferenceSpeedMps, low + ((high - low) * 2 / 3), high);
        Assert.Equal(20, result.Curve.Length);
    }

    [Fact]
    public void Reasons_from_outside_and_from_the_zero_withhold_the_answer()
    {
        WheelLoadSet wheels = new DrivenRun().Build();
        Assert.Equal("The log is unusable.", AeroEstimate.From(wheels, AeroOptions.Default with { WithholdBecause = "The log is unusable." }).WithheldBecause);
        WheelLoadSet unzeroed = wheels with { Pushrods = wheels.Pushrods with { WithheldBecause = "No standstill." } };
        AeroResult result = AeroEstimate.From(unzeroed, AeroOptions.Default);
        Assert.Equal("No standstill.", result.WithheldBecause);
        Assert.Null(result.AtReference);
    }

    [Fact]
    public void The_same_input_gives_the_same_answer_bit_for_bit()
    {
        DrivenRun run = new() { NoiseN = 300, GustMps = 1 };
        AeroAtSpeed first = Reference(run);
        AeroAtSpeed second = Reference(run);
        Assert.Equal(first, second);
    }

    [Fact]
    public void More_noise_widens_the_interval()
    {
        double quiet = PassToPass(new DrivenRun { NoiseN = 300 });
        double loud = PassToPass(new DrivenRun { NoiseN = 1500 });
        Assert.True(loud > 2.5 * quiet, FormattableString.Invariant($"{quiet} {loud}"));

        static double PassToPass(DrivenRun run) =>
            AeroEstimate.From(run.Build(), AeroOptions.Default).Budget.Single(p => p.Name == "pass to pass").TotalLoadN;
    }

    private static AeroAtSpeed Reference(DrivenRun run)
    {
        AeroResult result = AeroEstimate.From(run.Build(), AeroOptions.Default);
        Assert.Null(result.WithheldBecause);
        return result.AtReference!;
    }

    private static void AssertInside(double truth, Estimate estimate) =>
        Assert.True(truth >= estimate.Low95 && truth <= estimate.High95, FormattableString.Invariant($"{truth} is not within {estimate}"));
}
