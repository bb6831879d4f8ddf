using System.Globalization;
using Telemetry.Car;
using Telemetry.Comparison;
using Telemetry.Review;
using Telemetry.Simulation;

namespace Telemetry.Tests.Comparison;

/// <summary>
/// The whole line from three simulated logs, A-B-A of six laps each, to the verdict. Each triple has its own road, driver, gusts, noise and zeros; the wind turns between the runs. Nothing was tuned on these seeds.
/// TELEMETRY_COMPARE_TRIPLES=n simulates n triples of each kind (1 by default) and prints them.
/// </summary>
public class SimulatedComparisonTests(ITestOutputHelper output)
{
    private const double Change = 0.015;

    private static int Triples => int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_COMPARE_TRIPLES"), NumberStyles.None, CultureInfo.InvariantCulture, out int n) ? n : 1;

    [Fact]
    public void The_interval_of_a_change_in_A_B_A_holds_the_truth_and_two_runs_of_one_setup_do_not_differ()
    {
        int found = 0;
        int alarms = 0;
        int covered = 0;
        for (int k = 0; k < Triples; k++)
        {
            (QuantityDifference real, QuantityDifference nil, double truth) = Compare(29100 + (10 * k));
            output.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"triple {k}: truth {100 * truth:0.00} %, found {real.Percent!.Value:0.00} ({real.Percent.Low95:0.00} to {real.Percent.High95:0.00}) {real.IsReal}, power {real.Power.PowerAtWanted:0.00}; A against A {nil.Percent!.Value:0.00} ({nil.Percent.Low95:0.00} to {nil.Percent.High95:0.00}) {nil.IsReal}"));
            found += real.IsReal ? 1 : 0;
            alarms += nil.IsReal ? 1 : 0;
            covered += real.Percent.Low95 <= 100 * truth && 100 * truth <= real.Percent.High95 ? 1 : 0;

            // An interval that holds everything is no answer: half of it stays below the change that is looked for.
            Assert.InRange(real.Percent.HalfWidth, 0.2, 1.5);
        }

        output.WriteLine($"found {found}, alarms {alarms}, truth inside {covered} of {Triples}");
        Assert.True(alarms <= Triples / 10 && covered >= Triples - (Triples / 10));
    }

    private static (QuantityDifference Real, QuantityDifference Nil, double Truth) Compare(int seed)
    {
        Scenario baseline = ScenarioFile.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "scenario.toml"));
        CarDefinition car = ScenarioFile.ReadCar(baseline);
        var truths = new double[3];
        var evidence = new RunEvidence[3];
        Parallel.For(0, 3, new ParallelOptions { MaxDegreeOfParallelism = 2 }, r =>
        {
            Scenario scenario = baseline with
            {
                Name = $"run {r + 1}",
                Seed = (ulong)(seed + r),
                Road = baseline.Road with { Seed = (ulong)seed },
                Wind = baseline.Wind with { SpeedMps = 2 + r, FromRad = seed + (0.3 * r), GustMps = 0.3 },
                Aero = r == 1 ? Scaled(baseline.Aero, 1 + Change) : baseline.Aero,
            };
            SimulatedRun run = Simulator.Run(scenario, car);
            evidence[r] = EvidenceOfRun.From(RunAnalysis.Review(run.Log, car, ReviewOptions.Default));
            AeroTruth at = run.Truth.AeroBySpeed.MinBy(row => Math.Abs((row.SpeedKmh / 3.6) - evidence[r].ReferenceSpeedMps))!;
            truths[r] = at.FrontClaM2 + at.RearClaM2;
        });
        return (Total(evidence, "A", "B", "A"), Total([evidence[0], evidence[2]], "A", "B"), (truths[1] / truths[0]) - 1);
    }

    private static QuantityDifference Total(RunEvidence[] runs, params string[] setups) =>
        SetupComparison.From(runs, new() { Setups = [.. setups] }).Differences[0].Quantities.Single(q => q.Kind == ComparedKind.TotalLiftArea);

    private static AeroDefinition Scaled(AeroDefinition aero, double factor) => aero with { Front = Scaled(aero.Front, factor), Rear = Scaled(aero.Rear, factor) };

    private static LiftAreaMap Scaled(LiftAreaMap map, double factor) => new(
        map.AtReferenceM2 * factor, map.PerFrontM * factor, map.PerRearM * factor, map.PerFrontSquaredM * factor, map.PerRearSquaredM * factor);
}
