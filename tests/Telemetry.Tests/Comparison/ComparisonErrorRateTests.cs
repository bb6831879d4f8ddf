using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Comparison;

namespace Telemetry.Tests.Comparison;

/// <summary>
/// How often a nil change is called real and a change of 1.5 % is found, over drawn runs. The law: at most 5 % and at least 90 % in A-B-A of six laps.
/// TELEMETRY_COMPARE_DRAWS=n sets the draws of each cell (60 by default; the table of the stage's README.md was made with more) and prints the table.
/// </summary>
public class ComparisonErrorRateTests(ITestOutputHelper output)
{
    private static readonly (string Name, ModelWorld World)[] Worlds =
    [
        ("still air", new()),
        ("steady wind 4 m/s that shifts by 1 m/s", new() { WindMps = 4, WindShiftMps = 1 }),
        ("the same with gusts of 0.3 m/s", new() { WindMps = 4, WindShiftMps = 1, GustMps = 0.3 }),
        ("zeros that drift by 30 N an axle and run", new() { ZeroDriftN = 30, GustMps = 0.3 }),
    ];

    private static int Draws => int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_COMPARE_DRAWS"), NumberStyles.None, CultureInfo.InvariantCulture, out int n) ? n : 60;

    [Fact]
    public void A_nil_change_is_seldom_called_real_and_a_wanted_one_mostly_found_in_A_B_A()
    {
        foreach ((string name, ModelWorld world) in Worlds)
        {
            (double nil, double nilCovered) = Share(world, 0, 1, [0, 1, 0]);
            (double found, double covered) = Share(world, 0.015, 2, [0, 1, 0]);
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {name} | A-B-A | {100 * nil:0.0} | {100 * found:0.0} | {100 * covered:0.0} |"));

            // With n draws a share of 0.05 scatters by sqrt(0.05 0.95 / n): three and a half of those above and below.
            double slack = 3.5 * Math.Sqrt(0.05 * 0.95 / Draws);
            Assert.True(nil <= 0.05 + slack, $"{name}: {nil}");
            Assert.True(found >= 0.90 - (3.5 * Math.Sqrt(0.09 / Draws)), $"{name}: {found}");
            Assert.True(covered >= 0.95 - slack && nilCovered >= 0.95 - slack, $"{name}: {covered}, {nilCovered}");
        }
    }

    [Fact]
    public void Weather_that_is_noted_by_hand_costs_power_and_no_false_alarms()
    {
        ModelWorld world = new() { WeatherIsLogged = false };
        (double nil, _) = Share(world, 0, 5, [0, 1, 0]);
        (double found, _) = Share(world, 0.015, 6, [0, 1, 0]);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| still air, weather noted by hand | A-B-A | {100 * nil:0.0} | {100 * found:0.0} | |"));
        Assert.True(nil <= 0.05 + (3.5 * Math.Sqrt(0.05 * 0.95 / Draws)));
        Assert.InRange(found, 0.5, 0.95);
    }

    [Fact]
    public void Gusts_of_0_6_metres_a_second_cost_power_and_no_false_alarms()
    {
        // A head wind of 0.6 m/s at 75 m/s is 1.6 % of load: over 18 passes a run and A-B-A alone 0.46 %, so 90 % power at 1.5 % is out of reach of six laps for any method.
        ModelWorld world = new() { WindMps = 4, WindShiftMps = 1, GustMps = 0.6 };
        (double nil, double covered) = Share(world, 0, 7, [0, 1, 0]);
        (double found, _) = Share(world, 0.015, 8, [0, 1, 0]);
        (double more, _) = Share(world with { Laps = 14 }, 0.015, 9, [0, 1, 0]);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| gusts 0.6 m/s | A-B-A | {100 * nil:0.0} | {100 * found:0.0} (14 laps: {100 * more:0.0}) | {100 * covered:0.0} |"));
        double slack = 3.5 * Math.Sqrt(0.05 * 0.95 / Draws);
        Assert.True(nil <= 0.05 + slack && covered >= 0.95 - slack);
        Assert.True(found >= 0.5 && more >= found - 0.1);
    }

    [Fact]
    public void With_A_B_alone_a_drift_of_the_zeros_is_taken_for_a_change()
    {
        // Not a virtue but a limit that the sheet tells: only a repeated setup shows a drift.
        (double nil, _) = Share(Worlds[3].World, 0, 3, [0, 1]);
        (double still, _) = Share(Worlds[0].World, 0, 4, [0, 1]);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"A-B: drift {100 * nil:0.0} %, still {100 * still:0.0} %"));
        Assert.True(still <= 0.05 + (3.5 * Math.Sqrt(0.05 * 0.95 / Draws)));
        Assert.True(nil > still);
    }

    private static (double Real, double Covered) Share(ModelWorld world, double change, int seed, int[] setups)
    {
        int real = 0;
        int covered = 0;
        object gate = new();
        ImmutableArray<string> labels = [.. setups.Select(s => s == 0 ? "A" : "B")];
        Parallel.For(0, Draws, draw =>
        {
            Random random = new((seed * 1_000_003) + draw);
            ImmutableArray<RunEvidence> runs = world.Draw(random, [.. setups.Select(s => s == 0 ? 0 : change)]);
            QuantityDifference total = SetupComparison.From(runs, new() { Setups = labels }).Differences[0].Quantities.Single(q => q.Kind == ComparedKind.TotalLiftArea);
            double truth = change * (ModelWorld.FrontArea + ModelWorld.RearArea);
            lock (gate)
            {
                real += total.IsReal ? 1 : 0;
                covered += total.Difference.Low95 <= truth && truth <= total.Difference.High95 ? 1 : 0;
            }
        });
        return ((double)real / Draws, (double)covered / Draws);
    }
}
