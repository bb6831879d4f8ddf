using System.Globalization;
using MathNet.Numerics.Distributions;
using MathNet.Numerics.LinearAlgebra;
using Telemetry.Aero;
using Telemetry.Car;

namespace Telemetry.Tests.Aero;

/// <summary>
/// How often 95 % intervals hold the truth, over thousands of runs drawn as windows, by each way of making them. TELEMETRY_AERO_ESTIMATES=1000 with the tables asked for by
/// name makes those of src/Telemetry/Aero/README.md.
/// </summary>
public class PassCoverageTests(ITestOutputHelper output)
{
    private const double Gain = 0.003;
    private const double DensityShare = 0.0036;
    private const double DriftMps2 = 0.03;
    private const double WindowNoiseN = 40;
    private const double SpeedMps = 77.5;
    private const int FirstSeed = 50_000;
    private const int PriorSeeds = 100_000;
    private static readonly double[] TwoWays = [0.35, 0.35 + Math.PI];
    private static readonly int[] PassCounts = [4, 6, 10, 20];

    /// <summary>Errors that a run may have; the last breaks the model: an error of each pass that is no wind.</summary>
    private static readonly ErrorModel[] Models =
    [
        new("still air", 0, 0, 10, 0),
        new("steady wind 4 m/s", 4, 0, 10, 0),
        new("gusts 1 m/s", 0, 1, 10, 0),
        new("zero error 40 N a cell", 0, 0, 40, 0),
        new("friction of each pass 30 N", 0, 0, 10, 30),
    ];

    /// <summary>
    /// Rejects a method that holds a lift area in less than 94 % or more than 97 %: each bound is passed by chance once in ten thousand (binomial). The balance, no
    /// lift area, has the lower bound alone.
    /// </summary>
    [Theory]
    [InlineData(0, 4)]
    [InlineData(0, 6)]
    [InlineData(1, 10)]
    [InlineData(2, 4)]
    [InlineData(3, 4)]
    public void Intervals_hold_the_truth_as_often_as_they_say(int model, int passes)
    {
        const int Runs = 400;
        const double Chance = 1e-4;
        int fewest = Enumerable.Range(0, Runs).First(n => new Binomial(0.94, Runs).CumulativeDistribution(n) >= Chance);
        int most = Enumerable.Range(0, Runs).First(n => new Binomial(0.97, Runs).CumulativeDistribution(n) >= 1 - Chance);

        int[] inside = new int[4];
        for (int k = 0; k < Runs; k++)
        {
            Add(inside, InUse(Draw(Models[model], passes, k)));
        }

        for (int i = 0; i < inside.Length; i++)
        {
            Assert.InRange(inside[i], fewest, i < 3 ? most : Runs);
        }
    }

    /// <summary>What a wind model gives: a jackknife that does not know of wind takes a steady one, seen from both ends, for scatter.</summary>
    [Fact]
    public void The_interval_is_narrower_than_the_jackknife_of_a_model_without_wind()
    {
        double ours = 0;
        double jackknife = 0;
        for (int k = 0; k < 20; k++)
        {
            DrivenPasses drawn = Draw(Models[2], 6, k);
            ours += InUse(drawn).At.TotalLiftAreaM2.HalfWidth;
            jackknife += Plain(drawn);
        }

        Assert.True(ours < jackknife, FormattableString.Invariant($"{ours / 20} m2 against {jackknife / 20} m2"));
    }

    [Fact(Explicit = true)]
    public void Table_of_coverage()
    {
        int runs = Estimates();
        output.WriteLine("| error model | passes | front | rear | total | balance | half width of total, % | CR3 without wind, % | mean error, % |");
        foreach (ErrorModel model in Models)
        {
            foreach (int passes in PassCounts)
            {
                int[] inside = new int[4];
                double width = 0;
                double plain = 0;
                double error = 0;
                for (int k = 0; k < runs; k++)
                {
                    DrivenPasses drawn = Draw(model, passes, k);
                    (AeroAtSpeed At, double Front, double Rear) used = InUse(drawn);
                    Add(inside, used);
                    double total = used.Front + used.Rear;
                    width += 100 * used.At.TotalLiftAreaM2.HalfWidth / total / runs;
                    plain += 100 * Plain(drawn) / total / runs;
                    error += 100 * ((used.At.TotalLiftAreaM2.Value / total) - 1) / runs;
                }

                double Share(int i) => 100.0 * inside[i] / runs;
                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {model.Name} | {passes} | {Share(0):0.0} | {Share(1):0.0} | {Share(2):0.0} | {Share(3):0.0} | {width:0.00} | {plain:0.00} | {error:+0.00;-0.00} |"));
            }
        }
    }

