using System.Globalization;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Review;
using Telemetry.Simulation;

namespace Telemetry.Tests.Aero;

/// <summary>
/// Whole simulated runs through the whole analysis: error against the truth and share inside the interval. TELEMETRY_AERO_RUNS=200 with the tables asked for by name makes those
/// of src/Telemetry/Aero/README.md (an hour on two cores). The seeds are used nowhere else.
/// </summary>
public class SimulatedCoverageTests(ITestOutputHelper output)
{
    private const double ReferenceMps = 280 / 3.6;
    private const ulong FirstSeed = 880_000;

    /// <summary>Geometry, masses and gains as the car file says: what the method itself errs by.</summary>
    [Fact(Explicit = true)]
    public void Table_of_accuracy()
    {
        output.WriteLine("| weather | runs | front bias | front rms | rear bias | rear rms | worst | inside: front, rear, total, balance | half width front, rear | wind vector rms, m/s |");
        Report("still air", 20, 8, (s, _) => s with { Wind = s.Wind with { SpeedMps = 0, GustMps = 0 } });
        Report("4 m/s, gusts 0.6 m/s", 20, 8, (s, k) => s with { Wind = s.Wind with { SpeedMps = 4, FromRad = Math.Tau * k / 20, GustMps = 0.6 } });
    }

    /// <summary>Every line of the budget drawn as it is stated (<see cref="DrawnRun"/>); TELEMETRY_AERO_LAPS=2 makes the rows of so many laps alone.</summary>
    [Fact(Explicit = true)]
    public void Table_of_coverage_in_full_runs()
    {
        int runs = int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_AERO_RUNS"), CultureInfo.InvariantCulture, out int many) ? many : 4;
        output.WriteLine("| weather | runs | front bias | front rms | rear bias | rear rms | worst | inside: front, rear, total, balance | half width front, rear | wind vector rms, m/s |");
        int[] lapCounts = int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_AERO_LAPS"), CultureInfo.InvariantCulture, out int only) ? [only] : [2, 4];
        foreach (int laps in lapCounts)
        {
            Report($"still air, {laps} laps", runs, laps, (s, k) => s with { Wind = s.Wind with { SpeedMps = 0, GustMps = 0 } }, drawAll: true);
            Report($"4 m/s, gusts 1 m/s, {laps} laps", runs, laps, (s, k) => s with { Wind = s.Wind with { SpeedMps = 4, FromRad = 0.7 * k, GustMps = 1 } }, drawAll: true);
        }
    }

