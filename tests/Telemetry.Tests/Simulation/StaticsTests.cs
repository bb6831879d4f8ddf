using Telemetry.Car;
using Telemetry.Simulation;
using static Telemetry.Tests.Simulation.LinearCar;

namespace Telemetry.Tests.Simulation;

/// <summary>Equilibrium against hand calculations and the handbooks' load-transfer formulas.</summary>
public class StaticsTests
{
    private const double L = 3.0;
    private const double A = 1.6;
    private const double B = 1.4;
    private const double H = 0.3;
    private const double Mass = 750;
    private const double Sprung = 620;

    [Fact]
    public void Contact_loads_at_rest_sum_to_the_weight_and_split_by_the_lever_law()
    {
        (Forces forces, _) = Steady(Vehicle(), Level(Mass));

        // Lever law about the other axle: sprung weight by b/L, unsprung by its own axle.
        Assert.Equal(((Sprung * B / L) + 60) * G, forces.ContactN[0] + forces.ContactN[1], 1e-6);
        Assert.Equal(((Sprung * A / L) + 70) * G, forces.ContactN[2] + forces.ContactN[3], 1e-6);
        Assert.Equal(Mass * G, forces.ContactN.Sum(), 1e-6);
    }

    [Fact]
    public void The_setup_sheets_corner_weights_are_met_at_rest()
    {
        double front = (((Sprung * B / L) + 60) * G) / 2;
        double rear = (((Sprung * A / L) + 70) * G) / 2;
        PerCorner<double> sheet = new(front + 30, front - 30, rear - 10, rear + 10);
        CarDefinition car = Definition with { Setup = Definition.Setup with { CornerWeightN = sheet } };
        (Forces forces, double[] state) = Steady(Vehicle(car), Level(Mass));
        for (int corner = 0; corner < 4; corner++)
        {
            Assert.Equal(sheet[(Corner)corner], forces.ContactN[corner], 1e-6);
            Assert.Equal(0, state[corner], 1e-9);
        }
    }

    [Fact]
    public void The_pushrod_load_is_the_wheel_load_over_the_installation_ratio()
    {
        (Forces forces, _) = Steady(Vehicle(), Level(Mass));

        // Virtual work: P dp = F dw with dp = i dw. Front 0.9, rear 0.8.
        Assert.Equal(Sprung * G * B / L / 2 / 0.9, forces.PushrodN[0], 1e-6);
        Assert.Equal(Sprung * G * A / L / 2 / 0.8, forces.PushrodN[2], 1e-6);
    }

    [Fact]
    public void Burned_fuel_comes_off_at_the_sprung_centre()
    {
        (Forces full, _) = Steady(Vehicle(), Level(Mass));
        (Forces less, _) = Steady(Vehicle(), Level(Mass - 20));
        Assert.Equal(20 * G * B / L, full.WheelN[0] + full.WheelN[1] - less.WheelN[0] - less.WheelN[1], 1e-6);
        Assert.Equal(20 * G * A / L, full.WheelN[2] + full.WheelN[3] - less.WheelN[2] - less.WheelN[3], 1e-6);
    }

