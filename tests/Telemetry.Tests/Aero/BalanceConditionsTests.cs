using System.Globalization;
using System.Text;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Simulation;

namespace Telemetry.Tests.Aero;

/// <summary>Aero balance by condition against the simulator's maps at the heights that it measured; nothing was tuned on these seeds.</summary>
public class BalanceConditionsTests(ITestOutputHelper output)
{
    private static int Seeds { get; } = int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_MAP_SEEDS"), NumberStyles.None, CultureInfo.InvariantCulture, out int n) ? n : 1;

    [Fact]
    public void Braking_entries_and_fast_corners_hold_the_truth_each_by_itself()
    {
        StringBuilder table = new();
        int held = 0, given = 0;
        for (int s = 0; s < Seeds; s++)
        {
            SimulatedHeights.Driven run = SimulatedHeights.Run(93000 + (ulong)s, 0, 0, 5, s % 4, 0.3 * (s % 3));
            BalanceByCondition all = BalanceConditions.From(run.Run.Wheels, run.Run.Aero, BalanceOptions.Default);
            Assert.NotNull(all.Straight.BalanceFrontPct);
            Assert.Same(run.Run.Aero.AtReference!.BalanceFrontPct, all.Straight.BalanceFrontPct);
            Assert.True(all.BrakingEntry.Units >= 3);
            Assert.True(all.BrakingEntry.LongitudinalMps2 < -9);
            foreach (ConditionBalance one in all.All.Skip(1))
            {
                double truth = Truth(run, one);
                bool inside = one.BalanceFrontPct is { } estimate && estimate.Low95 <= truth && truth <= estimate.High95;
                given += one.BalanceFrontPct is null ? 0 : 1;
                held += inside ? 1 : 0;
                table.AppendLine(CultureInfo.InvariantCulture, $"{93000 + s} {one.Name}: {one.BalanceFrontPct?.Value:0.00} ± {one.BalanceFrontPct?.HalfWidth:0.00}, truth {truth:0.00} {(inside ? "" : "OUTSIDE")}, straight {one.StraightAtSameSpeedPct?.Value:0.00}, {one.Units} units, {one.Windows} windows, {one.SpeedMps * 3.6:0} km/h, ax {one.LongitudinalMps2:0.0}, ay {one.LateralMps2:0.0}, steer {one.SteerRad:0.000}, h {1000 * one.Heights.FrontM:0.0} {1000 * one.Heights.RearM:0.0}, per v {one.PerSpeed?.Value:0.000}, per ay {one.PerLateral?.Value:0.000} ± {one.PerLateral?.HalfWidth:0.000}, per steer {one.PerSteer?.Value:0.00} ± {one.PerSteer?.HalfWidth:0.00}; {one.WithheldBecause} {string.Join(", ", one.Budget.Take(3).Select(p => $"{p.Name} {p.Pct:0.00}"))}");
            }
        }

        output.WriteLine(table.ToString());
        Assert.True(given >= 3 * Seeds, table.ToString());
        Assert.True(held >= 0.85 * given, table.ToString());
    }

    [Fact]
    public void A_withheld_aero_estimate_withholds_the_straights_and_says_why()
    {
        SimulatedHeights.Driven run = SimulatedHeights.Run(93900, 0, 0, 1);
        AeroResult aero = AeroEstimate.From(run.Run.Wheels, AeroOptions.Default with { WithholdBecause = "A channel is dead." });
        BalanceByCondition all = BalanceConditions.From(run.Run.Wheels, aero, BalanceOptions.Default with { FewestUnits = 99 });
        Assert.Equal("A channel is dead.", all.Straight.WithheldBecause);
        Assert.Null(all.BrakingEntry.BalanceFrontPct);
        Assert.Contains("below 99", all.BrakingEntry.WithheldBecause, StringComparison.Ordinal);
        Assert.All(all.All, one => Assert.NotNull(one.WithheldBecause));
    }

    /// <summary>Share of the map at the mean heights, with drag's moment and its reaction in the links of the condition: what equation E4 finds there.</summary>
    private static double Truth(SimulatedHeights.Driven run, ConditionBalance one)
    {
        AeroDefinition aero = run.Scenario.Aero;
        CarDefinition car = run.Run.Wheels.Run.Car;
        double x = one.Heights.FrontM - aero.ReferenceRideHeightM.Front;
        double y = one.Heights.RearM - aero.ReferenceRideHeightM.Rear;
        double drag = aero.DragAreaM2 / car.Geometry.WheelbaseM.Value;
        double h = car.Geometry.CentreHeightM.Value;
        bool brakes = one.Condition == BalanceCondition.BrakingEntry;
        double front = aero.Front.At(x, y) - (drag * aero.DragHeightM)
            + ((brakes ? car.Suspension.Front.LinkageShareBraking : car.Suspension.Front.LinkageShareDriving) * drag * h);
        double rear = aero.Rear.At(x, y) + (drag * aero.DragHeightM)
            - ((brakes ? car.Suspension.Rear.LinkageShareBraking : car.Suspension.Rear.LinkageShareDriving) * drag * h);
        return 100 * front / (front + rear);
    }
}
