using System.Collections.Immutable;
using ScottPlot;
using Telemetry.Car;
using Telemetry.Output.Plots;
using Telemetry.Runs;

namespace Telemetry.Tests.Output.Plots;

/// <summary>Decimation, limits and wording: what is put on the page is what the numbers say.</summary>
public class LapTraceTests
{
    private static readonly Run Run = SampleReviews.Full.Run;

    [Fact]
    public void The_lowest_and_highest_sample_of_a_lap_survive_the_gathering()
    {
        Lap lap = Run.Laps.Laps[1];
        SampleSource load = Run.OnClock(ChannelRole.PushrodLoadFL);
        double[] own = load.Between(lap.StartIndex, lap.EndIndex).ToArray();
        LapTrace trace = LapTrace.Of(load, 0.001, new LapAxis(Run, [lap]), lap, 100);
        Assert.Equal(own.Max() * 0.001, trace.High.Where(double.IsFinite).Max());
        Assert.Equal(own.Min() * 0.001, trace.Low.Where(double.IsFinite).Min());
        for (int i = 0; i < 100; i++)
        {
            Assert.True(trace.Low[i] <= trace.Mean[i] && trace.Mean[i] <= trace.High[i]);
        }
    }

    // By hand: four samples at 0, 10, 20 and 30 m of a 40 m lap, two columns; the NaN counts for nothing.
    [Fact]
    public void Columns_hold_the_mean_of_their_own_samples_and_are_empty_without_one()
    {
        Lap lap = new(1, 0, 4, 0, 0.4, 40, true);
        Run run = Run with { LapDistanceM = [0, 10, 20, 30], Laps = new([lap], "lap distance channel") };
        LapTrace trace = LapTrace.Of(SampleSource.Of([1, 3, double.NaN, double.NaN]), 10, new LapAxis(run, [lap]), lap, 2);
        Assert.Equal(20, trace.Mean[0]);
        Assert.Equal(10, trace.Low[0]);
        Assert.Equal(30, trace.High[0]);
        Assert.True(double.IsNaN(trace.Mean[1]) && double.IsNaN(trace.Low[1]) && double.IsNaN(trace.High[1]));
    }

    [Fact]
    public void Without_distance_a_lap_is_laid_out_by_time()
    {
        Lap lap = new(1, 0, 4, 0, 0.02, double.NaN, true);
        LapAxis axis = new(Run with { LapDistanceM = [] }, [lap]);
        Assert.Equal("Time from the start of the lap (s)", axis.Label);
        Assert.Equal(0.02, axis.Length);
    }

    [Fact]
    public void Thinning_keeps_the_first_point_of_each_cell_and_drops_what_is_not_a_number()
    {
        List<Coordinates> kept = Traces.Thin([new(0, 0), new(0.1, 0.1), new(9, 9), new(double.NaN, 1), new(10, 10)], 2, 2);
        Assert.Equal([new(0, 0), new(9, 9)], kept);
        Assert.Equal(3, Traces.Thin([new(1, 5), new(2, 5), new(3, 5)], 10, 10).Count);
        Assert.Empty(Traces.Thin([], 10, 10));
    }

    // By hand: the rocker takes 1.4 N a newton of pushrod load, so 33.6 kN on it are 24 kN at the pushrod.
    // The wishbone is pulled by 1.1 * 0.85 N a newton: its tension limit of 28 kN is 28 / 0.935 = 29.947 kN at the pushrod.
    [Fact]
    public void Limits_of_components_become_levels_of_pushrod_load()
    {
        ImmutableArray<PushrodLimit> limits = PushrodLimits.Of(Run.Car);
        PushrodLimit shared = limits.Single(l => !l.IsInspection && Math.Abs(l.LoadN - 24_000) < 1);
        Assert.Equal(["PR-FL-07", "PR-FR-07", "PR-RL-07", "PR-RR-07", "RK-FL-02"], shared.Components);
        Assert.Equal(4, shared.Corners.Length);
        PushrodLimit wishbone = limits.Single(l => !l.IsInspection && l.LoadN > 25_000);
        Assert.Equal(28_000 / 0.935, wishbone.LoadN, 6);
        Assert.Equal([Corner.RearRight], wishbone.Corners);
        Assert.True(limits.Zip(limits.Skip(1), (a, b) => a.LoadN <= b.LoadN + 10).All(x => x));
    }

    [Theory]
    [InlineData(9838, 9655, 10021, "9.84 kN ± 0.18 kN")]
    [InlineData(-1250, -1350, -1150, "\u22121.25 kN ± 0.10 kN")]
    [InlineData(5000, 4900, 5500, "5.00 kN (4.90 to 5.50)")]
    [InlineData(12000, 12000, 12000, "12.00 kN ± 0.00 kN")]
    public void An_interval_is_given_to_two_digits_of_its_half_width(double value, double low, double high, string expected) =>
        Assert.Equal(expected, Say.Interval(new(value, low, high), 0.001, " kN"));

    [Theory]
    [InlineData(0, "0 %")]
    [InlineData(0.0004, "under 0.001 %")]
    [InlineData(0.0443, "0.044 %")]
    [InlineData(5.04, "5.0 %")]
    [InlineData(112.4, "112 %")]
    public void Damage_is_given_to_two_digits(double percent, string expected) => Assert.Equal(expected, Say.SmallPercent(percent));

    [Fact]
    public void Names_lose_control_and_direction_marks_and_the_middle_of_what_is_too_long()
    {
        Assert.Equal("ab c", Say.Name("a\u202Eb\u0001c\u200F"));
        Assert.Equal("0123…6789", Say.Name("01234567890123456789", 9));
        Assert.Equal("\uFFFD", Say.Name("\uD800"));
    }

    [Fact]
    public void Numbers_are_written_the_same_in_every_culture()
    {
        Assert.Equal("12\u2009345.7", Say.Number(12345.67, 1));
        Assert.Equal("0.0", Say.Number(-0.04, 1));
        Assert.Equal("\u22120.25", Say.Tick(-0.25));
        Assert.Equal("2 passes", Say.Count(2, "pass"));
        Assert.Equal("1 lap", Say.Count(1, "lap"));
    }
}
