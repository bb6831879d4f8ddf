using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.Simulation;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.Aero;

/// <summary>Simulated runs of the baseline car at static ride heights of choice; road, driver, gusts, noise and zeros drawn anew by each seed.</summary>
internal static class SimulatedHeights
{
    /// <summary>A run with its truth.</summary>
    public sealed record Driven(RunOnMap Run, SimulationTruth Truth, Scenario Scenario);

    public static Scenario Baseline { get; } = ScenarioFile.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "scenario.toml"));

    public static Driven Run(ulong seed, double frontMm, double rearMm, int laps, double windMps = 0, double gustMps = 0)
    {
        CarDefinition file = ScenarioFile.ReadCar(Baseline);
        PerAxle<double> heights = new(file.Setup.RideHeightM!.Front + (frontMm / 1000), file.Setup.RideHeightM.Rear + (rearMm / 1000));
        CarDefinition car = file with { Setup = file.Setup with { RideHeightM = heights } };
        Scenario scenario = Baseline with
        {
            Seed = seed,
            Laps = laps,
            Wind = new(windMps, seed % 7, gustMps),
            Road = Baseline.Road with { Seed = seed + 50 },
            TrueCar = Baseline.TrueCar with { RideHeightM = heights },
            Sensors = Baseline.Sensors with { FastRateHz = 200 },
        };
        SimulatedRun run = Simulator.Run(scenario, car);
        WheelLoadSet wheels = WheelLoadFormation.From(ZeroOffsets.From(RunAssembly.From(run.Log, car), ZeroOptions.Default), WheelLoadOptions.Default);
        return new(new(FormattableString.Invariant($"seed {seed}"), wheels, AeroEstimate.From(wheels, AeroOptions.Default)), run.Truth, scenario);
    }

    /// <summary>True slopes of the lift areas at two ride heights, m2 per metre, and of the balance, % per metre.</summary>
    /// <remarks>Drag's moment and the links' reaction to it shift the lift areas by constants, so that slopes are those of the maps; the balance's slope needs them: front - D h_D / L, rear + D h_D / L less what the links carry.</remarks>
    public static (double Front, double Rear, double BalancePct) Slope(Scenario scenario, CarDefinition car, HeightPair at, double perFront, double perRear)
    {
        AeroDefinition aero = scenario.Aero;
        double x = at.FrontM - aero.ReferenceRideHeightM.Front;
        double y = at.RearM - aero.ReferenceRideHeightM.Rear;
        double drag = aero.DragAreaM2 / car.Geometry.WheelbaseM.Value;
        double h = car.Geometry.CentreHeightM.Value;
        double front = aero.Front.At(x, y) - (drag * aero.DragHeightM) + (car.Suspension.Front.LinkageShareDriving * drag * h);
        double rear = aero.Rear.At(x, y) + (drag * aero.DragHeightM) - (car.Suspension.Rear.LinkageShareDriving * drag * h);
        double frontSlope = Along(aero.Front);
        double rearSlope = Along(aero.Rear);
        double total = front + rear;
        return (frontSlope, rearSlope, 100 * ((frontSlope * rear) - (front * rearSlope)) / (total * total));

        double Along(LiftAreaMap map) =>
            (perFront * (map.PerFrontM + (2 * map.PerFrontSquaredM * x))) + (perRear * (map.PerRearM + (2 * map.PerRearSquaredM * y)));
    }
}
