using System.Collections.Concurrent;
using System.Globalization;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Review;
using Telemetry.Simulation;

namespace Telemetry.Tests.Review;

/// <summary>
/// The whole line from log to answer against the truth of simulated runs: the simulator shares no estimating code with the library.
/// Nothing was tuned on these seeds; each seed draws its own road, driver, gusts, noise, zeros and kerb depths.
/// </summary>
public class AccuracyTests
{
    private const double LiftAreaLimitPct = 1;

    [Fact]
    public void In_still_air_lift_areas_of_20_runs_lie_within_1_percent_and_their_intervals_hold_the_truth()
    {
        AeroError[] errors = Simulate(20, 7100, (scenario, _) => scenario with { Wind = scenario.Wind with { SpeedMps = 0, GustMps = 0 } });
        Assert.All(errors, error =>
        {
            Assert.InRange(error.FrontPct, -LiftAreaLimitPct, LiftAreaLimitPct);
            Assert.InRange(error.RearPct, -LiftAreaLimitPct, LiftAreaLimitPct);
        });
        Assert.True(errors.Count(error => error.FrontInside) >= 17, Table(errors));
        Assert.True(errors.Count(error => error.RearInside) >= 17, Table(errors));

        // An interval that holds the truth because it is bloated is no answer: two and a half times the limit on the error is the most that is useful.
        Assert.All(errors, error => Assert.InRange(error.WidestHalfPct, 0.2, 2.5));
    }

    [Fact]
    public void In_a_steady_wind_of_5_metres_a_second_the_mean_error_stays_below_1_percent()
    {
        AeroError[] errors = Simulate(6, 7300, (scenario, k) => scenario with { Wind = scenario.Wind with { SpeedMps = 5, FromRad = k, GustMps = 0.3 } });
        Assert.InRange(errors.Average(error => error.FrontPct), -LiftAreaLimitPct, LiftAreaLimitPct);
        Assert.InRange(errors.Average(error => error.RearPct), -LiftAreaLimitPct, LiftAreaLimitPct);
        Assert.True(errors.Count(error => error.FrontInside && error.RearInside) >= 5, Table(errors));
    }

    [Fact]
    public void Cycles_of_a_load_without_noise_are_counted_as_the_truth_has_them()
    {
        // The simulator counts with the four-point method, the library with three points: by range both give the same cycles (Amzallag 1994; they differ on ties only).
        Scenario scenario = Baseline();
        CarDefinition car = ScenarioFile.ReadCar(scenario);
        SimulatedRun simulated = Simulator.Run(scenario with { Seed = 7400, Laps = 2, Sensors = scenario.Sensors with { IsPerfect = true, LoadCell = new() } }, car);
        foreach (Corner corner in Corners.All)
        {
            RainflowTruth truth = simulated.Truth.RainflowNoiseFree[corner];
            RainflowCounter counter = new();
            counter.Add(simulated.Log.Find(car.Mapping(ChannelRoles.PushrodLoad(corner))!.Name)!.Samples.ToImmutableArray().AsSpan());
            CycleCount cycles = counter.Count();
            double[] counts = new double[truth.CountByBin.Length];
            double damage = 0;
            double largest = 0;
            for (int i = 0; i < cycles.Count; i++)
            {
                double range = Math.Abs(cycles.ToN[i] - cycles.FromN[i]);
                largest = Math.Max(largest, range);
                damage += cycles.Weight[i] * Math.Pow(range, 5);
                counts[(int)(range / truth.BinWidthN)] += cycles.Weight[i];
            }

            // The truth keeps seven significant digits.
            Assert.Equal(truth.LargestRangeN, largest, 1e-6 * largest);
            Assert.Equal(truth.EquivalentRangeN, Math.Pow(damage / 1e6, 0.2), 1e-6 * truth.EquivalentRangeN);
            Assert.Equal(truth.Cycles, cycles.Weight.Sum());
            Assert.Equal(truth.CountByBin, counts);
        }
    }

    private static Scenario Baseline() => ScenarioFile.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "scenario.toml"));

    private static AeroError[] Simulate(int runs, ulong firstSeed, Func<Scenario, int, Scenario> change)
    {
        Scenario baseline = Baseline();
        CarDefinition car = ScenarioFile.ReadCar(baseline);
        ConcurrentDictionary<int, AeroError> errors = new();
        Parallel.For(0, runs, new ParallelOptions { MaxDegreeOfParallelism = 2 }, k =>
        {
            // Every second road is twice as rough.
            Scenario scenario = change(baseline, k) with
            {
                Seed = firstSeed + (ulong)k,
                Road = baseline.Road with { Seed = firstSeed + 50 + (ulong)k, SpectrumAtReference = k % 2 == 0 ? 1e-6 : 2e-6 },
            };
            SimulatedRun simulated = Simulator.Run(scenario, car);
            AeroResult aero = RunAnalysis.Review(simulated.Log, car, ReviewOptions.Default).Aero;
            Assert.Null(aero.WithheldBecause);
            errors[k] = AeroError.Of(aero.AtReference!, simulated.Truth);
        });
        return [.. errors.OrderBy(error => error.Key).Select(error => error.Value)];
    }

    private static string Table(AeroError[] errors) => string.Join(
        Environment.NewLine,
        errors.Select(error => string.Create(CultureInfo.InvariantCulture, $"front {error.FrontPct:+0.00;-0.00} % {error.FrontInside}, rear {error.RearPct:+0.00;-0.00} % {error.RearInside}")));

    private sealed record AeroError(double FrontPct, double RearPct, bool FrontInside, bool RearInside, double WidestHalfPct)
    {
        public static AeroError Of(AeroAtSpeed ours, SimulationTruth truth)
        {
            AeroTruth at = truth.AeroBySpeed.Single(row => Math.Abs(row.SpeedKmh - (ours.SpeedMps * 3.6)) < 0.01);
            return new(
                100 * ((ours.FrontLiftAreaM2.Value / at.FrontClaM2) - 1),
                100 * ((ours.RearLiftAreaM2.Value / at.RearClaM2) - 1),
                Holds(ours.FrontLiftAreaM2, at.FrontClaM2),
                Holds(ours.RearLiftAreaM2, at.RearClaM2),
                100 * Math.Max(ours.FrontLiftAreaM2.HalfWidth / at.FrontClaM2, ours.RearLiftAreaM2.HalfWidth / at.RearClaM2));
        }

        private static bool Holds(Estimate estimate, double truth) => estimate.Low95 <= truth && truth <= estimate.High95;
    }
}
