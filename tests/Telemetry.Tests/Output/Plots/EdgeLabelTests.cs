using Telemetry.Car;
using Telemetry.Output.Plots;
using Telemetry.Tests.Fatigue;

namespace Telemetry.Tests.Output.Plots;

public class EdgeLabelTests
{
    [Fact]
    public void Labels_far_apart_stay_where_they_are()
    {
        Assert.Equal([10f, 100f, 200f], EdgeLabel.Spread([10, 100, 200]));
        Assert.Empty(EdgeLabel.Spread([]));
    }

    [Fact]
    public void Close_labels_are_a_line_apart_about_their_mean_and_push_their_neighbours()
    {
        // By hand, 25 pixels a line: 100 and 104 become 89.5 and 114.5; a third at 120 joins: mean 108, so 83, 108 and 133.
        Assert.Equal([89.5f, 114.5f], EdgeLabel.Spread([100, 104]));
        Assert.Equal([83f, 108f, 133f], EdgeLabel.Spread([100, 104, 120]));
        Assert.Equal([37.5f, 62.5f], EdgeLabel.Spread([50, 50]));
    }

    [Fact]
    public void The_factor_is_in_the_inspection_level_too()
    {
        // By hand: 9 kN on the part with a factor of 1.25 are reached at 7.2 kN in the pushrod.
        CarDefinition car = LoadRuns.CarWith(LoadRuns.Pushrod() with { InspectionThresholdN = 9000, LimitFactor = 1.25 });
        PushrodLimit level = Assert.Single(PushrodLimits.Of(car), l => l.IsInspection);
        Assert.Equal(7200, level.LoadN, 1e-9);
    }

    [Fact]
    public void A_load_formed_from_travel_or_a_ratio_table_has_no_level_of_pushrod_load()
    {
        ComponentDefinition part = LoadRuns.Pushrod();
        ComponentDefinition travel = part with { Load = [new LoadTerm(LoadSource.DamperTravel, Corner.FrontLeft, 1e5)] };
        ComponentDefinition table = part with { Load = [new LoadTerm(LoadSource.PushrodLoad, Corner.FrontLeft, 1) { Ratio = RatioCurve.Table([new(-0.01, 1), new(0.01, 2)]) }] };
        Assert.Empty(PushrodLimits.Of(LoadRuns.CarWith(travel, table)));
        ComponentDefinition constant = part with { Load = [new LoadTerm(LoadSource.PushrodLoad, Corner.FrontLeft, 1) { Ratio = RatioCurve.Constant(2) }] };
        Assert.Equal(6000, PushrodLimits.Of(LoadRuns.CarWith(constant)).Single(l => !l.IsInspection).LoadN, 1e-9);
    }
}
