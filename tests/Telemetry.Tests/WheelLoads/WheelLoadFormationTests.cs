using System.Collections.Immutable;
using CsCheck;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.WheelLoads;

public class WheelLoadFormationTests
{
    private static readonly TimeBase Time = TimeBase.Even(0, 0.01, 1000);

    private static WheelLoadSet Form(CarDefinition car, double pushrodN, Func<double, double> damperM, double ax = 0, double ay = 0, double az = TestCars.G)
    {
        Run run = RunAssembly.From(
            TestCars.Log(
            [
                .. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", Time, _ => pushrodN)),
                .. Corners.All.Select(corner => TestCars.Channel($"D {corner.Code()}", "m", Time, damperM)),
                TestCars.Channel("ax", "m/s2", Time, _ => ax),
                TestCars.Channel("ay", "m/s2", Time, _ => ay),
                TestCars.Channel("az", "m/s2", Time, _ => az),
                TestCars.Channel("v", "m/s", Time, _ => 40),
            ]),
            car);
        ZeroedLoads pushrods = new()
        {
            Run = run,
            PushrodLoadN = PerCorner.Of(corner => run.OnClock(ChannelRoles.PushrodLoad(corner))),
            DamperTravelM = PerCorner.Of(corner => run.ClockSamples[(int)ChannelRoles.DamperTravel(corner)]),
            Zeros = PerCorner.Of(_ => new CornerZero(ZeroSource.GroundCornerWeights, 0, 0, 0, 1, false)),
            Windows = [],
            WithheldBecause = null,
            Findings = [],
            IsLowPassed = false,
        };
        return WheelLoadFormation.From(pushrods, WheelLoadOptions.Default);
    }

    private static CarDefinition With(RatioCurve ratio, RatioCurve damper)
    {
        CarDefinition car = TestCars.Plain();
        AxleSuspension axle = car.Suspension.Front with { InstallationRatio = ratio, DamperRatio = damper };
        return car with { Suspension = new PerAxle<AxleSuspension>(axle, axle) };
    }

    [Fact]
    public void A_lever_of_two_arms_carries_force_in_the_inverse_ratio_of_its_travels()
    {
        // Statics of the lever (virtual work): arms of 0.24 m to the pushrod and 0.30 m to the wheel give a travel ratio of 0.8,
        // and 1000 N in the pushrod hold 1000 * 0.24 / 0.30 = 800 N at the wheel. Any statics handbook, lever in equilibrium of moments.
        WheelLoadSet wheels = Form(With(RatioCurve.Constant(0.24 / 0.30), RatioCurve.Constant(1)), 1000, _ => 0);
        Assert.Equal(800, wheels.LoadN.FrontLeft[500], 9);
    }

    [Fact]
    public void Work_at_the_wheel_equals_work_in_the_pushrod_over_a_travel_with_changing_ratio()
    {
        // Virtual work over a finite travel: integral F dz = integral P * i dz = P * (pushrod travel), here i = 0.9 + 2x with x = damper travel = wheel travel.
        ImmutableArray<RatioPoint> table = [.. Enumerable.Range(-5, 11).Select(k => new RatioPoint(k * 0.01, 0.9 + (2 * k * 0.01)))];
        WheelLoadSet wheels = Form(With(RatioCurve.Table(table), RatioCurve.Constant(1)), 1000, t => -0.04 + (0.008 * t));
        double work = 0;
        for (int i = 1; i < 1000; i++)
        {
            work += (wheels.LoadN.FrontLeft[i] + wheels.LoadN.FrontLeft[i - 1]) / 2 * (wheels.WheelTravelM.FrontLeft![i] - wheels.WheelTravelM.FrontLeft![i - 1]);
        }

        double from = -0.04;
        double to = -0.04 + (0.008 * 9.99);
        double pushrodTravel = (0.9 * (to - from)) + ((to * to) - (from * from));
        Assert.Equal(1000 * pushrodTravel, work, 6);
    }

    [Fact]
    public void Wheel_travel_is_the_integral_of_damper_travel_over_the_damper_ratio()
    {
        // d = 0.8 + x gives z = ln((0.8 + x) / 0.8): closed form of integral dx / (0.8 + x).
        ImmutableArray<RatioPoint> table = [.. Enumerable.Range(-10, 21).Select(k => new RatioPoint(k * 0.005, 0.8 + (k * 0.005)))];
        WheelLoadSet wheels = Form(With(RatioCurve.Constant(0.9), RatioCurve.Table(table)), 1000, t => -0.05 + (0.01 * t));
        for (int i = 0; i < 1000; i += 37)
        {
            double x = -0.05 + (0.01 * Time.At(i));
            // The table is read by straight lines: 24 micrometres a cell leave 1.2e-10 m.
            Assert.Equal(Math.Log((0.8 + x) / 0.8), wheels.WheelTravelM.RearRight![i], 2e-10);
        }

        SampleSourceTests.AssertReadsAlike(wheels.WheelTravelM.RearRight!);
    }

    [Fact]
    public void A_damper_that_moves_four_fifths_as_far_as_its_wheel_tells_five_quarters_of_its_own_travel()
    {
        // By hand: 0.8 m of damper for 1 m of wheel, so 16 mm at the damper are 20 mm at the wheel.
        WheelLoadSet wheels = Form(With(RatioCurve.Constant(0.9), RatioCurve.Constant(0.8)), 1000, _ => 0.016);
        Assert.Equal(0.020, wheels.WheelTravelM.FrontRight![500], 1e-12);
        SampleSourceTests.AssertReadsAlike(wheels.WheelTravelM.FrontRight);
    }

