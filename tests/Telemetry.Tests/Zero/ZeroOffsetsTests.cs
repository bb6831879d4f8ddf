using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.Zero;

namespace Telemetry.Tests.Zero;

public class ZeroOffsetsTests
{
    private static readonly TimeBase Time = TimeBase.Even(0, 0.01, 6000);

    // Hand calculation: 150 kg on the scales less 30 kg unsprung is 120 kg on the pushrod side; over a ratio of 0.8 that is 150 kg, 1470.9975 N.
    private const double ExpectedN = 120 * TestCars.G / 0.8;

    private static double Speed(double t) => t is < 10 or > 50 ? 0 : 40;

    private static Run Run(Func<double, double> readingFL, CarDefinition? car = null, Func<double, double>? speed = null, params LoggedChannel[] more) =>
        RunAssembly.From(
            TestCars.Log(
            [
                TestCars.Channel("P FL", "N", Time, readingFL),
                .. new[] { "P FR", "P RL", "P RR" }.Select(name => TestCars.Channel(name, "N", Time, t => ExpectedN + (Speed(t) * 10))),
                TestCars.Channel("v", "m/s", Time, speed ?? Speed),
                .. more,
            ]),
            car ?? TestCars.Plain());

    [Fact]
    public void On_the_ground_the_zero_is_the_reading_less_the_setup_sheets_static_load()
    {
        ZeroedLoads loads = ZeroOffsets.From(Run(t => ExpectedN + 130 + (Speed(t) * 10)), ZeroOptions.Default);
        Assert.Null(loads.WithheldBecause);
        Assert.Equal(130, loads.Zeros.FrontLeft.StartN, 6);
        Assert.Equal(ZeroSource.GroundCornerWeights, loads.Zeros.FrontLeft.Source);
        Assert.Equal(ExpectedN + 400, loads.PushrodLoadN.FrontLeft[3000], 6);
        Assert.Equal(2, loads.Windows.Length);
    }

    [Fact]
    public void Drift_is_taken_off_along_a_straight_line_between_the_standstills_and_is_reported()
    {
        // 6 N a second between the middles of the windows.
        ZeroedLoads loads = ZeroOffsets.From(Run(t => ExpectedN + (6 * t)), ZeroOptions.Default);
        CornerZero zero = loads.Zeros.FrontLeft;
        Assert.InRange(zero.DriftN!.Value, 290, 310);
        Assert.InRange(loads.PushrodLoadN.FrontLeft[3000] - ExpectedN, -3, 3);
        Assert.True(zero.StandardUncertaintyN > 80, "a drift of 300 N leaves at least its rectangle's 87 N of doubt");
        Assert.Contains(loads.Findings, finding => finding.Kind == "zero_drift" && finding.Channel == "P FL" && finding.Severity == HealthVerdict.Doubtful);
        Assert.DoesNotContain(loads.Findings, finding => finding.Kind == "zero_drift" && finding.Channel == "P FR");
    }

    [Fact]
    public void Drift_follows_cell_temperature_where_it_is_logged_and_changed()
    {
        // Temperature reaches its final 40 K early: a zero that follows it has all its drift by 20 s, where a straight line in time would have little.
        double Temperature(double t) => t < 12 ? 300 : t < 20 ? 300 + (5 * (t - 12)) : 340;
        ZeroedLoads loads = ZeroOffsets.From(
            Run(t => ExpectedN + (5 * (Temperature(t) - 300)), more: TestCars.Channel("T FL", "K", Time, Temperature)),
            ZeroOptions.Default);
        Assert.True(loads.Zeros.FrontLeft.FollowsTemperature);
        Assert.Equal(ExpectedN, loads.PushrodLoadN.FrontLeft[2500], 6);
    }

    [Fact]
    public void A_drift_too_large_for_temperature_follows_time_instead()
    {
        // 40 kN of range, 40 K: 0.02 % a kelvin is 320 N at the most; 600 N in even steps of time have another cause.
        double Temperature(double t) => t < 12 ? 300 : t < 20 ? 300 + (5 * (t - 12)) : 340;
        ZeroedLoads loads = ZeroOffsets.From(Run(t => ExpectedN + (12 * t), more: TestCars.Channel("T FL", "K", Time, Temperature)), ZeroOptions.Default);
        Assert.False(loads.Zeros.FrontLeft.FollowsTemperature);
        Assert.Equal(ExpectedN, loads.PushrodLoadN.FrontLeft[2500], 6.0);
    }

