using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Output.Tables;
using Telemetry.Review;
using Telemetry.Zero;

namespace Telemetry.Output.Report;

/// <summary>The log itself: findings, zeros, laps, and the pictures that no other section shows.</summary>
internal static class RunSection
{
    public static Html Of(RunReview review, IReadOnlyList<ReportPicture> pictures) => Html.Of($"""
        <h2>The log</h2>
        {ReportParts.Table(ReviewTables.Health(review.Health), tone: Severity)}
        {Repairs(review)}
        {ReportParts.Withheld(review.Wheels.Pushrods.WithheldBecause)}
        {ReportParts.Table(Zeros(review.Wheels.Pushrods))}
        {ContactPatch(review)}
        {ReportParts.Table(LapTables.Laps(review))}
        {ReportParts.Pictures(pictures, IsLeft)}
        """);

    private static Html Repairs(RunReview review) => review.Cleaning.Done.IsEmpty && review.Cleaning.Left.IsEmpty
        ? Html.None
        : Html.Of($"""
            {ReportParts.Table(RepairTables.Counts(review))}
            {(review.RepairEffects.IsEmpty ? Html.None : ReportParts.Table(RepairTables.Effects(review)))}
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
            zero.Corner.Code(), Words(zero.Value.Source), zero.Value.StartN, zero.Value.EndN, zero.Value.DriftN,
            zero.Value.StandardUncertaintyN, ReviewTables.YesNo(zero.Value.FollowsTemperature),
        ]))]);

    private static string Words(ZeroSource source) => source switch
    {
        ZeroSource.GroundCornerWeights => "standstill and corner weights",
        ZeroSource.GroundMassOnly => "standstill and mass",
        ZeroSource.Stands => "on stands",
        _ => "none found",
    };
}