    [Fact]
    public void The_table_reads_the_curve_to_a_hundredth_of_a_millionth()
    {
        RatioCurve curve = RatioCurve.Table([new(-0.045, 0.890), new(-0.025, 0.902), new(-0.010, 0.913), new(0, 0.921), new(0.010, 0.930), new(0.025, 0.944), new(0.060, 0.980)]);
        TravelTable table = TravelTable.OfRatio(curve);
        for (double x = -0.045; x <= 0.060; x += 0.0000137)
        {
            Assert.Equal(curve.At(x), table.Read(x), 1e-8);
        }

        Assert.Equal(0.980, table.Read(0.060), 1e-12);
        Assert.True(double.IsNaN(table.Read(0.0601)));
        Assert.True(double.IsNaN(table.Read(double.NaN)));
    }

    /// <summary>Many at a time are to the last bit what each is alone: within the table, at its ends, beyond them, in gaps, whatever the place and the length.</summary>
    [Fact]
    public void The_table_reads_many_travels_as_it_reads_each() =>
        Gen.OneOf(Gen.Double[-0.05, 0.065], Gen.Int[0, 8].Select(i => new[] { -0.045, 0.060, 0, -0.0450001, 0.0600001, double.NaN, double.PositiveInfinity, double.NegativeInfinity, 1e300 }[i])).Array[0, 40].Sample(
            travels =>
            {
                TravelTable table = TravelTable.OfRatio(RatioCurve.Table([new(-0.045, 0.890), new(0, 0.921), new(0.060, 0.980)]));
                double[] read = new double[travels.Length];
                table.Read(travels, read);
                Assert.Equal(travels.Select(table.Read).Select(BitConverter.DoubleToInt64Bits), read.Select(BitConverter.DoubleToInt64Bits));
                table.Read(travels, travels);
                Assert.Equal(read.Select(BitConverter.DoubleToInt64Bits), travels.Select(BitConverter.DoubleToInt64Bits));
            },
            seed: "0000pPq1mVd3",
            iter: 1000,
            threads: 1);

    [Fact]
    public void Outside_the_ratio_table_there_is_no_load_and_a_finding_counts_the_samples()
    {
        WheelLoadSet wheels = Form(With(RatioCurve.Table([new(-0.01, 0.9), new(0.01, 0.95)]), RatioCurve.Constant(1)), 1000, t => t < 5 ? 0 : 0.02);
        Assert.Equal(500, wheels.OutsideTable.FrontLeft);
        Assert.True(double.IsNaN(wheels.LoadN.FrontLeft[700]));
        Assert.Contains(wheels.Findings, finding => finding.Kind == "outside_ratio_table");
    }

    [Fact]
    public void Contact_patch_loads_of_a_standing_car_sum_to_its_weight()
    {
        // Hand calculation: 600 kg; each pushrod carries 120 kg of sprung weight over a ratio of 0.8.
        WheelLoadSet wheels = Form(TestCars.Plain(), 120 * TestCars.G / 0.8, _ => 0);
        double sum = Corners.All.Sum(corner => wheels.ContactPatchLoadN![corner][500]);
        Assert.Equal(600 * TestCars.G, sum, 6);
    }

    [Fact]
    public void What_the_links_carry_in_a_corner_goes_from_left_to_right_in_a_left_hand_turn()
    {
        // Equation E2 by hand for the front: m_s,front = 480/2 = 240 kg, h_rc 0.02 m; unsprung 60 kg at 0.3 m; track 1.6 m; a_y = 10 m/s2:
        // (240*10*0.02 + 60*10*0.3)/1.6 = (48 + 180)/1.6 = 142.5 N onto the right, off the left.
        WheelLoadSet wheels = Form(TestCars.Plain(), 1000, _ => 0, ay: 10);
        double straight = 800 + (30 * TestCars.G);
        Assert.Equal(straight + 142.5, wheels.ContactPatchLoadN!.FrontRight[500], 9);
        Assert.Equal(straight - 142.5, wheels.ContactPatchLoadN.FrontLeft[500], 9);
        Assert.Equal(wheels.ContactPatchLoadN.FrontLeft[500], wheels.ContactPatchLoadN.FrontLeft.ToImmutableArray()[500]);
        Assert.Equal(wheels.ContactPatchLoadN.FrontLeft[500], wheels.ContactPatchLoadN.FrontLeft.Read(490, 20, new double[20])[10]);
    }

    [Fact]
    public void Anti_squat_under_driving_loads_the_rear_contact_patches_beyond_the_pushrods()
    {
        // eta 0.25 * 600 kg * 5 m/s2 * 0.3 m / 3 m = 75 N an axle, 37.5 N a wheel: off the front, onto the rear.
        WheelLoadSet wheels = Form(TestCars.Plain(), 1000, _ => 0, ax: 5);
        double still = 800 + (30 * TestCars.G);
        Assert.Equal(still + 37.5, wheels.ContactPatchLoadN!.RearLeft[500], 9);
        Assert.Equal(still - 37.5, wheels.ContactPatchLoadN.FrontLeft[500], 9);
    }

    [Fact]
    public void Without_roll_centres_there_is_no_contact_patch_load_and_the_reason_names_them()
    {
        CarDefinition car = TestCars.Plain();
        WheelLoadSet wheels = Form(car with { Geometry = car.Geometry with { RollCentreHeightM = null } }, 1000, _ => 0);
        Assert.Null(wheels.ContactPatchLoadN);
        Assert.Contains("roll-centre", wheels.ContactPatchWithheldBecause, StringComparison.Ordinal);
    }
}
