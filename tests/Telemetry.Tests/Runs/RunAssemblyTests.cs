using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Tests.Runs;

public class RunAssemblyTests
{
    private static readonly TimeBase Fast = TimeBase.Even(0, 0.001, 10_000);

    private static LoggedChannel[] Loads(TimeBase time) =>
        [.. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", time, t => t))];

    private static Run Assemble(params LoggedChannel[] more) => RunAssembly.From(TestCars.Log([.. Loads(Fast), .. more]), TestCars.Plain());

    [Fact]
    public void Without_a_unit_in_the_car_file_the_logs_own_holds_and_kilonewtons_become_newtons()
    {
        Run run = RunAssembly.From(TestCars.Log(InUnit("kN")), WithLoadUnit(null));
        Assert.Equal(5000.0, run.OnClock(ChannelRole.PushrodLoadFL)[5000], 9);
        Assert.Contains(run.Find(ChannelRole.PushrodLoadFL)!.Steps, step => step is UnitConverted { FromUnit: "kN", Factor: 1000 });
    }

    [Theory]
    [InlineData("", "N", 5.0)]
    [InlineData("counts", "N", 5.0)]
    [InlineData("-", "kN", 5000.0)]
    [InlineData("KN", "kN", 5000.0)]
    [InlineData("kg", "kgf", 5 * TestCars.G)]
    [InlineData("lbs", "lbf", 5 * 4.4482216152605)]
    public void Where_the_log_gives_no_unit_that_is_known_the_car_files_holds(string inLog, string inCar, double expectedN) =>
        Assert.Equal(expectedN, RunAssembly.From(TestCars.Log(InUnit(inLog)), WithLoadUnit(inCar)).OnClock(ChannelRole.PushrodLoadFL)[5000], 9);

    [Theory]
    [InlineData("kN", "N")]
    [InlineData("N", "kN")]
    [InlineData("lbf", "N")]
    [InlineData("bar", "N")]
    [InlineData("mm", "N")]
    [InlineData("kg", "N")]
    [InlineData("lb", "kgf")]
    [InlineData("kgf", "lbf")]
    public void Units_of_log_and_car_file_that_contradict_each_other_are_refused_for_every_channel_at_once(string inLog, string inCar)
    {
        InputError error = Assert.Throws<InputError>(() => RunAssembly.From(TestCars.Log(InUnit(inLog)), WithLoadUnit(inCar)));
        foreach (Corner corner in Corners.All)
        {
            Assert.Contains($"column 'P {corner.Code()}': the log gives the unit \"{inLog}\", the car file \"{inCar}\"", error.Message, StringComparison.Ordinal);
        }
    }

    private static LoggedChannel[] InUnit(string unit) => [.. Loads(Fast).Select(load => load with { Unit = unit })];

    private static CarDefinition WithLoadUnit(string? unit)
    {
        CarDefinition car = TestCars.Plain();
        return car with { Channels = [.. car.Channels.Select(m => m.Role <= ChannelRole.PushrodLoadRR ? m with { Unit = unit } : m)] };
    }

    [Fact]
    public void A_sign_of_minus_one_reverses_the_channel_and_leaves_a_trace()
    {
        CarDefinition car = TestCars.Plain();
        car = car with { Channels = [.. car.Channels.Select(m => m.Role == ChannelRole.PushrodLoadRR ? m with { Sign = -1 } : m)] };
        Run run = RunAssembly.From(TestCars.Log(Loads(Fast)), car);
        Assert.Equal(-5.0, run.OnClock(ChannelRole.PushrodLoadRR)[5000], 12);
        Assert.Contains(run.Find(ChannelRole.PushrodLoadRR)!.Steps, step => step is SignReversed);
    }

    [Fact]
    public void A_channel_on_the_clock_is_shared_and_not_copied()
    {
        LoggedChannel speed = TestCars.Channel("v", "m/s", Fast, _ => 30);
        Run run = Assemble(speed);
        Assert.Same(speed.Samples, run.OnClock(ChannelRole.Speed));
    }

    [Fact]
    public void A_slow_channel_is_read_by_straight_lines_and_is_not_drawn_across_a_gap()
    {
        TimeBase slow = TimeBase.Uneven([.. Enumerable.Range(0, 100).Select(i => i * 0.1).Where(t => t is < 3.95 or > 5.05)]);
        Run run = Assemble(TestCars.Channel("v", "m/s", slow, t => 10 * t));
        SampleSource speed = run.OnClock(ChannelRole.Speed);
        Assert.Equal(12.34, speed[1234], 9);
        Assert.True(double.IsNaN(speed[4500]));
        Assert.Equal(60.05, speed[6005], 9);
        Assert.Contains(run.Find(ChannelRole.Speed)!.Steps, step => step is Resampled);
    }

    [Fact]
    public void Before_its_first_and_after_its_last_sample_a_channel_has_no_value()
    {
        TimeBase late = TimeBase.Even(2, 0.01, 300);
        Run run = Assemble(TestCars.Channel("v", "m/s", late, t => t));
        Assert.True(double.IsNaN(run.OnClock(ChannelRole.Speed)[1990]));
        Assert.Equal(2.0, run.OnClock(ChannelRole.Speed)[2000], 12);
        Assert.True(double.IsNaN(run.OnClock(ChannelRole.Speed)[5200]));
    }

    [Fact]
    public void A_channel_faster_than_the_clock_is_averaged_over_the_step()
    {
        TimeBase faster = TimeBase.Even(0, 0.0001, 100_000);
        Run run = Assemble(TestCars.Channel("az", "m/s2", faster, t => 9.81 + Math.Sin(2 * Math.PI * 1000 * t)));
        Assert.Equal(9.81, run.OnClock(ChannelRole.AccelerationZ)[5000], 6);
    }

    [Fact]
    public void A_lap_number_holds_between_its_samples_and_laps_cover_every_sample_once()
    {
        TimeBase slow = TimeBase.Even(0, 0.5, 20);
        Run run = Assemble(TestCars.Channel("lap", "", slow, t => t < 3 ? 1 : t < 7 ? 2 : 3), TestCars.Channel("v", "m/s", Fast, _ => 50));
        Assert.Equal([1, 2, 3], run.Laps.Laps.Select(lap => lap.Number));
        Assert.Equal(run.Count, run.Laps.Laps.Sum(lap => lap.EndIndex - lap.StartIndex));
        Assert.Equal([false, true, false], run.Laps.Laps.Select(lap => lap.IsComplete));
        Assert.Equal(200.0, run.Laps.Laps[1].LengthM, 6);
        Assert.Equal(2, run.Laps.At(3000).Number);
        Assert.Equal(1, run.Laps.At(2999).Number);
    }

    [Fact]
    public void Without_a_lap_number_the_fall_of_the_lap_distance_is_the_line()
    {
        Run run = Assemble(TestCars.Channel("s", "m", TimeBase.Even(0, 0.01, 1000), t => t * 50 % 200));
        Assert.Equal("lap distance channel", run.Laps.Source);
        Assert.Equal(3, run.Laps.Laps.Length);
        Assert.Equal(4.0, run.Laps.Laps[1].StartS, 2);
    }

    [Fact]
    public void Without_laps_the_whole_run_is_one_and_distance_is_the_integral_of_speed()
    {
        Run run = Assemble(TestCars.Channel("v", "m/s", Fast, _ => 50));
        Lap lap = Assert.Single(run.Laps.Laps);
        Assert.False(lap.IsComplete);
        Assert.Equal(250.0, run.LapDistanceM[5000], 6);
    }

    [Fact]
    public void All_missing_load_cells_are_named_in_one_error()
    {
        InputError error = Assert.Throws<InputError>(() => RunAssembly.From(TestCars.Log(TestCars.Channel("v", "m/s", Fast, _ => 1)), TestCars.Plain()));
        Assert.Equal(4, error.Faults.Count);
        Assert.Contains("'P FL'", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_load_in_millimetres_is_refused_with_its_column()
    {
        CarDefinition car = TestCars.Plain();
        car = car with { Channels = [.. car.Channels.Select(m => m with { Unit = null })] };
        LoggedChannel[] loads = Loads(Fast);
        loads[0] = loads[0] with { Unit = "mm" };
        InputError error = Assert.Throws<InputError>(() => RunAssembly.From(TestCars.Log(loads), car));
        Assert.Contains("'P FL'", Assert.Single(error.Faults).Where, StringComparison.Ordinal);
    }

    [Fact]
    public void Jittering_time_stamps_give_an_even_clock_of_the_mean_step()
    {
        double[] jitter = [0, 0.0001, -0.0002, 0.0001];
        TimeBase uneven = TimeBase.Uneven([.. Enumerable.Range(0, 4001).Select(i => (i * 0.01) + jitter[i % 4])]);
        Run run = RunAssembly.From(TestCars.Log(Loads(uneven)), TestCars.Plain());
        Assert.Equal(0.01, run.Clock.StepS, 9);
        Assert.Equal(4001, run.Count);
        Assert.Equal(20.0, run.OnClock(ChannelRole.PushrodLoadFL)[2000], 6);
        Assert.Contains(run.LogFindings, finding => finding.Kind == LogFindingKind.UnevenTime);
    }

    [Fact]
    public void A_gap_in_an_even_log_stays_a_gap_and_the_other_samples_stay_as_logged()
    {
        TimeBase gappy = TimeBase.Uneven([.. Enumerable.Range(0, 1000).Where(i => i is < 400 or >= 500).Select(i => i * 0.01)]);
        Run run = RunAssembly.From(TestCars.Log(Loads(gappy)), TestCars.Plain());
        SampleSource load = run.OnClock(ChannelRole.PushrodLoadFL);
        Assert.Equal(1000, load.Length);
        Assert.Equal(100, load.Count(double.IsNaN));
        Assert.Equal(6.0, load[600], 9);
    }

    [Fact]
    public void A_course_through_north_takes_the_shorter_way_round()
    {
        CarDefinition car = TestCars.Plain();
        car = car with { Channels = [.. car.Channels, new ChannelMapping { Role = ChannelRole.Course, Name = "c", Unit = "rad" }] };
        TimeBase slow = TimeBase.Even(0, 1, 10);
        Run run = RunAssembly.From(TestCars.Log([.. Loads(Fast), TestCars.Channel("c", "rad", slow, t => t < 4.5 ? (2 * Math.PI) - 0.1 : 0.1)]), car);
        double middle = run.OnClock(ChannelRole.Course)[4500];
        Assert.Equal(0, Math.IEEERemainder(middle, 2 * Math.PI), 9);
    }

    [Fact]
    public void Fuel_falls_with_the_laps_and_a_logged_mass_goes_before_it()
    {
        CarDefinition car = TestCars.Plain();
        car = car with { Masses = car.Masses with { FuelAtStartKg = Measured.Exact(20), FuelPerLapKg = 2 }, LapLengthM = 200 };
        RunLog log = TestCars.Log([.. Loads(Fast), TestCars.Channel("v", "m/s", Fast, _ => 50), TestCars.Channel("lap", "", Fast, t => 1 + Math.Floor(t / 4))]);
        Run run = RunAssembly.From(log, car);
        Assert.Equal(20, FuelOnBoard.At(run, 0), 9);
        Assert.Equal(18, FuelOnBoard.At(run, 4000), 6);
        Assert.Equal(17, FuelOnBoard.At(run, 6000), 2);
    }
}
