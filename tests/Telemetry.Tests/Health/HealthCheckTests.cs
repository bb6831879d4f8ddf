using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Tests.Health;

public class HealthCheckTests
{
    private static readonly TimeBase Time = TimeBase.Even(0, 0.001, 20_000);

    // A shaken sensor: two tones that never repeat a number for long.
    private static double Shake(double t) => 500 + (200 * Math.Sin(2 * Math.PI * 17.3 * t)) + (90 * Math.Sin(2 * Math.PI * 41.7 * t));

    private static RunHealth Check(Func<double, double>? loadFL = null, Func<CarDefinition, CarDefinition>? change = null, Func<double, double>? speed = null, double az = TestCars.G, params LogFinding[] noticed)
    {
        RunLog log = TestCars.Log(
        [
            TestCars.Channel("P FL", "N", Time, loadFL ?? Shake),
            .. new[] { "P FR", "P RL", "P RR" }.Select(name => TestCars.Channel(name, "N", Time, Shake)),
            .. Corners.All.Select(corner => TestCars.Channel($"D {corner.Code()}", "m", Time, t => Shake(t) / 1e5)),
            TestCars.Channel("v", "m/s", Time, speed ?? (t => t < 3 ? 0 : 40 + Math.Sin(t))),
            TestCars.Channel("ax", "m/s2", Time, t => Shake(t) / 500),
            TestCars.Channel("ay", "m/s2", Time, t => Shake(t) / 400),
            TestCars.Channel("az", "m/s2", Time, t => t < 3 ? az : Shake(t) / 300),
        ]) with
        {
            Findings = [.. noticed],
        };
        CarDefinition car = TestCars.Plain();
        return HealthCheck.From(RunAssembly.From(log, change is null ? car : change(car)), HealthOptions.Default);
    }

    private static HealthFinding Only(RunHealth health, string kind) => Assert.Single(health.Findings, finding => finding.Kind == kind);

    [Fact]
    public void A_clean_log_is_good() => Assert.Equal(HealthVerdict.Good, Check().Verdict);

    [Fact]
    public void A_load_cell_that_repeats_one_number_while_running_makes_the_log_unusable()
    {
        RunHealth health = Check(t => t is > 8 and < 9.5 ? 512 : Shake(t));
        Assert.Equal(HealthVerdict.Unusable, health.Verdict);
        HealthFinding stuck = Only(health, "stuck");
        Assert.Equal("P FL", stuck.Channel);
        Assert.Equal(8, stuck.StartS, 2);
        Assert.Equal(9.5, stuck.EndS, 2);
    }

    [Fact]
    public void A_sensor_at_rest_while_the_car_stands_is_not_stuck() =>
        Assert.DoesNotContain(Check(t => t < 3 ? 512 : Shake(t)).Findings, finding => finding.Kind == "stuck");

    [Fact]
    public void Readings_at_the_end_of_the_range_are_lower_bounds()
    {
        HealthFinding limit = Only(Check(t => t is > 10 and < 10.01 ? 20_000 : Shake(t)), "range_limit");
        Assert.Equal(HealthVerdict.Doubtful, limit.Severity);
        Assert.Equal(10, limit.StartS, 2);
    }

    [Fact]
    public void A_gap_says_how_much_is_missing_and_how_long_it_lasts()
    {
        HealthFinding gap = Only(Check(t => t is > 4.9995 and < 5.1995 ? double.NaN : Shake(t)), "gap");
        Assert.Equal(HealthVerdict.Doubtful, gap.Severity);
        Assert.Contains("0.2 s", gap.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(20, false)]
    [InlineData(12, true)]
    public void A_slow_channel_that_ends_within_its_own_step_has_no_gap_and_one_that_stops_early_has(int seconds, bool isGap)
    {
        // One sample a second; the load cells go on to 19.999 s.
        TimeBase slow = TimeBase.Even(0, 1, seconds);
        RunLog log = TestCars.Log(
        [
            .. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", Time, Shake)),
            TestCars.Channel("v", "m/s", Time, t => t < 3 ? 0 : 40 + Math.Sin(t)),
            TestCars.Channel("T FL", "K", slow, t => 300 + t),
        ]);
        RunHealth health = HealthCheck.From(RunAssembly.From(log, TestCars.Plain()), HealthOptions.Default);
        Assert.Equal(isGap, health.Findings.Any(finding => finding.Kind == "gap" && finding.Channel == "T FL"));
    }

    [Fact]
    public void A_dead_load_cell_makes_the_log_unusable() =>
        Assert.Equal(HealthVerdict.Unusable, Only(Check(_ => double.NaN), "dead").Severity);

    [Fact]
    public void A_single_odd_sample_is_a_spike_and_a_short_strike_is_not()
    {
        Assert.Equal("P FL", Only(Check(t => Math.Abs(t - 7.1234) < 0.0005 ? 9000 : Shake(t)), "spike").Channel);

        // A half sine of 8 kN and 12 ms, common practice for a kerb: steep, but it rises over several samples.
        RunHealth strike = Check(t => Shake(t) + (t is > 7 and < 7.012 ? 8000 * Math.Sin(Math.PI * (t - 7) / 0.012) : 0));
        Assert.DoesNotContain(strike.Findings, finding => finding.Kind == "spike");
    }

    [Fact]
    public void An_accelerometer_that_reads_zero_at_rest_is_found()
    {
        HealthFinding gravity = Only(Check(az: 0), "gravity_off");
        Assert.Equal(HealthVerdict.Unusable, gravity.Severity);
        Assert.Equal("az", gravity.Channel);
    }

    [Fact]
    public void A_filter_in_the_logger_is_said_for_the_load_cells()
    {
        RunHealth health = Check(change: car => car with { Channels = [.. car.Channels.Select(m => m with { LoggerCutOffHz = m.Name == "P FL" ? 30 : null })] });
        Assert.Contains("30 Hz", Only(health, "filtered_in_logger").Message, StringComparison.Ordinal);
    }

    [Fact]
    public void What_the_reader_noticed_becomes_a_finding_with_a_remedy()
    {
        RunHealth health = Check(noticed: new LogFinding(LogFindingKind.BackwardTime, "run.csv, row 12, column 't'", "Time goes back by 3 s.", 1, 0.011));
        HealthFinding back = Only(health, "time_backward");
        Assert.Equal(HealthVerdict.Doubtful, health.Verdict);
        Assert.NotEmpty(back.Remedy);
    }

    [Fact]
    public void A_missing_channel_says_which_answer_it_touches()
    {
        RunLog log = TestCars.Log([.. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", Time, Shake))]);
        RunHealth health = HealthCheck.From(RunAssembly.From(log, TestCars.Plain()), HealthOptions.Default);
        Assert.Contains(health.Findings, finding => finding.Kind == "missing" && finding.Message.Contains("vertical acceleration", StringComparison.Ordinal));
        Assert.Equal(HealthVerdict.Unusable, health.Verdict);
    }

    [Fact]
    public void Findings_stand_worst_first()
    {
        HealthVerdict[] order = [.. Check(t => t is > 8 and < 9.5 ? 512 : t is > 10 and < 10.01 ? 20_000 : Shake(t)).Findings.Select(finding => finding.Severity)];
        Assert.Equal(HealthVerdict.Unusable, order[0]);
        Assert.Equal(order.OrderDescending(), order);
    }
}