    [Fact]
    public void A_steady_corner_moves_load_across_as_the_handbook_says()
    {
        const double ay = 12;
        Push push = Level(Mass);
        push.LateralMps2 = ay;
        (Forces forces, _) = Steady(Vehicle(), push);

        // Whole car, equal tracks: m a_y h / t goes from the left to the right in a left-hand turn (moments about the ground).
        double moved = (forces.ContactN[1] + forces.ContactN[3] - forces.ContactN[0] - forces.ContactN[2]) / 2;
        Assert.Equal(Mass * ay * H / 1.5, moved, 1e-6);

        // Elastic part per axle: roll stiffness share of m_s a_y times the lever from the sprung centre to the roll axis
        // (Milliken, Race Car Vehicle Dynamics, chapter 18, from memory). Spring, bar and tyre of an axle: tyres in series.
        double hs = ((Mass * H) - (60 * 0.3) - (70 * 0.31)) / Sprung;
        double lever = hs - ((0.02 * B / L) + (0.05 * A / L));
        double front = Rate(150_000 * 0.8 * 0.8, 40_000, 250_000);
        double rear = Rate(140_000 * 0.75 * 0.75, 20_000, 260_000);
        double frontAcross = ((Sprung * B / L * ay * 0.02) + (60 * ay * 0.3)) / 1.5;
        double rearAcross = ((Sprung * A / L * ay * 0.05) + (70 * ay * 0.31)) / 1.5;

        // The tyres also turn under what goes round the springs: it tilts both axles a little, which shares out as stiffness does.
        double tilt = (frontAcross / 250_000 * 2 / 1.5, rearAcross / 260_000 * 2 / 1.5) is var (f, r) ? f - r : 0;
        double total = Sprung * ay * lever / 1.5;
        double frontElastic = (total * front / (front + rear)) - (front * rear / (front + rear) * tilt * 1.5 / 2);
        Assert.Equal(frontElastic, (forces.WheelN[1] - forces.WheelN[0]) / 2, 1e-5);
        Assert.Equal(total - frontElastic, (forces.WheelN[3] - forces.WheelN[2]) / 2, 1e-5);
        Assert.Equal(frontElastic + frontAcross, (forces.ContactN[1] - forces.ContactN[0]) / 2, 1e-5);
        Assert.Equal(total - frontElastic + rearAcross, (forces.ContactN[3] - forces.ContactN[2]) / 2, 1e-5);
    }

    [Theory]
    [InlineData(-30.0, 0.2)]
    [InlineData(5.0, 0.3)]
    public void Braking_and_driving_move_load_along_as_the_handbook_says(double ax, double linkShare)
    {
        Push push = Level(Mass);
        push.LongitudinalMps2 = ax;
        push.ThrustN = Mass * ax;
        (Forces forces, _) = Steady(Vehicle(), push);
        double front = ((Sprung * B / L) + 60) * G;
        double transfer = Mass * ax * H / L;

        // m a_x h / L in all at the ground; the links carry their share, so the pushrods carry the rest.
        Assert.Equal(front - transfer, forces.ContactN[0] + forces.ContactN[1], 1e-6);
        Assert.Equal((Mass * G) - front + transfer, forces.ContactN[2] + forces.ContactN[3], 1e-6);
        Assert.Equal((Sprung * G * B / L) - ((1 - linkShare) * transfer), forces.WheelN[0] + forces.WheelN[1], 1e-6);
        Assert.Equal((Sprung * G * A / L) + ((1 - linkShare) * transfer), forces.WheelN[2] + forces.WheelN[3], 1e-6);
    }

    [Fact]
    public void Ride_heights_at_speed_follow_from_the_springs_by_hand()
    {
        const double q = 3000;
        Push push = Level(Mass);
        push.DynamicPressurePa = q;
        push.ThrustN = q * 1.0;
        Vehicle vehicle = Vehicle();
        (Forces forces, _) = Steady(vehicle, push);

        // Lift areas 1.2 and 1.7 m2; drag area 1.0 m2 at 0.35 m; links carry 0.3 of the thrust's transfer, pulling the nose down and pushing the tail up.
        double moment = q * 0.35 / L;
        double links = 0.3 * q * H / L;
        double frontTyre = (q * 1.2) - moment;
        double rearTyre = (q * 1.7) + moment;
        double frontDrop = ((frontTyre + links) / 2 / (150_000 * 0.8 * 0.8)) + (frontTyre / 2 / 250_000);
        double rearDrop = ((rearTyre - links) / 2 / (140_000 * 0.75 * 0.75)) + (rearTyre / 2 / 260_000);
        Assert.Equal(0.04 - frontDrop, forces.FrontHeightM, 1e-9);
        Assert.Equal(0.07 - rearDrop, forces.RearHeightM, 1e-9);
    }