    /// <summary>Each error of <see cref="DrawnRun"/> alone, beside the lines of the budget that stand for it.</summary>
    [Fact(Explicit = true)]
    public void Table_of_single_errors()
    {
        string folder = Path.Combine(Repository.Root, "sample-runs", "baseline");
        CarDefinition car = CarFile.Read(Path.Combine(folder, "car.toml"));
        Scenario scenario = ScenarioFile.Read(Path.Combine(folder, "scenario.toml")) with { Laps = 4, Seed = FirstSeed };
        scenario = scenario with { Wind = scenario.Wind with { SpeedMps = 0, GustMps = 0 } };
        (double Front, double Rear, double Balance, AeroResult Aero) Errors(string? only, double deviations)
        {
            (RunLog log, SimulationTruth truths, CarDefinition stated) = DrawnRun.WithOnly(scenario, car, only, deviations);
            AeroResult aero = RunAnalysis.Review(log, stated, ReviewOptions.Default with { Aero = AeroOptions.Default with { AtSpeedMps = ReferenceMps } }).Aero;
            (double front, double rear) = Truth(truths, ReferenceMps * 3.6);
            AeroAtSpeed at = aero.AtReference!;
            return (100 * ((at.FrontLiftAreaM2.Value / front) - 1), 100 * ((at.RearLiftAreaM2.Value / rear) - 1), at.BalanceFrontPct.Value - (100 * front / (front + rear)), aero);
        }

        var none = Errors(null, 0);
        double frontM2 = none.Aero.AtReference!.FrontLiftAreaM2.Value;
        double rearM2 = none.Aero.AtReference!.RearLiftAreaM2.Value;
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"without errors: {none.Front:+0.000;-0.000} {none.Rear:+0.000;-0.000} {none.Balance:+0.000;-0.000}"));
        foreach (UncertaintyPart part in none.Aero.Budget)
        {
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"line | {part.Name} | {100 * part.FrontLiftAreaM2 / frontM2:0.000} | {100 * part.RearLiftAreaM2 / rearM2:0.000} | {part.BalanceFrontPct:0.000} | {part.Input}"));
        }

        foreach (string name in DrawnRun.Names(scenario, car))
        {
            foreach (double deviations in new[] { 1.0, -1.0 })
            {
                var moved = Errors(name, deviations);
                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"error | {name} | {deviations:+0;-0} | {moved.Front - none.Front:+0.000;-0.000} | {moved.Rear - none.Rear:+0.000;-0.000} | {moved.Balance - none.Balance:+0.000;-0.000}"));
            }
        }
    }

    private void Report(string name, int runs, int laps, Func<Scenario, int, Scenario> weather, bool drawAll = false)
    {
        string folder = Path.Combine(Repository.Root, "sample-runs", "baseline");
        CarDefinition car = CarFile.Read(Path.Combine(folder, "car.toml"));
        Scenario scenario = ScenarioFile.Read(Path.Combine(folder, "scenario.toml")) with { Laps = laps };
        double[] sums = new double[8];
        double worst = 0;
        int[] inside = new int[4];
        int given = 0;
        Dictionary<string, (double Front, double Rear)> lines = [];
        for (int k = 0; given < runs && k < 2 * runs; k++)
        {
            Scenario drawn = weather(scenario, k) with { Seed = FirstSeed + (ulong)k };
            drawn = drawn with { Road = drawn.Road with { Seed = FirstSeed + 500 + (ulong)k } };
            RunLog log;
            SimulationTruth truths;
            CarDefinition stated = car;
            try
            {
                SimulatedRun? plain = drawAll ? null : Simulator.Run(drawn, car);
                (log, truths, stated) = plain is null ? DrawnRun.Of(drawn, car, k) : (plain.Log, plain.Truth, car);
            }
            catch (InputError cannotDrive)
            {
                // A lift area that changes so much with ride height that the suspension comes to its end is no car that drives: the next draw takes its place.
                output.WriteLine($"{name}, run {k}: {cannotDrive.Message}");
                continue;
            }

            AeroResult aero = RunAnalysis.Review(log, stated, ReviewOptions.Default with { Aero = AeroOptions.Default with { AtSpeedMps = ReferenceMps } }).Aero;
            if (aero.AtReference is not { } at)
            {
                output.WriteLine($"{name}, run {k}: {aero.WithheldBecause}");
                continue;
            }

            (double front, double rear) = Truth(truths, ReferenceMps * 3.6);
            double f = 100 * ((at.FrontLiftAreaM2.Value / front) - 1);
            double r = 100 * ((at.RearLiftAreaM2.Value / rear) - 1);
            given++;
            foreach (UncertaintyPart part in aero.Budget)
            {
                (double ofFront, double ofRear) = lines.GetValueOrDefault(part.Name);
                lines[part.Name] = (ofFront + Math.Pow(100 * part.FrontLiftAreaM2 / front, 2), ofRear + Math.Pow(100 * part.RearLiftAreaM2 / rear, 2));
            }

            sums[0] += f;
            sums[1] += f * f;
            sums[2] += r;
            sums[3] += r * r;
            sums[4] += 100 * at.FrontLiftAreaM2.HalfWidth / front;
            sums[5] += 100 * at.RearLiftAreaM2.HalfWidth / rear;
            worst = Math.Max(worst, Math.Max(Math.Abs(f), Math.Abs(r)));
            inside[0] += Holds(at.FrontLiftAreaM2, front);
            inside[1] += Holds(at.RearLiftAreaM2, rear);
            inside[2] += Holds(at.TotalLiftAreaM2, front + rear);
            inside[3] += Holds(at.BalanceFrontPct, 100 * front / (front + rear));
            if (aero.Wind.SpeedMps is { } speed && aero.Wind.FromRad is { } from)
            {
                double truth = drawn.Wind.SpeedMps;
                sums[6] += (speed.Value * speed.Value) + (truth * truth) - (2 * speed.Value * truth * Math.Cos(from.Value - drawn.Wind.FromRad));
                sums[7]++;
            }
        }

        double Share(int i) => 100.0 * inside[i] / given;
        output.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"| {name} | {given} | {sums[0] / given:+0.00;-0.00} | {Math.Sqrt(sums[1] / given):0.00} | {sums[2] / given:+0.00;-0.00} | {Math.Sqrt(sums[3] / given):0.00} | {worst:0.00} | {Share(0):0.0}, {Share(1):0.0}, {Share(2):0.0}, {Share(3):0.0} | {sums[4] / given:0.00}, {sums[5] / given:0.00} | {Math.Sqrt(sums[6] / Math.Max(1, sums[7])):0.00} |"));
        IEnumerable<string> budget = lines.OrderByDescending(line => line.Value.Front + line.Value.Rear).Take(14)
            .Select(line => string.Create(CultureInfo.InvariantCulture, $"{line.Key} {Math.Sqrt(line.Value.Front / given):0.00}, {Math.Sqrt(line.Value.Rear / given):0.00}"));
        output.WriteLine($"{name}, standard uncertainties front, rear, %: {string.Join("; ", budget)}");
    }

    private static int Holds(Estimate estimate, double truth) => truth >= estimate.Low95 && truth <= estimate.High95 ? 1 : 0;

    private static (double Front, double Rear) Truth(SimulationTruth truth, double speedKmh)
    {
        var rows = truth.AeroBySpeed;
        int i = 1;
        while (i < rows.Length - 1 && rows[i].SpeedKmh < speedKmh)
        {
            i++;
        }

        double u = (speedKmh - rows[i - 1].SpeedKmh) / (rows[i].SpeedKmh - rows[i - 1].SpeedKmh);
        return (
            rows[i - 1].FrontClaM2 + (u * (rows[i].FrontClaM2 - rows[i - 1].FrontClaM2)),
            rows[i - 1].RearClaM2 + (u * (rows[i].RearClaM2 - rows[i - 1].RearClaM2)));
    }
}
