using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Simulation;

namespace Telemetry.Tests.Simulation;

/// <summary>A whole run, seen as its log and its truth.</summary>
public class SimulatedRunTests
{
    private const double G = 9.80665;

    // One run serves several tests: two laps, perfect sensors, still air.
    private static readonly Lazy<SimulatedRun> Perfect = new(() => Simulator.Run(Two with { Sensors = Two.Sensors with { IsPerfect = true } }, InventedCar.Car));

    private static readonly Lazy<SimulatedRun> Noisy = new(() => Simulator.Run(
        Two with
        {
            Sensors = Two.Sensors with
            {
                LoadCell = new LoadCellDefinition
                {
                    ZeroN = new(120, -80, 40, -15),
                    DriftNps = new(0.1, -0.05, 0, 0.2),
                    NoiseN = 5,
                    ResolutionN = 2,
                    RangeN = (-20_000, 4_000),
                },
                Dropouts = [new(ChannelRole.DamperTravelRR, 6, 0.05)],
            },
        },
        InventedCar.Car));

    private static Scenario Two => InventedCar.Scenario with { Laps = 2 };

    [Fact]
    public void The_car_stands_at_both_ends_and_is_fast_between()
    {
        double[] speed = Values(Perfect.Value, ChannelRole.Speed);
        int rate = (int)Perfect.Value.Log.Find("Speed")!.Time.RateHz;
        Assert.All(speed[..(14 * rate)], v => Assert.Equal(0, v));
        Assert.All(speed[^(9 * rate)..], v => Assert.Equal(0, v));
        Assert.True(speed.Max() > 250);
        Assert.True(speed.Min() >= 0);
    }

    [Fact]
    public void Channels_of_all_rates_start_and_end_together() =>
        Assert.All(Perfect.Value.Log.Channels, c => Assert.Equal((0.0, Perfect.Value.Log.Channels[0].Time.LastS), (c.Time.StartS, Math.Round(c.Time.LastS, 9))));

    [Fact]
    public void Standstill_loads_are_the_scales_up_to_friction()
    {
        SimulatedRun run = Perfect.Value;
        Vehicle vehicle = new(Two, InventedCar.Car);
        for (int corner = 0; corner < 4; corner++)
        {
            double[] load = Values(run, ChannelRole.PushrodLoadFL + corner);
            AxleModel axle = corner < 2 ? vehicle.Front : vehicle.Rear;
            axle.Look(0, out _, out _, out double ratio);
            double expected = (run.Truth.ScalesN[(Corner)corner] - (axle.WheelKg * G)) / ratio;

            // Joint friction 12 N a corner, and the rocker's 25 N that sit across the car as warp.
            Assert.Equal(expected, load[2000..4000].Average(), 60.0);
            Assert.Equal(expected, load[^3000..].Average(), 80.0);
        }
    }

    [Fact]
    public void Friction_makes_standstill_loads_scatter_from_seed_to_seed_and_after_the_settling()
    {
        double[] load = Values(Perfect.Value, ChannelRole.PushrodLoadFL);
        double before = load[2000..4000].Average();
        double after = load[11_000..13_000].Average();
        Assert.NotEqual(before, after, 0.1);
        Assert.Equal(before, after, 80.0);
    }

    [Fact]
    public void Straight_line_loads_give_the_truth_by_equation_e4()
    {
        SimulatedRun run = Perfect.Value;
        (double front, double rear, double speed, double ax, int count) = StraightMean(run, 240, 262, 0.5);
        Assert.True(count > 200);

        // Driving lifts the nose by more than a millimetre, which costs front load: the yardstick is the equilibrium at this acceleration.
        double mass = 640 + ((run.Truth.FuelStartKg + run.Truth.FuelEndKg) / 2);
        AeroTruth truth = TruthBuilder.AeroAt(new Vehicle(Two, InventedCar.Car), run.Truth.AirDensityKgpm3, mass, speed, new double[Motion.Size], ax);

        // The road and the joints scatter: half a percent.
        Assert.InRange(front / truth.FrontLoadN, 0.995, 1.005);
        Assert.InRange(rear / truth.RearLoadN, 0.995, 1.005);
    }

