using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Output;
using Telemetry.Platform;

namespace Telemetry.Tests.Output;

/// <summary>The ride-height map in the summary, as shims and comparisons read it back.</summary>
public class HeightsInSummaryTests
{
    private const double Normal975 = 1.959963984540054;

    [Fact]
    public void Slopes_come_back_for_each_metre_with_their_uncertainty()
    {
        Summary summary = With(Map(Slope(-60, 10), Slope(40, 5)));
        (Measured? front, Measured? rear) = HeightsInSummary.BalanceSlopes(summary);
        Assert.Equal(-60, front!.Value.Value, 1e-9);
        Assert.Equal(10 / Normal975, front.Value.StandardUncertainty, 1e-9);
        Assert.Equal(40, rear!.Value.Value, 1e-9);
    }

    // By hand: 1.2 / 2 * (252 / 3.6)^2 = 0.6 * 4900 = 2940 Pa; -8 m2/m * 2940 Pa = -23520 N/m.
    [Fact]
    public void Loads_follow_at_the_reference_speed()
    {
        MapSensitivity front = new(new(-8, -9, -7), new(-2, -3, -1), new(-10, -11, -9), new(-60, -70, -50), null);
        MapSensitivity rear = new(new(-1, -2, 0), new(-6, -7, -5), new(-7, -8, -6), new(40, 35, 45), null);
        Summary summary = With(Map(front, rear));
        summary = summary with { Aero = summary.Aero with { ReferenceSpeedKmh = 252, Air = summary.Aero.Air with { DensityKgM3 = 1.2 } } };
        LoadByHeight loads = HeightsInSummary.LoadSlopes(summary)!;
        Assert.Equal(-23520, loads.FrontPerFront.Value, 1e-6);
        Assert.Equal(2940 / Normal975, loads.FrontPerFront.StandardUncertainty, 1e-6);
        Assert.Equal(-2940, loads.FrontPerRear.Value, 1e-6);
        Assert.Equal(-5880, loads.RearPerFront.Value, 1e-6);
        Assert.Equal(-17640, loads.RearPerRear.Value, 1e-6);
    }

    [Fact]
    public void A_map_that_withholds_gives_no_slope_and_no_load()
    {
        Summary withheld = With(RideHeightMap.Withheld("no straight"));
        Assert.Equal((null, null), HeightsInSummary.BalanceSlopes(withheld));
        Assert.Null(HeightsInSummary.LoadSlopes(withheld));
        Assert.Null(HeightsInSummary.LoadSlopes(With(Map(Slope(-60, 10), Slope(40, 5)))));
        Assert.Equal((null, null), HeightsInSummary.BalanceSlopes(withheld with { Aero = withheld.Aero with { RideHeightMap = null } }));
    }

    // By hand: 2 mm at -60 %/m make -0.12 %, 1 mm at 40 %/m 0.04 %; together -0.08 %. Uncertainties, standard: 0.1 mm * 60 = 0.006 %, 2 mm * 5 %/m = 0.01 %,
    // 0 and 1 mm * 4 %/m = 0.004 %: root of the squares 0.012329 %.
    [Fact]
    public void The_balance_moves_by_both_axles_and_uncertainties_add_as_squares()
    {
        PerAxle<Estimate> change = new(new(0.002, 0.002 - (0.0001 * Normal975), 0.002 + (0.0001 * Normal975)), new(0.001, 0.001, 0.001));
        Estimate balance = ShimPrediction.BalancePct(change, new Measured(-60, 5), new Measured(40, 4))!;
        Assert.Equal(-0.08, balance.Value, 1e-12);
        Assert.Equal(0.012328828 * Normal975, balance.HalfWidth, 1e-8);
    }

    [Fact]
    public void An_axle_that_moves_without_a_known_sensitivity_leaves_the_balance_unsaid()
    {
        PerAxle<Estimate> both = new(new(0.002, 0.002, 0.002), new(0.001, 0.001, 0.001));
        Assert.Null(ShimPrediction.BalancePct(both, new Measured(-60, 5), null));
        Assert.Null(ShimPrediction.BalancePct(both, null, null));
        Assert.NotNull(ShimPrediction.BalancePct(both with { Rear = new(0, 0, 0) }, new Measured(-60, 5), null));
    }

    private static Summary With(RideHeightMap map) => SummaryFile.From(SampleReviews.Full with { HeightMap = map });

    private static MapSensitivity Slope(double balance, double half) => new(null, null, null, new(balance, balance - half, balance + half), "lift areas are not known");

    private static RideHeightMap Map(MapSensitivity front, MapSensitivity rear) =>
        RideHeightMap.Withheld("", "sensors", 1, 18) with { WithheldBecause = null, PerFrontHeight = front, PerRearHeight = rear, Notes = ImmutableArray<string>.Empty };
}