    /// <summary>What the prior of the gusts does, on seeds apart from the tables of coverage.</summary>
    [Fact(Explicit = true)]
    public void Table_of_gust_priors()
    {
        int runs = Estimates();
        (string Name, AeroOptions Options)[] priors =
        [
            ("1 m/s", AeroOptions.Default with { CalmShare = 0 }),
            ("0.3 of 0.1 m/s", AeroOptions.Default with { CalmShare = 0.3, CalmGustScaleMps = 0.1 }),
            ("half of 0.1 m/s", AeroOptions.Default with { CalmShare = 0.5, CalmGustScaleMps = 0.1 }),
            ("half of 0.05 m/s", AeroOptions.Default with { CalmShare = 0.5, CalmGustScaleMps = 0.05 }),
            ("half of 0.03 m/s", AeroOptions.Default with { CalmShare = 0.5, CalmGustScaleMps = 0.03 }),
        ];
        output.WriteLine($"| gusts, m/s | passes | {string.Join(" | ", priors.Select(p => p.Name))} |");
        foreach (int passes in new[] { 4, 6 })
        {
            foreach (double gust in new[] { 0, 0.1, 0.2, 0.3, 0.5, 1, 2 })
            {
                int[][] inside = [.. priors.Select(_ => new int[4])];
                double[] width = new double[priors.Length];
                for (int k = 0; k < runs; k++)
                {
                    DrivenPasses drawn = Draw(new("", 4, gust, 10, 0), passes, PriorSeeds + k);
                    for (int i = 0; i < priors.Length; i++)
                    {
                        (AeroAtSpeed At, double Front, double Rear) used = InUse(drawn, priors[i].Options);
                        Add(inside[i], used);
                        width[i] += 100 * used.At.TotalLiftAreaM2.HalfWidth / (used.Front + used.Rear) / runs;
                    }
                }

                string cells = string.Join(" | ", priors.Select((_, i) => string.Create(CultureInfo.InvariantCulture, $"{100.0 * inside[i][2] / runs:0.0} ({width[i]:0.00})")));
                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {gust:0.0} | {passes} | {cells} |"));
            }
        }
    }

    [Fact(Explicit = true)]
    public void Table_of_candidates()
    {
        int runs = Estimates();
        int n = IntervalCandidates.Names.Length;
        output.WriteLine($"| error model | passes | {string.Join(" | ", IntervalCandidates.Names)} |");
        foreach (ErrorModel model in Models)
        {
            foreach (int passes in PassCounts)
            {
                int[] inside = new int[n];
                double[] width = new double[n];
                for (int k = 0; k < runs; k++)
                {
                    DrivenPasses drawn = Draw(model, passes, k);
                    (double truth, double value, double[] halves) = Candidates(drawn);
                    for (int i = 0; i < n; i++)
                    {
                        inside[i] += Math.Abs(value - truth) <= halves[i] ? 1 : 0;
                        width[i] += 100 * halves[i] / truth / runs;
                    }
                }

                string cells = string.Join(" | ", Enumerable.Range(0, n).Select(i => string.Create(CultureInfo.InvariantCulture, $"{100.0 * inside[i] / runs:0.0} ({width[i]:0.00})")));
                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {model.Name} | {passes} | {cells} |"));
            }
        }
    }

    private static int Estimates() =>
        int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_AERO_ESTIMATES"), CultureInfo.InvariantCulture, out int many) ? many : 100;

    private static void Add(int[] inside, (AeroAtSpeed At, double Front, double Rear) one)
    {
        double total = one.Front + one.Rear;
        inside[0] += Holds(one.At.FrontLiftAreaM2, one.Front);
        inside[1] += Holds(one.At.RearLiftAreaM2, one.Rear);
        inside[2] += Holds(one.At.TotalLiftAreaM2, total);
        inside[3] += Holds(one.At.BalanceFrontPct, 100 * one.Front / total);
    }

