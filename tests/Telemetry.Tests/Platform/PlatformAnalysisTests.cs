using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Platform;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.Platform;

public class PlatformAnalysisTests
{
    private static readonly TimeBase Time = TimeBase.Even(0, 0.01, 12_000);

    // Ten sweeps of 12 s: a straight of 6 s from 30 to 60 m/s, then a corner of 4 s, left and right in turn, then 2 s of neither.
    private static double Phase(double t) => t % 12;

    private static double Speed(double t) => Phase(t) < 6 ? 30 + (5 * Phase(t)) : 40;

    private static double Lateral(double t) => Phase(t) is > 7 and < 11 ? ((int)(t / 12) % 2 == 0 ? 12 : -12) : 0;

    private static WheelLoadSet Wheels(CarDefinition car, Func<double, double>? rideHeightFront = null, Func<double, double>? damper = null)
    {
        // Roll moments in a corner by hand: 400 N a side at the front over 1.6 m, 200 N at the rear over 1.5 m, on top of an uneven 50 N at rest.
        double Load(Corner corner, double t)
        {
            double side = corner.IsLeft() ? -1 : 1;
            return 1000 + (side * (corner.Axle() == Axle.Front ? (400 * Lateral(t) / 12) + 50 : 200 * Lateral(t) / 12));
        }

        List<LoggedChannel> channels =
        [
            .. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", Time, t => Load(corner, t) / 0.8)),
            .. Corners.All.Select(corner => TestCars.Channel($"D {corner.Code()}", "m", Time, damper ?? (_ => 0))),
            TestCars.Channel("v", "m/s", Time, Speed),
            TestCars.Channel("ay", "m/s2", Time, Lateral),
        ];
        if (rideHeightFront is not null)
        {
            channels.Add(TestCars.Channel("hf", "m", Time, rideHeightFront));
            channels.Add(TestCars.Channel("hr", "m", Time, _ => 0.05));
        }

        Run run = RunAssembly.From(
            TestCars.Log([.. channels]),
            car with { Channels = [.. car.Channels, new ChannelMapping { Role = ChannelRole.RideHeightRear, Name = "hr", Unit = "m" }] });
        return WheelLoadFormation.From(
            new ZeroedLoads
            {
                Run = run,
                PushrodLoadN = PerCorner.Of(corner => run.OnClock(ChannelRoles.PushrodLoad(corner))),
                DamperTravelM = PerCorner.Of(corner => run.ClockSamples[(int)ChannelRoles.DamperTravel(corner)]),
                Zeros = PerCorner.Of(_ => new CornerZero(ZeroSource.GroundCornerWeights, 0, 0, 0, 1, false)),
                Windows = [],
                WithheldBecause = null,
                Findings = [],
                IsLowPassed = false,
            },
            WheelLoadOptions.Default);
    }

    private static AeroResult Straights(WheelLoadSet wheels) => new()
    {
        ReferenceSpeedMps = double.NaN,
        AtReference = null,
        WithheldBecause = "not asked for in this test",
        Curve = [],
        Passes = [],
        Windows =
        [
            .. Enumerable.Range(0, 10).SelectMany(pass => Enumerable.Range(0, 12).Select(k =>
            {
                double middle = (12 * pass) + 0.25 + (0.5 * k);
                return new QuasiSteadyWindow(middle, 1, pass + 1, Speed(middle), double.NaN, double.NaN, null);
            })),
        ],
        Air = new AirState(1.2, 0, "test", true),
        Wind = new WindState(null, null, false, "test"),
        Budget = [],
        Notes = [],
    };

    private static PlatformResult Analyse(WheelLoadSet wheels) => PlatformAnalysis.From(wheels, Straights(wheels), PlatformOptions.Default);

    [Fact]
    public void The_roll_share_is_the_front_moment_over_the_whole_and_the_uneven_rest_does_not_enter()
    {
        // 0.8 * 2 * 400 = 640 N m at the front, 0.75 * 2 * 200 = 300 N m at the rear: 640 / 940.
        PlatformResult platform = Analyse(Wheels(TestCars.Plain()));
        Assert.Equal(100 * 640.0 / 940, platform.RollMomentFrontPct!.Value, 3);
        Assert.InRange(platform.RollMomentFrontPct.HalfWidth, 0, 0.01);
    }