    [Fact]
    public void With_one_standstill_the_doubt_of_an_unknown_drift_is_added()
    {
        ZeroedLoads once = ZeroOffsets.From(Run(t => ExpectedN, speed: t => t < 10 ? 0 : 40), ZeroOptions.Default);
        ZeroedLoads twice = ZeroOffsets.From(Run(t => ExpectedN), ZeroOptions.Default);
        Assert.Null(once.Zeros.FrontLeft.DriftN);
        Assert.True(once.Zeros.FrontLeft.StandardUncertaintyN > twice.Zeros.FrontLeft.StandardUncertaintyN + 50);
        Assert.Contains(once.Findings, finding => finding.Kind == "zero_once");
    }

    [Fact]
    public void Without_a_standstill_absolute_loads_are_withheld_with_the_reason()
    {
        ZeroedLoads loads = ZeroOffsets.From(Run(t => ExpectedN, speed: _ => 40), ZeroOptions.Default);
        Assert.Contains("never stands still", loads.WithheldBecause, StringComparison.Ordinal);
        Assert.Equal(ZeroSource.None, loads.Zeros.FrontLeft.Source);
        Assert.Contains(loads.Findings, finding => finding.Severity == HealthVerdict.Unusable);
    }

    [Fact]
    public void Static_loads_of_another_car_are_refused()
    {
        // The car file says 150 kg a corner; the log stands on twice that at all four.
        CarDefinition half = TestCars.Plain(cornerWeightN: new PerCorner<double>(80 * TestCars.G, 80 * TestCars.G, 80 * TestCars.G, 80 * TestCars.G));
        InputError error = Assert.Throws<InputError>(() => ZeroOffsets.From(Run(t => ExpectedN, half), ZeroOptions.Default));
        Assert.Contains("static loads do not match the car file", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void On_stands_the_cell_carries_the_hanging_wheel()
    {
        // First standstill on stands: dampers 30 mm below the second one; 30 kg of wheel hang on a ratio of 0.8, 367.75 N of tension.
        double Damper(double t) => t < 10 ? -0.030 : 0;
        double Reading(double t) => 25 + (t < 10 ? -30 * TestCars.G / 0.8 : ExpectedN);
        LoggedChannel[] dampers = [.. Corners.All.Select(corner => TestCars.Channel($"D {corner.Code()}", "m", Time, Damper))];
        Run run = RunAssembly.From(
            TestCars.Log(
            [
                .. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", Time, Reading)),
                TestCars.Channel("v", "m/s", Time, Speed),
                .. dampers,
            ]),
            TestCars.Plain());
        ZeroedLoads loads = ZeroOffsets.From(run, ZeroOptions.Default);
        Assert.Equal([true, false], loads.Windows.Select(window => window.OnStands));
        Assert.Equal(25, loads.Zeros.FrontLeft.StartN, 6);
        Assert.Equal(25, loads.Zeros.FrontLeft.EndN, 6);
        Assert.Equal(-0.030, loads.DamperTravelM.FrontLeft![100], 9);
        SampleSourceTests.AssertReadsAlike(loads.DamperTravelM.FrontLeft);
    }

    [Fact]
    public void A_knock_on_the_car_during_standstill_does_not_move_the_zero()
    {
        ZeroedLoads loads = ZeroOffsets.From(Run(t => ExpectedN + (t is > 4 and < 4.4 ? 2000 : 0)), ZeroOptions.Default);
        Assert.Equal(0, loads.Zeros.FrontLeft.StartN, 6);
    }

    [Fact]
    public void Without_corner_weights_the_axle_share_of_the_mass_stands_in_with_more_doubt()
    {
        CarDefinition car = TestCars.Plain();
        ZeroedLoads sheet = ZeroOffsets.From(Run(t => ExpectedN, car), ZeroOptions.Default);
        ZeroedLoads mass = ZeroOffsets.From(Run(t => ExpectedN, car with { Setup = car.Setup with { CornerWeightN = null } }), ZeroOptions.Default);
        Assert.Equal(ZeroSource.GroundMassOnly, mass.Zeros.FrontLeft.Source);
        Assert.Equal(0, mass.Zeros.FrontLeft.StartN, 6);
        Assert.True(mass.Zeros.FrontLeft.StandardUncertaintyN > 2 * sheet.Zeros.FrontLeft.StandardUncertaintyN);
    }
}
