using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Output.Tables;
using Telemetry.Review;
using Telemetry.Zero;

namespace Telemetry.Output.Report;

/// <summary>The log itself: findings, zeros, laps, and the pictures that no other section shows.</summary>
internal static class RunSection
{
    public static Html Of(RunReview review, ReportFigures figures) => Html.Of($"""
        <h2>The log</h2>
        {(figures.Live.Contains(Plots.HealthPicture.Name) ? Drawings.Health(review, figures) : Html.None)}
        {ReportParts.Table(figures.Table("health"), tone: Severity)}
        {Repairs(review, figures)}
        {ReportParts.Withheld(review.Wheels.Pushrods.WithheldBecause)}
        {ReportParts.Table(Zeros(review.Wheels.Pushrods))}
        {ReportParts.Table(Budget(review.Wheels.Pushrods))}
        {Calibrations(review.Wheels.Pushrods)}
        {ContactPatch(review)}
        {ReportParts.Table(figures.Table("laps"))}
        {ReportParts.Pictures(figures, IsLeft)}
        """);

    private static Html Repairs(RunReview review, ReportFigures figures) => review.Cleaning.Done.IsEmpty && review.Cleaning.Left.IsEmpty
        ? Html.None
        : Html.Of($"""
            {ReportParts.Table(RepairTables.Counts(review))}
            {(review.RepairEffects.IsEmpty ? Html.None : ReportParts.Table(figures.Table("repair_effects")))}
            """);

    private static Html ContactPatch(RunReview review) => review.Wheels.ContactPatchWithheldBecause is string reason
        ? Html.Of($"<p class=\"muted\">No contact-patch load: {reason}</p>")
        : Html.None;

    private static bool IsLeft(string name) =>
        !name.StartsWith("aero", StringComparison.Ordinal) && !ComponentSection.IsOfParts(name) && !PlatformSection.IsOfPlatform(name)
        && !name.Contains("kerb", StringComparison.Ordinal) && !name.Contains("strike", StringComparison.Ordinal);

    private static Tone Severity(TableColumn column, string text) => (column.Name, text) switch
    {
        ("severity", "unusable") => Tone.Alarm,
        ("severity", "doubtful") => Tone.Warning,
        _ => Tone.Plain,
    };

    private static ResultTable Zeros(ZeroedLoads loads) => new(
        "zeros",
        "Zeros of the load cells",
        [new("cell", ""), new("from", ""), new("at start", "N", 1), new("at end", "N", 1), new("drift", "N", 1), new("standard uncertainty", "N", 1), new("follows temperature", "")],
        [.. loads.Zeros.Each().Select(zero => ImmutableArray.CreateRange<TableCell>(
        [
            zero.Corner.Code(), Words(zero.Value), zero.Value.StartN, zero.Value.EndN, zero.Value.DriftN,
            zero.Value.StandardUncertaintyN, ReviewTables.YesNo(zero.Value.FollowsTemperature),
        ]))]);

    private static ResultTable Budget(ZeroedLoads loads) => new(
        "zero_budget",
        "What the standard uncertainty of the zeros is made of",
        [
            new("cell", ""), new("expected load", "N", 1), new("ratio", "N", 1), new("friction", "N", 1), new("repeat", "N", 1), new("resolution", "N", 1),
            new("drift", "N", 1), new("between runs", "N", 1), new("age", "N", 1), new("scatter of the stops", "N", 1), new("gain", "%", 2),
        ],
        [.. loads.Zeros.Each().Select(zero => (zero.Corner, Value: zero.Value, zero.Value.Budget)).Select(zero => ImmutableArray.CreateRange<TableCell>(
        [
            zero.Corner.Code(), zero.Budget.ExpectedN, zero.Budget.RatioN, zero.Budget.FrictionN, zero.Budget.RepeatN, zero.Budget.ResolutionN,
            zero.Budget.DriftN, zero.Budget.BetweenRunsN, zero.Budget.AgeN, zero.Value.ResidualScatterN, 100 * loads.GainUncertainty(zero.Corner),
        ]))]);

    private static Html Calibrations(ZeroedLoads loads) => loads.Calibrations.Each().All(cell => cell.Value is null)
        ? Html.None
        : ReportParts.Table(new ResultTable(
            "calibrations",
            "Calibrations of the load cells (terms in % of the output at the largest calibrated load)",
            [
                new("cell", ""), new("made", ""), new("by", ""), new("valid until", ""), new("gain", "-", 4), new("gain uncertainty", "%", 2), new("largest load", "N"),
                new("linearity", "%", 3), new("hysteresis", "%", 3), new("repeatability", "%", 3), new("zero return", "%", 3), new("remark", ""),
            ],
            [.. loads.Calibrations.Each().Where(cell => cell.Value is not null).Select(cell => cell.Value!).Select(cell => ImmutableArray.CreateRange<TableCell>(
            [
                cell.Corner.Code(), Day(cell.Date), cell.By ?? "", Day(cell.ValidUntil), cell.Gain, 100 * cell.GainUncertainty, cell.FullScaleN,
                cell.LinearityPct, cell.HysteresisPct, cell.RepeatabilityPct, cell.ZeroReturnPct, cell.Note ?? "",
            ]))]));

    private static string Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture) ?? "";

    private static string Words(CornerZero zero) => zero.Borrowed is { } from
        ? $"borrowed from {from.Run}, {(from.AgeH is double hours ? FormattableString.Invariant($"{Math.Abs(hours):0.#} h {(hours >= 0 ? "before" : "after")}") : "age not known")}"
        : Words(zero.Source);

    private static string Words(ZeroSource source) => source switch
    {
        ZeroSource.GroundCornerWeights => "standstill and corner weights",
        ZeroSource.GroundMassOnly => "standstill and mass",
        ZeroSource.Stands => "on stands",
        _ => "none found",
    };
}
