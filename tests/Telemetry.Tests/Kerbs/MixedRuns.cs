using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Runs;
using Telemetry.Simulation;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.Kerbs;

/// <summary>Simulated runs in which kerbs are mixed with bumps across the road, a plank that touches, gear shifts and cell spikes.</summary>
/// <remarks>Seeds 1 to 99 were looked at while the rules were made; figures are reported on seeds from 1001 on.</remarks>
internal static class MixedRuns
{
    /// <summary>One run: truth, loads and what the kerb stage makes of them.</summary>
    public sealed record Case(SimulationTruth Truth, WheelLoadSet Wheels, KerbResult Result);

    /// <summary>Simulates a run and analyses it.</summary>
    public static Case Of(ulong seed, string car = "baseline", int laps = 3)
    {
        Scenario scenario = ScenarioOf(seed, car, laps);
        CarDefinition definition = ScenarioFile.ReadCar(scenario);
        SimulatedRun simulated = Simulator.Run(scenario, definition);
        Run run = RunAssembly.From(simulated.Log, definition);
        run = Telemetry.Cleaning.ChannelCleaning.From(run, Telemetry.Health.HealthCheck.From(run, Telemetry.Health.HealthOptions.Default), Telemetry.Cleaning.CleaningOptions.Default).Run;
        WheelLoadSet wheels = WheelLoadFormation.From(ZeroOffsets.From(run, ZeroOptions.Default), WheelLoadOptions.Default);
        return new(simulated.Truth, wheels, KerbStrikes.From(wheels, KerbOptions.Default));
    }

    /// <summary>Kerbs of other heights and depths, eight bumps of other heights and skews, a plank that touches at speed, shifts and spikes; all from the seed.</summary>
    public static Scenario ScenarioOf(ulong seed, string car, int laps)
    {
        Random random = new((int)seed);
        double Between(double low, double high) => low + ((high - low) * random.NextDouble());
        Scenario scenario = ScenarioFile.Read(Path.Combine(Repository.Root, "sample-runs", car, "scenario.toml"));
        double depth = Between(0.5, 0.9);
        double[] places = [310, 640, 800, 1120, 1560, 1790, 2350, 2700];
        return scenario with
        {
            Seed = seed,
            Laps = laps,
            Road = scenario.Road with { Seed = seed, SpectrumAtReference = Between(0.8e-6, 2.5e-6) },
            Kerbs = [.. scenario.Kerbs.Where(kerb => kerb.OnlyLaps.IsEmpty).Select(kerb => kerb with { Depth = depth, DepthScatter = 0.15, HeightM = Between(0.026, 0.042), HitShare = 0.9 })],
            Disturbances = new DisturbanceDefinition
            {
                Bumps = [.. places.Select((place, i) => new BumpDefinition
                {
                    Name = $"bump {i + 1}",
                    DistanceM = place + Between(-40, 40),
                    LengthM = Between(1.2, 4),
                    HeightM = Between(0.012, 0.028),
                    RightShare = Between(0.75, 1.3),
                })],
                Plank = new PlankDefinition(Between(0.0085, 0.0105), Between(0.016, 0.019)),
                Shifts = new ShiftDefinition([30, 38, 46, 54, 62, 70]),
                CellSpikes = new CellSpikeDefinition(4, 4000),
            },
        };
    }

    /// <summary>What was found of what was there.</summary>
    public sealed record Score
    {
        public int Counted { get; set; }

        public int Found { get; set; }

        public int Reported { get; set; }

        public int Right { get; set; }

        public int Bumps { get; set; }

        public int BumpsAsStrikes { get; set; }

        public int BumpsNamed { get; set; }

        public int Bottomings { get; set; }

        public int BottomingsNamed { get; set; }

        public int NotTold { get; set; }

        /// <summary>Bumps reported as strikes that only one wheel of the axle felt, because the inner one hung: no load tells them from a kerb. Counted apart.</summary>
        public int OneSidedBumps { get; set; }

        public List<double> PeakErrors { get; } = [];

        public List<double> PeakScores { get; } = [];

        public List<string> Faults { get; } = [];
    }

