using System.Globalization;
using System.Text;
using Telemetry.Aero;
using Telemetry.Car;

namespace Telemetry.Tests.Aero;

/// <summary>The ride-height map against the simulator's own maps; nothing was tuned on these seeds.</summary>
public class RideHeightMapTests(ITestOutputHelper output)
{
    private static readonly (double Front, double Rear)[] Settings = [(0, 0), (3, -3), (-3, 3)];

    private static int Seeds { get; } = int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_MAP_SEEDS"), NumberStyles.None, CultureInfo.InvariantCulture, out int n) ? n : 1;

    [Fact]
    public void Three_static_settings_separate_front_from_rear_and_the_slopes_hold_the_truth()
    {
        StringBuilder table = new();
        int held = 0, asked = 0;
        for (int s = 0; s < Seeds; s++)
        {
            ulong seed = 91000 + (ulong)(10 * s);
            SimulatedHeights.Driven[] runs = [.. Settings.Select((at, k) => SimulatedHeights.Run(seed + (ulong)k, at.Front, at.Rear, 4, s % 4, 0.3 * (s % 3)))];
            RideHeightMap map = RideHeightMapping.From([.. runs.Select(r => r.Run)], RideHeightMapOptions.Default);
            Assert.Null(map.WithheldBecause);
            Assert.True(map.SpreadAcrossM > 0.001);
            foreach ((string name, MapSensitivity given, double f, double r) in new[]
            {
                ("front", map.PerFrontHeight!, 1.0, 0.0),
                ("rear", map.PerRearHeight!, 0.0, 1.0),
                ("rake", map.PerRake!, -0.5, 0.5),
                ("spread", map.AlongSpeedLine!, 1.0, map.RearPerFrontAlongSpeedLine),
            })
            {
                (double front, double rear, double balance) = SimulatedHeights.Slope(runs[0].Scenario, runs[0].Run.Wheels.Run.Car, map.Reference!.Value, f, r);
                Check(table, seed, name + " front area", given.FrontLiftAreaM2PerM, front, ref held, ref asked);
                Check(table, seed, name + " rear area", given.RearLiftAreaM2PerM, rear, ref held, ref asked);
                Check(table, seed, name + " balance", given.BalancePctPerM, balance, ref held, ref asked);
            }

            table.AppendLine(CultureInfo.InvariantCulture, $"{seed} across {1000 * map.SpreadAcrossM:0.00} mm, left out {100 * map.LeftOutErrorShare:0.00} %");
        }

        output.WriteLine(table.ToString());
        Assert.True(asked >= 10 * Seeds, table.ToString());
        Assert.True(held >= 0.9 * asked, table.ToString());
    }

    [Fact]
    public void A_single_run_withholds_what_it_cannot_separate_and_says_what_would()
    {
        SimulatedHeights.Driven run = SimulatedHeights.Run(92001, 0, 0, 4);
        RideHeightMap map = RideHeightMapping.From([run.Run], RideHeightMapOptions.Default);
        Assert.Null(map.WithheldBecause);
        output.WriteLine(string.Join(Environment.NewLine, map.Notes) + $"{map.Reference} {map.SpreadAcrossM} {map.RearPerFrontAlongSpeedLine} {map.AtReference}\n{map.PerFrontHeight}\n{map.PerRearHeight}\n{map.AlongSpeedLine}");
        Assert.Contains("other static ride heights", map.PerRearHeight!.WithheldBecause, StringComparison.Ordinal);
        (double front, double rear, _) = SimulatedHeights.Slope(run.Scenario, run.Run.Wheels.Run.Car, map.Reference!.Value, 1, map.RearPerFrontAlongSpeedLine);
        AssertHolds(map.AlongSpeedLine!.FrontLiftAreaM2PerM, front);
        AssertHolds(map.AlongSpeedLine.RearLiftAreaM2PerM, rear);

        // At the heights of a window in the middle of the run the map is that window's own load over its pressure, but for its scatter (about 1 %).
        MapPoint middle = map.Points.OrderBy(p => p.SpeedMps).ElementAt(map.Points.Length / 2);
        MapAnswer answer = map.At(middle.Height.FrontM, middle.Height.RearM)!;
        Assert.Equal(middle.FrontLiftAreaM2, answer.FrontLiftAreaM2.Value, 0.04 * middle.FrontLiftAreaM2);
        Assert.Equal(middle.RearLiftAreaM2, answer.RearLiftAreaM2.Value, 0.04 * middle.RearLiftAreaM2);
        Assert.Null(map.At(0.1, 0.1));
        Assert.Contains("outside", map.WhyNotAt(0.1, 0.1), StringComparison.Ordinal);
        Assert.Contains("not known", map.WhyNotAt(double.NaN, 0.03), StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_run_there_is_no_map() =>
        Assert.NotNull(RideHeightMapping.From([], RideHeightMapOptions.Default).WithheldBecause);

    [Fact]
    public void The_hull_of_a_square_and_its_middle_are_the_four_corners()
    {
        HeightPair[] points = [new(0, 0), new(1, 0), new(0.5, 0.5), new(1, 1), new(0, 1), new(0.5, 0), new(0, 0)];
        Assert.Equal([new(0, 0), new(1, 0), new(1, 1), new(0, 1)], MapSupport.ConvexHull(points));
    }

    [Fact]
    public void A_height_line_follows_two_slopes_and_goes_on_beyond_its_ends()
    {
        double[] load = [.. Enumerable.Range(0, 81).Select(k => 1000.0 + (50 * k))];
        double[] height = [.. load.Select(n => n < 3000 ? 0.030 - ((n - 1000) * 5e-6) : 0.020 - ((n - 3000) * 2e-6))];
        HeightLine line = HeightLine.Of(load, height)!;

        // Hand calculation; the pull towards equal slopes may cost a tenth of a millimetre.
        Assert.Equal(0.0275, line.At(1500), 1e-4);
        Assert.Equal(0.0180, line.At(4000), 1e-4);
        Assert.Equal(0.0150, line.At(5500), 2e-4);
        Assert.Null(HeightLine.Of([1, 2, 3], [1, 2, 3]));
        Assert.Null(HeightLine.Of(new double[40], new double[40]));
    }

    private static void AssertHolds(Estimate? estimate, double truth)
    {
        Assert.NotNull(estimate);
        Assert.InRange(truth, estimate.Low95, estimate.High95);
    }

    private static void Check(StringBuilder table, ulong seed, string name, Estimate? given, double truth, ref int held, ref int asked)
    {
        if (given is null)
        {
            table.AppendLine(CultureInfo.InvariantCulture, $"{seed} {name}: withheld, truth {truth:0.000}");
            return;
        }

        asked++;
        bool inside = given.Low95 <= truth && truth <= given.High95;
        held += inside ? 1 : 0;
        table.AppendLine(CultureInfo.InvariantCulture, $"{seed} {name}: {given.Value:0.000} ± {given.HalfWidth:0.000}, truth {truth:0.000} {(inside ? "" : "OUTSIDE")}");
    }
}
