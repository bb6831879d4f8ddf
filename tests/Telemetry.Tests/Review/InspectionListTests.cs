using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Output;
using Telemetry.Review;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Review;

/// <summary>What is on the inspection list, in which order; numbers by hand.</summary>
public class InspectionListTests
{
    private static readonly RunReview Quiet = SampleReviews.Full with
    {
        Health = RunHealth.Of([]),
        Fatigue = new() { Components = [], WithheldBecause = null },
        Kerbs = SampleReviews.Full.Kerbs with { Strikes = [], Kerbs = [] },
        Readings = [],
    };

    private static ComponentResult Part(string id, double peakN, double doubtN, double lifePct = 10) => SampleReviews.Full.Fatigue.Components[0] with
    {
        Component = SampleReviews.Full.Fatigue.Components[0].Component with { Id = id, CompressionLimitN = 20_000, TensionLimitN = null, InspectionThresholdN = 15_000, LimitFactor = 1 },
        PeakCompressionN = peakN,
        PeakTensionN = 0,
        PeakCompressionUncertaintyN = doubtN,
        PeakTensionUncertaintyN = double.NaN,
        PeakIsLowerBound = false,
        MarginOfSafety = (20_000 / peakN) - 1,
        LifeUsedPct = lifePct,
        Verdict = ComponentVerdict.Run,
        Reasons = [],
    };

    private static RunReview With(params ComponentResult[] parts) => Quiet with { Fatigue = new() { Components = [.. parts], WithheldBecause = null } };

    [Fact]
    public void Limits_come_before_thresholds_before_life_and_a_quiet_part_is_not_on_the_list()
    {
        var list = InspectionList.From(With(Part("LIFE", 9000, 50, 85), Part("THRESHOLD", 16_000, 50), Part("QUIET", 9000, 50), Part("LIMIT", 21_000, 50)), PartHistory.Empty);
        Assert.Equal(["LIMIT", "THRESHOLD", "LIFE"], list.Select(item => item.Subject));
        Assert.Equal([1, 2, 3], list.Select(item => item.Rank));
    }

    [Fact]
    public void The_probability_is_that_of_a_normal_about_the_peak()
    {
        // By hand: 14.9 kN with a standard uncertainty of 100 N is one of them below the threshold of 15 kN: 15.87 % (standard normal table).
        InspectionItem item = Assert.Single(InspectionList.From(With(Part("A", 14_900, 100)), PartHistory.Empty));
        Assert.Equal(InspectionReason.ThresholdReached, item.Reason);
        Assert.Equal(0.1587, item.Probability, 1e-4);
        Assert.Empty(InspectionList.From(With(Part("A", 14_800, 100)), PartHistory.Empty));
    }

    [Fact]
    public void The_limit_factor_goes_on_the_load_before_the_inspection_threshold()
    {
        ComponentResult part = Part("A", 14_000, 1);
        Assert.Empty(InspectionList.From(With(part), PartHistory.Empty));
        Assert.Single(InspectionList.From(With(part with { Component = part.Component with { LimitFactor = 1.1 } }), PartHistory.Empty));
    }

    private static RunReading Slope(double value) => new(RunReadings.LoadPerTravel, "FL", value, 2000, "N/m");

    private static PartHistory History(params double[] values) => new() { Readings = [.. values.Select((value, i) => new HistoricReading($"run {i}", Slope(value)))] };

    [Fact]
    public void A_load_against_travel_that_left_its_history_is_on_the_list_with_its_statistic()
    {
        // By hand: mean 200,000, scatter sqrt((4 + 1 + 0 + 1 + 4) e6 / 4) = 1581 below the stated 2000; t = -20,000 / (2000 sqrt(1.2)) = -9.13 with 4 degrees of freedom.
        RunReview review = Quiet with { Readings = [Slope(180_000)] };
        InspectionItem item = Assert.Single(InspectionList.From(review, History(198_000, 199_000, 200_000, 201_000, 202_000)));
        Assert.Equal(InspectionReason.ComplianceDrift, item.Reason);
        Assert.Contains("t = -9.1", item.Because, StringComparison.Ordinal);
        Assert.Contains("-10.0 %", item.Because, StringComparison.Ordinal);
        Assert.Empty(InspectionList.From(Quiet with { Readings = [Slope(203_000)] }, History(198_000, 199_000, 200_000, 201_000, 202_000)));
    }

    [Fact]
    public void Without_three_earlier_runs_nothing_is_claimed_and_the_reason_is_given()
    {
        RunReview review = Quiet with { Readings = [Slope(100_000)] };
        Assert.Empty(InspectionList.From(review, History(200_000, 200_000)));
        Assert.Contains("3 earlier runs", InspectionList.NoDriftBecause(review, History(200_000, 200_000)), StringComparison.Ordinal);
        Assert.Null(InspectionList.NoDriftBecause(review, History(200_000, 200_000, 200_000)));
    }

    [Fact]
    public void Left_and_right_that_shake_differently_are_told_and_a_small_difference_is_not()
    {
        static RunReading Shake(string corner, double value) => new(RunReadings.RoadScatter, corner, value, 5, "N");
        InspectionItem item = Assert.Single(InspectionList.From(Quiet with { Readings = [Shake("FL", 400), Shake("FR", 300), Shake("RL", 300), Shake("RR", 310)] }, PartHistory.Empty));
        Assert.Equal(InspectionReason.Asymmetry, item.Reason);
        Assert.Equal("front", item.Subject);
        Assert.Contains("1.33", item.Because, StringComparison.Ordinal);
    }

    [Fact]
    public void The_page_has_a_box_for_each_item_and_defers_to_those_who_decide()
    {
        RunReview review = With(Part("LIMIT", 21_000, 50));
        string page = InspectionSheet.From(review with { Inspections = InspectionList.From(review, PartHistory.Empty), NoDriftBecause = "No history." });
        Assert.Contains("[ ]  1. LIMIT: limit exceeded", page, StringComparison.Ordinal);
        Assert.Contains("licensed practice", page, StringComparison.Ordinal);
        Assert.True(page.Split('\n').All(line => line.Length <= 100));
    }
}