    [Fact]
    public void Halving_the_step_moves_no_headline_by_a_thousandth()
    {
        Scenario one = InventedCar.Scenario with { Laps = 1, StandstillBeforeS = 12, StandstillAfterS = 3, Sensors = new SensorDefinition { IsPerfect = true } };
        SimulationTruth coarse = Simulator.Run(one, InventedCar.Car).Truth;
        SimulationTruth fine = Simulator.Run(one with { StepRateHz = 8000 }, InventedCar.Car).Truth;
        Assert.Equal(coarse.AeroBySpeed, fine.AeroBySpeed);
        Assert.NotEmpty(coarse.Strikes);
        Assert.Equal(coarse.Strikes.Length, fine.Strikes.Length);
        for (int i = 0; i < coarse.Strikes.Length; i++)
        {
            Assert.InRange(fine.Strikes[i].PeakPushrodN / coarse.Strikes[i].PeakPushrodN, 0.999, 1.001);
        }

        foreach (Corner corner in Corners.All)
        {
            Assert.InRange(fine.Peaks[corner].CompressionN / coarse.Peaks[corner].CompressionN, 0.999, 1.001);
            Assert.InRange(fine.RainflowNoiseFree[corner].EquivalentRangeN / coarse.RainflowNoiseFree[corner].EquivalentRangeN, 0.999, 1.001);
            Assert.InRange(fine.RainflowNoiseFree[corner].LargestRangeN / coarse.RainflowNoiseFree[corner].LargestRangeN, 0.999, 1.001);
        }
    }

    [Fact]
    public void The_same_scenario_gives_the_same_numbers_and_another_seed_does_not()
    {
        Scenario one = InventedCar.Scenario with { Laps = 1, StandstillBeforeS = 12, StandstillAfterS = 1 };
        SimulatedRun first = Simulator.Run(one, InventedCar.Car);
        SimulatedRun again = Simulator.Run(one, InventedCar.Car);
        SimulatedRun other = Simulator.Run(one with { Seed = 99 }, InventedCar.Car);
        Assert.Equal(TruthFile.ToJson(first.Truth), TruthFile.ToJson(again.Truth));
        for (int i = 0; i < first.Log.Channels.Length; i++)
        {
            Assert.True(first.Log.Channels[i].Samples.SequenceEqual(again.Log.Channels[i].Samples));
        }

        Assert.NotEqual(TruthFile.ToJson(first.Truth), TruthFile.ToJson(other.Truth));
    }

    [Fact]
    public void Front_and_rear_wheel_meet_a_kerb_one_wheelbase_apart()
    {
        SimulationTruth truth = Perfect.Value.Truth;
        int pairs = 0;
        foreach (StrikeTruth front in truth.Strikes.Where(s => s.Corner[0] == 'F'))
        {
            StrikeTruth? rear = truth.Strikes.FirstOrDefault(s => s.Kerb == front.Kerb && s.Lap == front.Lap && s.Corner == $"R{front.Corner[1]}");
            Assert.NotNull(rear);

            // L/v = 2.95 m over the speed; the peak comes at a slightly different place on the kerb.
            Assert.Equal(2.95, (rear.TimeS - front.TimeS) * front.SpeedKmh / 3.6, 0.3);
            pairs++;
        }

        Assert.Equal(truth.Strikes.Length, 2 * pairs);
        Assert.True(pairs >= 2);
    }