    [Fact]
    public void Measured_ride_heights_are_averaged_by_speed_over_passes_with_an_interval()
    {
        // Front falls by 0.1 mm for each m/s, and each pass lies 0.2 mm beside the last in turn.
        PlatformResult platform = Analyse(Wheels(TestCars.Plain(), t => 0.030 - (0.0001 * (Speed(t) - 30)) + ((int)(t / 12) % 2 == 0 ? 0.0001 : -0.0001)));
        Assert.Equal("measured ride heights", platform.RideHeightSource);
        PlatformAtSpeed band = platform.BySpeed.Single(at => Math.Abs(at.SpeedMps - (9.5 * 20 / 3.6)) < 0.01);
        Assert.Equal(10, band.Passes);
        Assert.InRange(band.FrontRideHeightM.Value, 0.0270, 0.0282);

        // Ten passes that alternate by +-0.1 mm: s = 0.1054 mm, t(9, 0.975) = 2.262, half width 0.0754 mm by hand.
        Assert.Equal(0.0754e-3, band.FrontRideHeightM.HalfWidth, 0.0004e-3);
        Assert.Equal((0.05 - band.FrontRideHeightM.Value) / 3, band.RakeRad.Value, 9);
    }

    [Fact]
    public void Without_sensors_ride_height_comes_from_the_dampers_and_without_static_heights_there_is_none()
    {
        PlatformResult derived = Analyse(Wheels(TestCars.Plain(), damper: t => Phase(t) < 6 ? 0.004 : 0));
        Assert.Contains("damper travel", derived.RideHeightSource, StringComparison.Ordinal);
        Assert.All(derived.BySpeed, at => Assert.Equal(0.030 - 0.004, at.FrontRideHeightM.Value, 6));
        CarDefinition car = TestCars.Plain();
        PlatformResult none = Analyse(Wheels(car with { Setup = car.Setup with { RideHeightM = null } }));
        Assert.Empty(none.BySpeed);
        Assert.Contains(none.Notes, note => note.StartsWith("No ride heights", StringComparison.Ordinal));
    }

    [Fact]
    public void A_rubber_that_is_touched_at_high_speed_only_says_from_which_speed_on()
    {
        CarDefinition car = TestCars.Plain();
        ThirdElement element = new(100_000, 0.001, 0.005, [new(0, 0), new(0.002, 300), new(0.004, 900)]);
        AxleSuspension front = car.Suspension.Front with { Third = element };
        PlatformResult platform = Analyse(Wheels(car with { Suspension = new PerAxle<AxleSuspension>(front, car.Suspension.Rear) }, damper: t => Phase(t) < 6 && Speed(t) > 50 ? 0.006 : 0.002));
        ThirdElementUse use = platform.Third.Front!;
        Assert.InRange(use.RubberEngagesAboveMps!.Value, 47, 53);
        Assert.Equal(1, use.SpringEngagedShare);
        Assert.InRange(use.RubberEngagedShare!.Value, 0.15, 0.18);
        Assert.Null(platform.Third.Rear);

        // (6 - 1) mm at 100 N/mm and 1 mm of rubber at 150 N/mm.
        Assert.Equal(650, use.LargestForceN, 6);
    }

    [Fact]
    public void A_rubber_beyond_its_table_goes_on_with_its_last_slope()
    {
        ThirdElement element = new(100_000, 0.001, 0.005, [new(0, 0), new(0.002, 300), new(0.004, 900)]);

        // At 10 mm: spring 9 mm at 100 N/mm; rubber 900 N at 4 mm and 1 mm more at 300 N/mm.
        Assert.Equal(900 + 900 + 300, ThirdElements.Force(element, 0.010), 9);
        Assert.Equal(0, ThirdElements.Force(element, 0.0005));
    }

    [Fact]
    public void The_velocity_histogram_holds_all_running_time_and_splits_bump_from_rebound()
    {
        // A triangle wave of 0.1 m/s up and 0.05 m/s down: two thirds of the time in rebound.
        double Damper(double t) => t % 3 < 1 ? 0.1 * (t % 3) : 0.1 - (0.05 * ((t % 3) - 1));
        PlatformResult platform = Analyse(Wheels(TestCars.Plain(), damper: Damper));
        VelocityHistogram histogram = platform.DamperVelocity.FrontLeft!;
        Assert.Equal(1, histogram.Shares.Sum(), 9);
        // The fit over 10 ms rounds the corners of the triangle: one sample in three hundred.
        Assert.Equal(1.0 / 3, histogram.BumpShare, 0.005);
    }
}
