using System.Globalization;
using Telemetry.Aero;
using Telemetry.Car;

namespace Telemetry.Tests.Aero;

/// <summary>A steady wind from all sides, over circuits whose straights lie in few or many ways.</summary>
public class WindDirectionTests(ITestOutputHelper output)
{
    /// <summary>
    /// Straights that go round in three ways show a wind from any side: 16 directions, each within 1 % and within its own interval, the wind within 0.7 m/s.
    /// </summary>
    [Fact]
    public void On_three_headings_a_wind_of_5_mps_from_any_side_moves_the_lift_area_by_less_than_1_percent()
    {
        for (int d = 0; d < 16; d++)
        {
            DrivenRun run = new() { Laps = 6, Seed = (ulong)(900 + d), WindMps = 5, WindFromRad = Math.Tau * d / 16 };
            AeroResult result = Estimate(run);
            (double front, double rear) = run.Truth(Speed);
            Assert.Equal(1, result.AtReference!.TotalLiftAreaM2.Value / (front + rear), 0.01);
            Assert.Equal(5, result.Wind.SpeedMps!.Value, 0.7);
        }
    }

    /// <summary>Two straights 130 degrees apart cannot tell a wind along their bisector from lift area. The interval must hold it, and the sentence must say so.</summary>
    [Fact]
    public void Along_the_bisector_of_two_headings_the_interval_says_that_the_wind_is_not_seen()
    {
        foreach (double from in new[] { 0.0, Math.PI })
        {
            DrivenRun run = new() { Laps = 6, HeadingsRad = [-65 * Math.PI / 180, 65 * Math.PI / 180], Seed = 17, WindMps = 4, WindFromRad = from };
            AeroResult result = Estimate(run);
            (double front, double rear) = run.Truth(Speed);
            Telemetry.Estimate total = result.AtReference!.TotalLiftAreaM2;
            Assert.InRange(front + rear, total.Low95, total.High95);
            Assert.Contains("hardly show the wind along", result.Wind.Statement, StringComparison.Ordinal);
            Assert.InRange(4, result.Wind.SpeedMps!.Low95, result.Wind.SpeedMps.High95);
        }
    }

    [Fact]
    public void A_wind_channel_shows_what_two_headings_do_not()
    {
        // The station reads what the default share makes the wind at the car: 1 / 0.65 of it.
        DrivenRun run = new() { HeadingsRad = [-65 * Math.PI / 180, 65 * Math.PI / 180], WindMps = 4, StationReads = 1 / AeroOptions.Default.StationWindShare, HasYawRate = true };
        AeroResult with = AeroEstimate.From(run.Build(), AeroOptions.Default);
        AeroResult without = AeroEstimate.From((run with { StationReads = 0 }).Build(), AeroOptions.Default);
        Assert.Equal(3.2, with.AtReference!.TotalLiftAreaM2.Value, 0.01);
        Assert.True(with.AtReference.TotalLiftAreaM2.HalfWidth < without.AtReference!.TotalLiftAreaM2.HalfWidth);
        Assert.Contains("wind channel", with.Wind.Statement, StringComparison.Ordinal);
        Assert.Equal(4, with.Wind.SpeedMps!.Value, 0.2);
    }

    [Fact]
    public void A_wind_channel_serves_straights_of_one_heading_too()
    {
        DrivenRun run = new() { HeadingsRad = [0.3, 0.3], WindMps = 4, WindFromRad = 0.3, StationReads = 1 / AeroOptions.Default.StationWindShare };
        AeroResult result = AeroEstimate.From(run.Build(), AeroOptions.Default);
        Assert.Equal(3.2, result.AtReference!.TotalLiftAreaM2.Value, 0.005);
        Assert.StartsWith("The wind channel was used", result.Wind.Statement, StringComparison.Ordinal);
        Assert.Equal(4, result.Wind.SpeedMps!.Value, 0.01);
    }

    [Fact(Explicit = true)]
    public void Table_of_circuits()
    {
        output.WriteLine("| headings | mean error | rms error | worst | half width | inside | wind vector rms, m/s | wind speed inside |");
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
                    AeroResult result = Estimate(run);
                    (double front, double rear) = run.Truth(Speed);
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

    private const double Speed = 77.5;

    private static AeroResult Estimate(DrivenRun run) =>
        AeroEstimate.Solve(Blank(), new DrivenPasses(run, 40).Evidence(), AeroOptions.Default with { AtSpeedMps = Speed });

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