    [Fact]
    public void Strike_peaks_stand_in_the_log_of_a_perfect_cell()
    {
        SimulatedRun run = Perfect.Value;
        foreach (StrikeTruth strike in run.Truth.Strikes)
        {
            double[] load = Values(run, ChannelRole.PushrodLoadFL + (int)Corners.FromCode(strike.Corner)!);
            int at = (int)(strike.TimeS * 1000);
            double highest = load[(at - 3)..(at + 4)].Max();

            // Sampling at 1 kHz under-reads a pulse of 10 ms by at most 1 - cos(pi/20) = 1.2 %.
            Assert.InRange(highest / strike.PeakPushrodN, 0.988, 1.0000001);
        }
    }

    [Fact]
    public void Zero_drift_noise_and_steps_are_in_the_reading()
    {
        double[] truth = Values(Perfect.Value, ChannelRole.PushrodLoadFL);
        double[] reading = Values(Noisy.Value, ChannelRole.PushrodLoadFL);
        double sum = 0;
        double squares = 0;
        const int count = 10_000;
        for (int i = 0; i < count; i++)
        {
            double off = reading[i] - truth[i] - 120 - (0.1 * i / 1000);
            sum += off;
            squares += off * off;
            Assert.Equal(0, Math.IEEERemainder(reading[i], 2), 1e-9);
        }

        // Noise 5 N and a step of 2 N: sqrt(25 + 4/12) = 5.03 N; four standard errors.
        Assert.Equal(0, sum / count, 4 * 5.03 / Math.Sqrt(count));
        Assert.Equal(5.03, Math.Sqrt(squares / count), 5.03 * 4 / Math.Sqrt(2.0 * count));
        Assert.Equal(120, Noisy.Value.Truth.ZeroN.FrontLeft);
        Assert.Equal(120 + (0.1 * ((truth.Length - 1) / 1000.0)), Noisy.Value.Truth.ZeroEndN.FrontLeft, 1e-3);
    }

    [Fact]
    public void A_cell_at_the_end_of_its_range_reads_the_end()
    {
        Assert.Equal(4000, Values(Noisy.Value, ChannelRole.PushrodLoadFR).Max());
        Assert.True(Noisy.Value.Truth.Peaks.FrontRight.CompressionN > 4000);
    }

    [Fact]
    public void A_dropout_leaves_gaps_of_its_length()
    {
        double[] travel = Values(Noisy.Value, ChannelRole.DamperTravelRR);
        int gaps = travel.Count(double.IsNaN);
        double minutes = travel.Length / 60_000.0;

        // Six a minute of 50 samples each; overlaps and the end of the log may swallow a few.
        Assert.InRange(gaps, 0.7 * 6 * minutes * 50, (6 * minutes * 50) + 50);
        Assert.DoesNotContain(Values(Noisy.Value, ChannelRole.DamperTravelRL), double.IsNaN);
    }

    [Fact]
    public void A_sign_and_a_unit_of_the_car_file_are_what_the_logger_writes()
    {
        CarDefinition car = InventedCar.Car with { Channels = [new ChannelMapping { Role = ChannelRole.PushrodLoadFL, Name = "P1", Unit = "kN", Sign = -1 }] };
        Scenario one = Two with { Laps = 1, Sensors = new SensorDefinition { IsPerfect = true } };
        LoggedChannel channel = Assert.Single(Simulator.Run(one, car).Log.Channels);
        Assert.Equal(("P1", "kN"), (channel.Name, channel.Unit));
        Assert.Equal(-Values(Perfect.Value, ChannelRole.PushrodLoadFL)[3000] / 1000, channel.Samples[3000], 0.2);
        Assert.True(channel.Samples[3000] < 0);
    }

    [Fact]
    public void An_analogue_low_pass_hides_a_strike_and_leaves_the_mean()
    {
        Scenario one = Two with { Laps = 1, Sensors = new SensorDefinition { IsPerfect = true, LoadCell = new LoadCellDefinition { LowPassHz = 5 } } };
        SimulatedRun run = Simulator.Run(one, InventedCar.Car);
        StrikeTruth strike = run.Truth.Strikes[0];
        double[] load = Values(run, ChannelRole.PushrodLoadFL + (int)Corners.FromCode(strike.Corner)!);
        int at = (int)(strike.TimeS * 1000);
        Assert.True(load[(at - 20)..(at + 200)].Max() < 0.8 * strike.PeakPushrodN);
        Assert.Equal(Values(Perfect.Value, ChannelRole.PushrodLoadFL)[2000..3000].Average(), load[2000..3000].Average(), 0.5);
    }

