using System.Globalization;
using MathNet.Numerics.LinearAlgebra;
using Telemetry.Aero;
using Telemetry.Car;

namespace Telemetry.Tests.Aero;

/// <summary>How often 95 % intervals hold the truth, over thousands of runs drawn as windows, by each way of making them.</summary>
public class PassCoverageTests(ITestOutputHelper output)
{
    private const double Gain = 0.003;
    private const double DensityShare = 0.0036;
    private const double DriftMps2 = 0.03;
    private const double WindowNoiseN = 40;
    private static readonly double[] TwoWays = [0.35, 0.35 + Math.PI];

    /// <summary>Errors that a run may have; the last breaks the model: an error of each pass that is no wind.</summary>
    private static readonly (string Name, double SteadyMps, double GustMps, double ZeroN, double PassN)[] Models =
    [
        ("still air", 0, 0, 10, 0),
        ("steady wind 4 m/s", 4, 0, 10, 0),
        ("gusts 1 m/s", 0, 1, 10, 0),
        ("zero error 40 N a cell", 0, 0, 40, 0),
        ("friction of each pass 30 N", 0, 0, 10, 30),
    ];

    [Fact(Explicit = true)]
    public void Table_of_candidates()
    {
        int runs = int.Parse(Environment.GetEnvironmentVariable("TELEMETRY_AERO_ESTIMATES") ?? "200", CultureInfo.InvariantCulture);
        foreach (var model in Models)
        {
            foreach (int passes in new[] { 4, 6, 10, 20 })
            {
                int n = IntervalCandidates.Names.Length;
                int[] front = new int[n];
                int[] total = new int[n];
                double[] width = new double[n];
                double error = 0;
                for (int k = 0; k < runs; k++)
                {
                    (double Truth, double Value, double[] Halves) f = default, t = default;
                    One(model.SteadyMps, model.GustMps, model.ZeroN, model.PassN, passes, 5000 + k, ref f, ref t);
                    for (int i = 0; i < n; i++)
                    {
                        front[i] += Math.Abs(f.Value - f.Truth) <= f.Halves[i] ? 1 : 0;
                        total[i] += Math.Abs(t.Value - t.Truth) <= t.Halves[i] ? 1 : 0;
                        width[i] += 100 * t.Halves[i] / t.Truth / runs;
                    }

                    error += 100 * ((t.Value / t.Truth) - 1) / runs;
                }

                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{model.Name}, {passes} passes, mean error {error:0.00} %"));
                for (int i = 0; i < n; i++)
                {
                    output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"   {IntervalCandidates.Names[i],-34} front {100.0 * front[i] / runs:0.0} total {100.0 * total[i] / runs:0.0} half {width[i]:0.00}"));
                }
            }
        }
    }

    private static void One(double steady, double gust, double zeroN, double passN, int passes, int seed, ref (double, double, double[]) front, ref (double, double, double[]) total)
    {
        Random random = new(seed);
        double Draw(double deviation) => deviation * DrivenRun.Normal(random);
        CarDefinition car = DrivenRun.Default with
        {
            Channels = [.. Corners.All.Select(c => new ChannelMapping { Role = ChannelRoles.PushrodLoad(c), Name = c.Code(), GainUncertainty = Gain })],
        };
        DrivenRun run = new()
        {
            Car = car,
            Laps = passes / 2,
            HeadingsRad = TwoWays,
            Seed = (ulong)seed,
            WindMps = steady,
            WindFromRad = Math.Tau * random.NextDouble(),
            GustMps = gust,
            PerFrontHeight = Draw(10),
            PerRearHeight = Draw(10),
            ZeroUncertaintyN = zeroN,
            LoadErrorN = [Draw(0.8 * zeroN), Draw(0.8 * zeroN), Draw(0.75 * zeroN), Draw(0.75 * zeroN)],
            GainError = [Draw(Gain), Draw(Gain), Draw(Gain), Draw(Gain)],
            DensityError = Draw(DensityShare),
            DriftX = Draw(DriftMps2),
            DriftZ = Draw(DriftMps2),
        };
        AeroEvidence evidence = new DrivenPasses(run, WindowNoiseN, passN).Evidence();
        const double Speed = 77.5;
        (AeroFit fit, _, List<SystematicPart> parts) = AeroEstimate.Fit(evidence, AeroOptions.Default, Speed)!.Value;
        (double a, double b, Vector<double> perFront, Vector<double> perRear) = fit.Model.Steady(Speed, fit.Theta);
        double pressure = fit.Model.PressurePa(Speed);
        (double trueFront, double trueRear) = run.Truth(Speed);
        double[] Effects(bool priors, double f, double r) => [.. parts.Where(p => p.IsPrior == priors).Select(p =>
        {
            (double df, double dr) = p.Loads(Speed, perFront, perRear);
            return ((f * df) + (r * dr) + (p.LiftAreaShare * ((f * a) + (r * b)))) / pressure;
        })];
        front = (trueFront, a / pressure, IntervalCandidates.HalfWidths(fit, perFront / pressure, Effects(false, 1, 0), Effects(true, 1, 0), seed));
        total = (trueFront + trueRear, (a + b) / pressure, IntervalCandidates.HalfWidths(fit, (perFront + perRear) / pressure, Effects(false, 1, 1), Effects(true, 1, 1), seed));
    }
}
