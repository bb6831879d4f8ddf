using Telemetry.Zero;

namespace Telemetry.Tests.Zero;

public class ZeroTrendTests
{
    private static readonly DateTimeOffset Morning = new(2026, 3, 14, 8, 0, 0, TimeSpan.Zero);

    private static ZeroTrend Of(params double[] zeros) => Assert.Single(ZeroTrend.Of(new ZeroHistory([.. zeros.Select((zero, i) => new ZeroRun(
        $"run {i + 1}", $"hash {i}", "car", Morning.AddHours(i), [new CellZero("cell", "FL", ZeroSource.GroundCornerWeights, zero, zero, 10, 5, 1, null, null)]))])));

    [Fact]
    public void Zeros_that_climb_are_a_slope_per_hour()
    {
        ZeroTrend trend = Of(0, 11, 19, 31, 40, 49, 61);
        Assert.Equal(ZeroTrendKind.Slope, trend.Kind);
        Assert.True(trend.SlopeIsPerHour);
        Assert.InRange(trend.Slope, 9.5, 10.5);
    }

    [Fact]
    public void Zeros_that_jump_are_a_step_after_the_run_before_it()
    {
        ZeroTrend trend = Of(0, 3, -2, 1, 101, 98, 103, 99);
        Assert.Equal(ZeroTrendKind.Step, trend.Kind);
        Assert.Equal(3, trend.StepAfter);
        Assert.InRange(trend.StepN, 97, 103);
    }

    [Fact]
    public void Three_runs_are_too_few_and_equal_ones_are_steady()
    {
        Assert.Equal(ZeroTrendKind.TooFew, Of(0, 50, 100).Kind);
        Assert.Equal(ZeroTrendKind.Steady, Of(5, 5, 5, 5, 5).Kind);
    }

    /// <summary>With chances of 1 % for slope and for step a steady cell is called otherwise at most twice in a hundred; 1000 cells: more than 40 happens less than once in 10,000.</summary>
    [Fact]
    public void A_steady_cell_is_hardly_ever_called_anything_else()
    {
        Random random = new(7);
        int alarms = Enumerable.Range(0, 1000).Count(_ => Of([.. Enumerable.Range(0, 8).Select(_ => 20 * SimulatedCells.Normal(random))]).Kind != ZeroTrendKind.Steady);
        Assert.InRange(alarms, 0, 40);
    }
}