    [Fact]
    public void A_head_wind_adds_load_and_a_tail_wind_takes_it()
    {
        Scenario windy = Two with { Laps = 1, Wind = new WindDefinition(4, 70 * Math.PI / 180), Sensors = new SensorDefinition { IsPerfect = true } };
        SimulatedRun run = Simulator.Run(windy, InventedCar.Car);
        double[] speed = Values(run, ChannelRole.Speed);
        double[] air = Values(run, ChannelRole.AirSpeed);
        double[] distance = Values(run, ChannelRole.LapDistance);

        // The main straight heads 70 degrees, into the wind; the third heads 190 degrees: cos(120 degrees) = -0.5.
        Assert.Equal(4 * 3.6, air[At(distance, 500)] - speed[At(distance, 500)], 1e-6);
        Assert.Equal(-2 * 3.6, air[At(distance, 2500)] - speed[At(distance, 2500)], 0.02);
    }

    private static int At(double[] distance, double metres) => Array.FindIndex(distance, d => d >= metres);

    private static double[] Values(SimulatedRun run, ChannelRole role) => [.. run.Log.Find(role.ToString())!.Samples];

    // Equation E4 on the true loads of straight, unbraked samples in a band of speed; its own few lines, no analyser.
    private static (double Front, double Rear, double SpeedKmh, double AccelerationMps2, int Count) StraightMean(SimulatedRun run, double lowKmh, double highKmh, double mostG)
    {
        double[][] load = [.. Enumerable.Range(0, 4).Select(c => Values(run, ChannelRole.PushrodLoadFL + c))];
        double[][] travel = [.. Enumerable.Range(0, 4).Select(c => Values(run, ChannelRole.DamperTravelFL + c))];
        double[] speed = Values(run, ChannelRole.Speed);
        double[] ax = Values(run, ChannelRole.AccelerationX);
        double[] ay = Values(run, ChannelRole.AccelerationY);
        double[] az = Values(run, ChannelRole.AccelerationZ);
        double[] brake = Values(run, ChannelRole.Brake);
        double[] fuel = Values(run, ChannelRole.FuelMass);
        CarDefinition car = InventedCar.Car;
        (double frontSum, double rearSum, double speedSum, double axSum, int count) = (0, 0, 0, 0, 0);
        for (int i = 0; i < speed.Length; i++)
        {
            if (speed[i] < lowKmh || speed[i] > highKmh || brake[i] > 0 || Math.Abs(ay[2 * i]) > 0.03 || Math.Abs(ax[2 * i]) > mostG)
            {
                continue;
            }

            double mass = 640 + fuel[i / 100];
            double sprung = mass - 56 - 66;
            double front = 0;
            double rear = 0;
            for (int c = 0; c < 4; c++)
            {
                AxleSuspension axle = c < 2 ? car.Suspension.Front : car.Suspension.Rear;
                double force = axle.InstallationRatio.At(travel[c][10 * i] / 1000) * load[c][10 * i];
                front += c < 2 ? force : 0;
                rear += c < 2 ? 0 : force;
            }

            double transfer = mass * ax[2 * i] * G * 0.29 / 2.95;
            frontSum += front - (sprung * az[2 * i] * G * (2.95 - 1.62) / 2.95) + transfer;
            rearSum += rear - (sprung * az[2 * i] * G * 1.62 / 2.95) - ((1 - 0.25) * transfer);
            speedSum += speed[i];
            axSum += ax[2 * i] * G;
            count++;
        }

        return (frontSum / count, rearSum / count, speedSum / count, axSum / count, count);
    }
}