    private static int Holds(Estimate estimate, double truth) => truth >= estimate.Low95 && truth <= estimate.High95 ? 1 : 0;

    private static (AeroAtSpeed At, double Front, double Rear) InUse(DrivenPasses drawn, AeroOptions? chosen = null)
    {
        AeroOptions options = chosen ?? AeroOptions.Default;
        (AeroFit fit, _, List<SystematicPart> parts) = AeroEstimate.Fit(drawn.Evidence(), options, SpeedMps)!.Value;
        (double front, double rear) = drawn.Run.Truth(SpeedMps);
        return (new AeroInterval(fit, parts).At(SpeedMps), front, rear);
    }

    /// <summary>Half width of the total lift area by CR3 where the model knows no wind; what an unknown wind would add is left out.</summary>
    private static double Plain(DrivenPasses drawn)
    {
        AeroEvidence evidence = drawn.Evidence() with { HeadingKnown = false };
        (AeroFit fit, _, List<SystematicPart> parts) = AeroEstimate.Fit(evidence, AeroOptions.Default, SpeedMps)!.Value;
        (double a, double b, Vector<double> front, Vector<double> rear) = fit.Model.Steady(SpeedMps, fit.Theta);
        double pressure = fit.Model.PressurePa(SpeedMps);
        return IntervalCandidates.Jackknife(fit, (front + rear) / pressure, [.. parts.Where(p => p.Name != "wind").Select(p => Effect(p, a + b, front, rear) / pressure)]);
    }

    private static (double Truth, double Value, double[] Halves) Candidates(DrivenPasses drawn)
    {
        (AeroFit fit, _, List<SystematicPart> parts) = AeroEstimate.Fit(drawn.Evidence(), AeroOptions.Default, SpeedMps)!.Value;
        (double a, double b, Vector<double> front, Vector<double> rear) = fit.Model.Steady(SpeedMps, fit.Theta);
        double pressure = fit.Model.PressurePa(SpeedMps);
        (double trueFront, double trueRear) = drawn.Run.Truth(SpeedMps);
        double[] Effects(bool priors) => [.. parts.Where(p => p.IsPrior == priors).Select(p => Effect(p, a + b, front, rear) / pressure)];
        return (trueFront + trueRear, (a + b) / pressure, IntervalCandidates.HalfWidths(fit, (front + rear) / pressure, Effects(false), Effects(true), (int)drawn.Run.Seed));
    }

    private static double Effect(SystematicPart part, double totalN, Vector<double> front, Vector<double> rear)
    {
        (double f, double r) = part.Loads(SpeedMps, front, rear);
        return f + r + (part.LiftAreaShare * totalN);
    }

    /// <summary>A run with every error of the budget drawn anew.</summary>
    private static DrivenPasses Draw(ErrorModel model, int passes, int number)
    {
        int seed = FirstSeed + number;
        Random random = new(seed);
        double Drawn(double deviation) => deviation * DrivenRun.Normal(random);
        DrivenRun run = new()
        {
            Car = DrivenRun.Default with
            {
                Channels = [.. Corners.All.Select(c => new ChannelMapping { Role = ChannelRoles.PushrodLoad(c), Name = c.Code(), GainUncertainty = Gain })],
            },
            Laps = passes / 2,
            HeadingsRad = TwoWays,
            Seed = (ulong)seed,
            WindMps = model.SteadyMps,
            WindFromRad = Math.Tau * random.NextDouble(),
            GustMps = model.GustMps,
            PerFrontHeight = Drawn(10),
            PerRearHeight = Drawn(10),
            ZeroUncertaintyN = model.ZeroN,
            LoadErrorN = [Drawn(0.8 * model.ZeroN), Drawn(0.8 * model.ZeroN), Drawn(0.75 * model.ZeroN), Drawn(0.75 * model.ZeroN)],
            GainError = [Drawn(Gain), Drawn(Gain), Drawn(Gain), Drawn(Gain)],
            DensityError = Drawn(DensityShare),
            DriftX = Drawn(DriftMps2),
            DriftZ = Drawn(DriftMps2),
        };
        return new DrivenPasses(run, WindowNoiseN, model.PassN);
    }

    private sealed record ErrorModel(string Name, double SteadyMps, double GustMps, double ZeroN, double PassN);
}