    /// <summary>One finding for one truth; a second one on the same strike is false. Truth counts from a rise of twice the quiet scatter on.</summary>
    public static void Add(Score score, ulong seed, SimulationTruth truth, KerbResult result)
    {
        List<KerbStrike> left = [.. result.Strikes];
        score.Reported += left.Count;
        foreach (StrikeTruth strike in truth.Strikes)
        {
            Corner corner = Corners.FromCode(strike.Corner)!.Value;
            bool counts = strike.RiseN > 2 * truth.QuietScatterN[corner];
            score.Counted += counts ? 1 : 0;
            KerbStrike? match = left.Where(s => s.Corner == corner && Math.Abs(s.TimeS - strike.TimeS) < 0.25).MinBy(s => Math.Abs(s.TimeS - strike.TimeS));
            if (match is null)
            {
                if (counts)
                {
                    KerbStrike? other = result.OtherEvents.FirstOrDefault(e => e.Corner == corner && Math.Abs(e.TimeS - strike.TimeS) < 0.25);
                    score.Faults.Add(FormattableString.Invariant($"{seed} missed {strike.Corner} lap {strike.Lap} t {strike.TimeS:0.000} rise {strike.RiseN:0} ({strike.RiseN / truth.QuietScatterN[corner]:0.0} scatters) {strike.Kerb} {other?.Telling.Reason}"));
                }

                continue;
            }

            left.Remove(match);
            score.Right++;
            score.Found += counts ? 1 : 0;
            if (counts)
            {
                score.PeakErrors.Add((match.PeakLoadN / strike.PeakPushrodN) - 1);
                score.PeakScores.Add((strike.PeakPushrodN - match.TruePeakN) / match.TruePeakUncertaintyN);
            }
        }

        foreach (KerbStrike wrong in left)
        {
            EventTruth? near = truth.Events?.Where(e => Math.Abs(e.TimeS - wrong.TimeS) < 0.4).MinBy(e => Math.Abs(e.TimeS - wrong.TimeS));
            if (near is { Kind: "bump" } && Math.Abs(near.TimeS - wrong.TimeS) < 0.1 && truth.Events!.Value.Any(e => e.Kind == "bump" && IsOneSided(e, wrong, truth)))
            {
                score.OneSidedBumps++;
                continue;
            }

            StrikeTruth? kerb = truth.Strikes.MinBy(s => Math.Abs(s.TimeS - wrong.TimeS));
            score.Faults.Add(FormattableString.Invariant($"{seed} false {wrong.Corner.Code()} lap {wrong.Lap} t {wrong.TimeS:0.000} peak {wrong.DynamicPeakN:0} near {near?.Kind} {near?.Where} {near?.TimeS - wrong.TimeS:0.000}; strike {kerb?.Corner} {kerb?.TimeS - wrong.TimeS:0.000} ** {wrong.Telling.Reason}"));
        }

        foreach (EventTruth bump in (truth.Events ?? []).Where(e => e.Kind == "bump"))
        {
            Corner corner = Corners.FromCode(bump.Where)!.Value;
            if (truth.Strikes.Any(s => Math.Abs(s.TimeS - bump.TimeS) < 0.4))
            {
                continue;
            }

            score.Bumps += bump.RiseN > 2 * truth.QuietScatterN[corner] ? 1 : 0;
            score.BumpsAsStrikes += result.Strikes.Any(s => s.Corner == corner && Math.Abs(s.TimeS - bump.TimeS) < 0.1) ? 1 : 0;
            score.BumpsNamed += bump.RiseN > 2 * truth.QuietScatterN[corner] && result.OtherEvents.Any(s => s.Corner == corner && s.Telling.Class == StrikeClass.Bump && Math.Abs(s.TimeS - bump.TimeS) < 0.1) ? 1 : 0;
        }

        foreach (EventTruth contact in (truth.Events ?? []).Where(e => e.Kind == "bottoming" && e.PeakN > 1500))
        {
            score.Bottomings++;
            score.BottomingsNamed += result.OtherEvents.Any(s => s.Telling.Class == StrikeClass.Bottoming && Math.Abs(s.TimeS - contact.TimeS) < 0.15) ? 1 : 0;
        }

        score.NotTold += result.OtherEvents.Count(e => e.Telling.Class == StrikeClass.NotTold);
    }

    // By the truth: the bump's rise at the axle's other wheel was under half of that at the wheel that was reported.
    private static bool IsOneSided(EventTruth bump, KerbStrike wrong, SimulationTruth truth)
    {
        if (bump.Where != wrong.Corner.Code() || Math.Abs(bump.TimeS - wrong.TimeS) > 0.1)
        {
            return false;
        }

        string across = ((Corner)((int)wrong.Corner ^ 1)).Code();
        return !truth.Events!.Value.Any(e => e.Kind == "bump" && e.Where == across && Math.Abs(e.TimeS - bump.TimeS) < 0.1 && e.RiseN > bump.RiseN / 2);
    }
}
