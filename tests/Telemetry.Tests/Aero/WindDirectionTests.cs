using System.Globalization;
using Telemetry.Aero;
using Telemetry.Car;

namespace Telemetry.Tests.Aero;

/// <summary>A steady wind from all sides, over circuits whose straights lie in few or many ways.</summary>
public class WindDirectionTests(ITestOutputHelper output)
{
    [Fact(Explicit = true)]
    public void Table_of_circuits()
    {
        foreach ((string name, double[] degrees) in new (string, double[])[] { ("60 apart", [0, 60]), ("90 apart", [0, 90]), ("130 apart", [0, 130]), ("150 apart", [0, 150]), ("opposite", [0, 180]), ("three", [20, 150, 270]), ("three, 90", [0, 45, 90]) })
        {
            double worst = 0, square = 0, windSquare = 0, half = 0;
            double sum = 0;
            int inside = 0, windInside = 0, n = 0;
            for (int d = 0; d < 24; d++)
            {
                for (int seed = 0; seed < 8; seed++)
                {
                    Random random = new(seed + (100 * d));
                    DrivenRun run = new()
                    {
                        Laps = 8,
                        HeadingsRad = [.. degrees.Select(x => x * Math.PI / 180)],
                        Seed = (ulong)(seed + (100 * d)),
                        WindMps = 5,
                        WindFromRad = Math.Tau * d / 24,
                        GustMps = 0.3,
                        PerFrontHeight = 10 * DrivenRun.Normal(random),
                        PerRearHeight = 10 * DrivenRun.Normal(random),
                    };
                    AeroResult result = AeroEstimate.Solve(Blank(), new DrivenPasses(run, 40).Evidence(), AeroOptions.Default with { AtSpeedMps = 77.5 });
                    (double front, double rear) = run.Truth(77.5);
                    double error = 100 * ((result.AtReference!.TotalLiftAreaM2.Value / (front + rear)) - 1);
                    half += 100 * result.AtReference.TotalLiftAreaM2.HalfWidth / (front + rear);
                    inside += Math.Abs(result.AtReference.TotalLiftAreaM2.Value - front - rear) <= result.AtReference.TotalLiftAreaM2.HalfWidth ? 1 : 0;
                    worst = Math.Max(worst, Math.Abs(error));
                    square += error * error;
                    sum += error;
                    double w = result.Wind.SpeedMps!.Value, from = result.Wind.FromRad!.Value;
                    windInside += result.Wind.SpeedMps.Low95 <= 5 && result.Wind.SpeedMps.High95 >= 5 ? 1 : 0;
                    windSquare += (w * w) + 25 - (10 * w * Math.Cos(from - run.WindFromRad));
                    n++;
                }
            }

            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {name} | {sum / n:0.00} | {Math.Sqrt(square / n):0.00} | {worst:0.0} | {half / n:0.0} | {100.0 * inside / n:0} | {Math.Sqrt(windSquare / n):0.00} | {100.0 * windInside / n:0} |"));
        }
    }

    private static AeroResult Blank() => new()
    {
        ReferenceSpeedMps = double.NaN,
        AtReference = null,
        WithheldBecause = null,
        Curve = [],
        Passes = [],
        Windows = [],
        Air = new AirState(1.2, 0, "", false),
        Wind = new WindState(null, null, false, ""),
        Budget = [],
        Notes = [],
    };
}
