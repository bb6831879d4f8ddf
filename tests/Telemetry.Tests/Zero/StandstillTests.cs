using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.Zero;

namespace Telemetry.Tests.Zero;

public class StandstillTests
{
    private static readonly TimeBase Time = TimeBase.Even(0, 0.01, 12_000);

    private const double Static = 120 * TestCars.G / 0.8;

    /// <summary>Stands to 10 s, drives to 40, stops to 70, drives to 110, stands to the end at 120.</summary>
    private static double Speed(double t) => t is < 10 or (> 40 and < 70) or > 110 ? 0 : 40;

    private static CarDefinition Car(params ChannelMapping[] more) => TestCars.Plain() with { Channels = [.. TestCars.Plain().Channels, .. more] };

    private static Run Run(CarDefinition car, Func<double, double> load, Func<double, double> speed, Func<double, double>? damper = null, params LoggedChannel[] more) => RunAssembly.From(
        TestCars.Log(
        [
            .. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", Time, load)),
            .. damper is null ? [] : Corners.All.Select(corner => TestCars.Channel($"D {corner.Code()}", "m", Time, damper)),
            TestCars.Channel("v", "m/s", Time, speed),
            .. more,
        ]),
        car);

    [Fact]
    public void The_zero_goes_through_every_stop()
    {
        // 0 N at the first, 60 at the stop in the middle, 0 at the last: first and last alone would say that nothing moved.
        double Zero(double t) => t < 55 ? 60 * Math.Max(0, t - 5) / 50 : 60 * Math.Max(0, 115 - t) / 60;
        ZeroedLoads loads = ZeroOffsets.From(Run(Car(), t => Static + (Speed(t) > 0 ? Zero(t) : t < 20 ? 0 : t < 80 ? 60 : 0), Speed), ZeroOptions.Default);
        CornerZero zero = loads.Zeros.FrontLeft;
        Assert.Equal(3, loads.Windows.Length);
        Assert.Equal([0, 60, 0], zero.AtWindowsN.Select(value => Math.Round(value, 6)));
        Assert.InRange(loads.PushrodLoadN.FrontLeft[3000] - Static, -3, 3);
        Assert.InRange(loads.PushrodLoadN.FrontLeft[9000] - Static, -3, 3);

        // About their mean the three lie at -20, +40, -20; the straight line in time is nearly level: its residuals are near that, one degree of freedom: sqrt(2400) = 49.
        Assert.InRange(zero.ResidualScatterN!.Value, 45, 50);
        Assert.True(zero.StandardUncertaintyN > 17, "a step of 60 N between stops leaves at least its rectangle's 17 N of doubt");
    }

    [Fact]
    public void A_stop_in_which_the_car_was_lifted_gives_a_zero_on_the_ground_and_one_on_stands()
    {
        double Damper(double t) => t is > 48 and < 60 ? -0.030 : Speed(t) > 0 ? 0.005 : 0;
        double Load(double t) => 25 + (t is > 48 and < 60 ? -30 * TestCars.G / 0.8 : Static);
        ZeroedLoads loads = ZeroOffsets.From(Run(Car(), Load, Speed, Damper), ZeroOptions.Default);
        Assert.Equal([false, false, true, false, false], loads.Windows.Select(window => window.OnStands));
        Assert.All(loads.Zeros.FrontLeft.AtWindowsN, value => Assert.Equal(25, value, 6));
    }

    [Fact]
    public void A_stop_with_one_axle_lifted_is_left_out()
    {
        double Damper(double t) => t is > 40 and < 70 ? -0.030 : 0;
        LoggedChannel[] rear = [.. new[] { "D RL", "D RR" }.Select(name => TestCars.Channel(name, "m", Time, _ => 0))];
        LoggedChannel[] front = [.. new[] { "D FL", "D FR" }.Select(name => TestCars.Channel(name, "m", Time, Damper))];
        ZeroedLoads loads = ZeroOffsets.From(Run(Car(), t => Static, Speed, null, [.. front, .. rear]), ZeroOptions.Default);
        Assert.Equal(2, loads.Windows.Length);
    }

    [Fact]
    public void What_the_engine_did_is_told_for_each_stop()
    {
        CarDefinition car = Car(new ChannelMapping { Role = ChannelRole.EngineSpeed, Name = "n", Unit = "rpm" });
        double Rpm(double t) => t < 12 ? 0 : t < 100 ? 3000 : t < 117 ? 2000 : 0;
        ZeroedLoads loads = ZeroOffsets.From(Run(car, t => Static, Speed, null, TestCars.Channel("n", "rpm", Time, Rpm)), ZeroOptions.Default);
        Assert.Equal([EngineState.Off, EngineState.Running, EngineState.Changed], loads.Windows.Select(window => window.Engine));
    }

    [Fact]
    public void A_wheel_that_turns_is_no_standstill_and_a_dead_wheel_sensor_does_not_matter()
    {
        CarDefinition car = Car(
            new ChannelMapping { Role = ChannelRole.WheelSpeedFL, Name = "w FL", Unit = "m/s" },
            new ChannelMapping { Role = ChannelRole.WheelSpeedRL, Name = "w RL", Unit = "m/s" });
        ZeroedLoads loads = ZeroOffsets.From(
            Run(
                car,
                t => Static,
                Speed,
                null,
                TestCars.Channel("w FL", "m/s", Time, t => t is > 40 and < 70 ? 3 : Speed(t)),
                TestCars.Channel("w RL", "m/s", Time, _ => 12)),
            ZeroOptions.Default);
        Assert.Equal(2, loads.Windows.Length);
    }

    [Fact]
    public void A_speed_that_fails_while_the_car_drives_makes_no_standstill()
    {
        // The road shakes the cells by 300 N all the way from 10 to 110 s; the speed reads 0 from 40 to 70 s.
        double Load(double t) => Static + (t is < 10 or > 110 ? 0 : 300 * Math.Sin(2 * Math.PI * 3.3 * t));
        ZeroedLoads loads = ZeroOffsets.From(Run(Car(), Load, Speed), ZeroOptions.Default);
        Assert.Equal(2, loads.Windows.Length);
        Assert.Contains(loads.Findings, finding => finding.Kind == "standstill_moves" && finding.StartS > 40 && finding.EndS < 70);
    }

    [Fact]
    public void Friction_shows_as_hysteresis_between_stops_from_above_and_from_below()
    {
        // Six stops of 10 s between drives of 10 s; the car comes from more compressed and from more extended in turn, and friction of 12 N holds it each time.
        double Stops(double t) => (int)(t / 10) % 2 == 0 ? 0 : 40;
        double Side(double t) => (int)(t / 20) % 2 == 0 ? 1 : -1;
        double Damper(double t) => Stops(t) > 0 ? 0.004 * Side(t + 10) : 0;
        double Load(double t) => Static + (Stops(t) > 0 ? 500 : 12 * Side(t));
        ZeroedLoads loads = ZeroOffsets.From(Run(Car(), Load, Stops, Damper), ZeroOptions.Default);
        Assert.Equal(6, loads.Windows.Length);
        Assert.Equal(24, loads.Zeros.FrontLeft.HysteresisN!.Value, 0.5);
        Assert.InRange(loads.Zeros.FrontLeft.Budget.FrictionN, 5, 15);
    }
}
