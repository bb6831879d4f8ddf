using System.Collections.Concurrent;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Simulation;
using Telemetry.Tests.Simulation;

namespace Telemetry.Tests.Health;

/// <summary>A clean simulated run of the bench, and the car it was run with.</summary>
/// <param name="Seed">Its seed.</param>
/// <param name="RateHz">Rate of load cells and dampers.</param>
/// <param name="Log">The log.</param>
/// <param name="Car">The car file.</param>
/// <param name="Truth">What was really so.</param>
internal sealed record BenchRun(int Seed, int RateHz, RunLog Log, CarDefinition Car, SimulationTruth Truth)
{
    /// <summary>Name in the log of a role's channel.</summary>
    public string Name(ChannelRole role) => Car.Mapping(role)!.Name;
}

/// <summary>
/// Clean runs of two laps with one scenario a seed: two cars, road from a tenth to a quarter of ISO 8608 class A's mean, wind, kerbs and their depth,
/// rates of 1000, 500, 200 and 50 Hz, fine and coarse speed, zero drift, friction. Each is simulated once.
/// </summary>
internal static class BenchRuns
{
    private static readonly ConcurrentDictionary<int, Lazy<BenchRun>> Kept = [];

    private static readonly Lazy<(Scenario Scenario, CarDefinition Car)> Demo = new(() =>
    {
        Scenario scenario = ScenarioFile.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "scenario.toml"));
        return (scenario, ScenarioFile.ReadCar(scenario));
    });

    /// <summary>The run of a seed, kept for the next caller; seven of ten are logged at 1000 Hz.</summary>
    public static BenchRun Of(int seed) => Kept.GetOrAdd(seed, s => new Lazy<BenchRun>(() => Make(s, RateOf(s)))).Value;

    /// <summary>The rate that a seed's run is logged at.</summary>
    public static int RateOf(int seed) => (seed % 10) switch
    {
        3 => 200,
        6 => 500,
        9 => seed % 20 == 9 ? 50 : 200,
        _ => 1000,
    };

    /// <summary>Simulates the run of a seed at a rate, without keeping it.</summary>
    public static BenchRun Make(int seed, int rateHz)
    {
        Random random = new(7919 * (seed + 1));
        bool isDemo = seed % 2 == 0;
        Scenario scenario = isDemo ? Demo.Value.Scenario : InventedCar.Scenario;
        CarDefinition car = isDemo ? Demo.Value.Car : WithRanges(InventedCar.Car);
        // On the roughest of these roads the floor touches now and then: a true reading at the end of the range, and no false alarm.
        car = car with { Channels = [.. car.Channels.Select(m => m.Role is ChannelRole.RideHeightFront or ChannelRole.RideHeightRear ? m with { Range = null } : m)] };
        bool isCoarseSpeed = seed % 3 == 1;
        if (isCoarseSpeed)
        {
            car = car with { Channels = [.. car.Channels.Select(m => m.Role == ChannelRole.Speed ? m with { Resolution = 1 / 3.6 } : m)] };
        }

        double drift = seed % 4 == 3 ? 0.4 : 0;
        LoadCellDefinition cells = scenario.Sensors.LoadCell with
        {
            NoiseN = 2 + (4 * random.NextDouble()),
            ZeroScatterN = 40,
            DriftNps = new PerCorner<double>(drift, -drift / 2, 0, drift),
        };
        int medium = Math.Min(200, rateHz);
        SensorDefinition sensors = scenario.Sensors with
        {
            LoadCell = cells,
            FastRateHz = rateHz,
            MediumRateHz = rateHz == 500 ? 100 : medium,
            SlowRateHz = rateHz == 50 ? 10 : seed % 2 == 0 ? 50 : 100,
        };
        double depth = 0.6 + (0.4 * random.NextDouble());
        scenario = scenario with
        {
            Name = $"bench-{seed}",
            Seed = (ulong)(1000 + seed),
            Laps = 2,
            StandstillBeforeS = 8,
            StandstillAfterS = 6,
            StepRateHz = 4000,
            Wind = new WindDefinition(6 * random.NextDouble(), 2 * Math.PI * random.NextDouble(), 0.5 * random.NextDouble()),
            Road = scenario.Road with { Seed = (ulong)(50 + seed), SpectrumAtReference = 0.7e-6 * Math.Pow(6, random.NextDouble()) },
            Kerbs = [.. scenario.Kerbs.Select(kerb => kerb with { Depth = depth })],
            Sensors = sensors,
        };
        SimulatedRun run = Simulator.Run(scenario, car);
        return new(seed, rateHz, run.Log, car, run.Truth);
    }

    private static CarDefinition WithRanges(CarDefinition car) => car with
    {
        Channels = [.. car.Channels.Select(mapping => mapping.Role switch
        {
            <= ChannelRole.PushrodLoadRR => mapping with { Range = (-15_000, 25_000), Resolution = 2 },
            <= ChannelRole.DamperTravelRR => mapping with { Range = (-0.06, 0.08) },
            _ => mapping,
        })],
    };
}
