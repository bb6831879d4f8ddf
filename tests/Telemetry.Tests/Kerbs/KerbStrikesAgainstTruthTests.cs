using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Runs;
using Telemetry.Simulation;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.Kerbs;

/// <summary>Strikes found in simulated logs, with noise and unknown zeros, against what the simulated wheels really hit.</summary>
public class KerbStrikesAgainstTruthTests
{
    // README.md of the kerb stage has the figures over 24 runs; these few guard them. Nothing was tuned on these seeds.
    [Fact]
    public void Strikes_of_simulated_runs_are_found_with_their_peaks_and_little_else()
    {
        int counted = 0;
        int found = 0;
        int reported = 0;
        int right = 0;
        double worstPeak = 0;
        foreach (ulong seed in (ulong[])[301, 302, 303])
        {
            (SimulationTruth truth, KerbResult result) = Simulate(seed);
            List<KerbStrike> left = [.. result.Strikes];
            reported += left.Count;
            foreach (StrikeTruth strike in truth.Strikes)
            {
                Corner corner = Corners.FromCode(strike.Corner)!.Value;
                KerbStrike? match = left.Where(s => s.Corner == corner && Math.Abs(s.TimeS - strike.TimeS) < 0.25).MinBy(s => Math.Abs(s.TimeS - strike.TimeS));
                bool counts = strike.RiseN > 2 * truth.QuietScatterN[corner];
                counted += counts ? 1 : 0;
                if (match is null)
                {
                    continue;
                }

                left.Remove(match);
                right++;
                found += counts ? 1 : 0;
                worstPeak = counts ? Math.Max(worstPeak, Math.Abs((match.PeakLoadN / strike.PeakPushrodN) - 1)) : worstPeak;
            }
        }

        Assert.True(counted >= 30, $"only {counted} strikes to find");
        Assert.True(found >= 0.95 * counted, $"found {found} of {counted}");
        Assert.True(right >= 0.95 * reported, $"{right} of {reported} are right");
        Assert.True(worstPeak < 0.01, $"a peak is off by {worstPeak:0.0000}");
    }

    private static (SimulationTruth Truth, KerbResult Result) Simulate(ulong seed)
    {
        Scenario scenario = ScenarioFile.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "scenario.toml"));
        scenario = scenario with { Seed = seed, Laps = 3, Road = scenario.Road with { Seed = seed } };
        CarDefinition car = ScenarioFile.ReadCar(scenario);
        SimulatedRun simulated = Simulator.Run(scenario, car);
        WheelLoadSet wheels = WheelLoadFormation.From(ZeroOffsets.From(RunAssembly.From(simulated.Log, car), ZeroOptions.Default), WheelLoadOptions.Default);
        return (simulated.Truth, KerbStrikes.From(wheels, KerbOptions.Default));
    }
}