    [Fact]
    public void Equation_e4_gives_the_stated_truth_at_any_steady_thrust_and_vertical_load()
    {
        Vehicle vehicle = Vehicle();
        foreach ((double ax, double az) in new[] { (0.0, G), (4.0, G), (2.0, 11.5), (0.5, 8.0) })
        {
            const double q = 2500;
            Push push = Level(Mass);
            push.LongitudinalMps2 = ax;
            push.VerticalMps2 = az;
            push.DynamicPressurePa = q;
            push.ThrustN = (Mass * ax) + (q * 1.0);
            (Forces forces, _) = Steady(vehicle, push);
            double front = forces.WheelN[0] + forces.WheelN[1] - (Sprung * az * B / L) + (0.7 * Mass * ax * H / L);
            double rear = forces.WheelN[2] + forces.WheelN[3] - (Sprung * az * A / L) - (0.7 * Mass * ax * H / L);

            // Constant lift areas, so the load depends on q alone; the links react to the thrust that drag needs.
            Assert.Equal((q * 1.2) - (q * 0.35 / L) + (0.3 * q * H / L), front, 1e-6);
            Assert.Equal((q * 1.7) + (q * 0.35 / L) - (0.3 * q * H / L), rear, 1e-6);
        }
    }

    [Fact]
    public void The_third_element_engages_after_its_gap_and_is_blind_to_roll()
    {
        ThirdElement third = new(100_000, 0.010, 0.015, [new(0, 0), new(0.01, 5000)]);
        AxleModel axle = new(Definition.Suspension.Front with { Third = third }, Run.TrueCar.Hardware.Front, 60, 1500, 1500);
        Assert.Equal(0, axle.ThirdN(0.0099));
        Assert.Equal(100_000 * 0.002, axle.ThirdN(0.012), 1e-9);

        // 6 mm into the spring, 1 mm into the rubber at 500 N/mm.
        Assert.Equal((100_000 * 0.006) + 500, axle.ThirdN(0.016), 1e-9);

        Push push = Level(Mass);
        push.LateralMps2 = 10;
        CarDefinition with = Definition with { Suspension = new PerAxle<AxleSuspension>(Definition.Suspension.Front with { Third = third }, Definition.Suspension.Rear) };
        double[] a = Steady(Vehicle(), push).Forces.WheelN;
        double[] b = Steady(Vehicle(with), push).Forces.WheelN;
        for (int corner = 0; corner < 4; corner++)
        {
            Assert.Equal(a[corner], b[corner], 1e-9);
        }
    }

    [Fact]
    public void A_damper_that_is_fully_out_pulls_and_one_on_its_packer_pushes()
    {
        AxleHardware stops = Run.TrueCar.Hardware.Front with { DroopStopM = 0.02, BumpStopM = 0.03 };
        AxleModel axle = new(Definition.Suspension.Front, stops, 60, 1500, 1500);
        Assert.Equal(150_000 * -0.02, axle.SpringN(-0.02), 1e-9);
        Assert.Equal(150_000 * 0.03, axle.SpringN(0.03), 1e-9);

        // One millimetre into a stop of 1.5 MN/m beside the spring.
        Assert.Equal((150_000 * -0.021) - 1500, axle.SpringN(-0.021), 1e-6);
        Assert.Equal((150_000 * 0.031) + 1500, axle.SpringN(0.031), 1e-6);
    }

    [Fact]
    public void Damper_travel_integrates_the_damper_ratio()
    {
        // dx/dw = d0 + k x has the closed solution x = d0/k (exp(k w) - 1).
        const double d0 = 0.8;
        const double k = 2.0;
        RatioCurve ratio = RatioCurve.Table([new(-0.05, d0 - (0.05 * k)), new(0.06, d0 + (0.06 * k))]);
        AxleModel axle = new(Definition.Suspension.Front with { DamperRatio = ratio }, Run.TrueCar.Hardware.Front, 60, 1500, 1500);
        foreach (double w in new[] { -0.05, -0.01, 0, 0.013, 0.05 })
        {
            axle.Look(w, out double x, out double d, out double i);
            Assert.Equal(d0 / k * (Math.Exp(k * w) - 1), x, 1e-8);
            Assert.Equal(d0 + (k * x), d, 1e-6);
            Assert.Equal(0.9, i, 1e-12);
        }

        Assert.False(axle.IsBeyondTable);
        axle.Look(0.2, out _, out _, out _);
        Assert.True(axle.IsBeyondTable);
    }

    // Roll rate of an axle in N per metre of half the track's tilt: (spring + bar) in series with the tyre.
    private static double Rate(double spring, double bar, double tyre) => (spring + bar) * tyre / (spring + bar + tyre);
}
