using System.Collections.Concurrent;
using Telemetry.Car;
using Telemetry.CrossChecks;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.Simulation;
using Telemetry.Tests.Simulation;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.CrossChecks;

/// <summary>Clean simulated logs, no two alike: two cars, three logging rates, roads, winds, gusts, kerbs and zeros drawn anew by each seed.</summary>
internal static class SimulatedLogs
{
    private static readonly ConcurrentDictionary<(int Seed, int Rate, int Laps), Lazy<(RunLog Log, CarDefinition Car)>> Kept = new();

    /// <summary>A log of a seed at a rate; kept, since many faults are put into one.</summary>
    public static (RunLog Log, CarDefinition Car) Keep(int seed, int rateHz, int laps) =>
        Kept.GetOrAdd((seed, rateHz, laps), key => new(() => Make(key.Seed, key.Rate, key.Laps))).Value;

    /// <summary>A log of a seed, at 50, 200 or 1000 Hz in turn.</summary>
    public static (RunLog Log, CarDefinition Car) Vary(int seed, int laps) => Make(seed, (seed % 3) switch { 0 => 50, 1 => 200, _ => 1000 }, laps);

    /// <summary>The stage's answer to a log.</summary>
    public static CrossCheckResult Check(RunLog log, CarDefinition car) => SensorCrossChecks.From(Wheels(log, car), CrossCheckOptions.Default);

    public static WheelLoadSet Wheels(RunLog log, CarDefinition car) =>
        WheelLoadFormation.From(ZeroOffsets.From(RunAssembly.From(log, car), ZeroOptions.Default), WheelLoadOptions.Default);

    private static (RunLog Log, CarDefinition Car) Make(int seed, int rateHz, int laps)
    {
        bool isInvented = seed % 2 == 1;
        Scenario sample = ScenarioFile.Read(Path.Combine(Repository.Root, "sample-runs", seed % 4 == 2 ? "rough" : "baseline", "scenario.toml"));
        CarDefinition car = isInvented ? InventedCar.Car : ScenarioFile.ReadCar(sample);
        Scenario scenario = isInvented ? InventedCar.Scenario : sample;
        return (
            Simulator.Run(
                scenario with
                {
                    Seed = 9100 + (ulong)seed,
                    Laps = laps,
                    Wind = scenario.Wind with { SpeedMps = seed % 5, FromRad = seed, GustMps = 0.3 * (seed % 3) },
                    Road = scenario.Road with { Seed = 9300 + (ulong)seed, SpectrumAtReference = (1 + (seed % 3)) * 1e-6 },
                    Sensors = scenario.Sensors with { FastRateHz = rateHz, MediumRateHz = Math.Min(rateHz, 200), SlowRateHz = Math.Min(rateHz, 50) },
                },
                car).Log,
            car);
    }
}
