using System.Collections.Immutable;
using Telemetry.Review;

namespace Telemetry.Output.Tables;

/// <summary>What to inspect, and the readings kept for later runs.</summary>
public static class InspectionTables
{
    /// <summary>What to look at, the most urgent first.</summary>
    public static ResultTable Inspection(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        ImmutableArray<TableColumn> columns = [new("rank", "-"), new("reason", ""), new("subject", ""), new("look at", ""), new("because", ""), new("probability", "-", 3)];
        return new("inspection", "What to look at, in this order", columns, [.. review.Inspections.Select(item => ImmutableArray.CreateRange<TableCell>(
            [item.Rank, Word(item.Reason), item.Subject, item.LookAt, item.Because, item.Probability]))]);
    }

    /// <summary>Readings of corners and parts, SI.</summary>
    public static ResultTable Readings(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        ImmutableArray<TableColumn> columns = [new("reading", ""), new("subject", ""), new("value", "in its unit", 3), new("standard uncertainty", "in its unit", 3), new("unit", "")];
        return new("readings", "Readings kept for later runs", columns, [.. review.Readings.Select(reading => ImmutableArray.CreateRange<TableCell>(
            [reading.Name, reading.Subject, reading.Value, reading.StandardUncertainty, reading.Unit]))]);
    }

    /// <summary>Column checks of the struts.</summary>
    public static ResultTable StaticChecks(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        ImmutableArray<TableColumn> columns =
        [
            new("component", ""), new("column allowable", "N"), new("formula", ""), new("slenderness", "-", 1), new("transition slenderness", "-", 1),
            new("first yield when crooked", "N"), new("allowable over the given limit less 1", "-", 2), new("the same when crooked", "-", 2), new("margin of safety of the peak", "-", 2),
        ];
        return new("static_checks", "Column checks of the struts", columns, [.. Review.StaticChecks.From(review.Fatigue).Select(check => ImmutableArray.CreateRange<TableCell>(
        [
            check.ComponentId, check.Column.LoadN, check.Column.Formula == Car.ColumnFormula.Euler ? "Euler" : "Johnson", check.Column.Slenderness, check.Column.TransitionSlenderness,
            check.CrookedN, check.LimitMargin, check.CrookedLimitMargin, check.PeakMargin,
        ]))]);
    }

    /// <summary>The reason in words.</summary>
    public static string Word(InspectionReason reason) => reason switch
    {
        InspectionReason.LimitExceeded => "limit exceeded",
        InspectionReason.ThresholdReached => "threshold reached",
        InspectionReason.LifeUsed => "life used",
        InspectionReason.ComplianceDrift => "compliance has changed",
        InspectionReason.Asymmetry => "left and right differ",
        _ => "not judged",
    };
}
