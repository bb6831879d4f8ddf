using Telemetry.Output.Tables;
using Telemetry.Review;

namespace Telemetry.Output.Report;

/// <summary>Parts: verdict, peaks, limits, damage, life.</summary>
internal static class ComponentSection
{
    /// <summary>Enough rows of the range-mean matrix to hold the ranges that do the damage.</summary>
    private const int MostCycleRows = 20;

    /// <summary>Enough for the parts that the figures show.</summary>
    private const int MostRowsBehind = 150;

    private static readonly string[] Shown =
    [
        "component", "corner", "verdict", "margin of safety", "peak compression", "compression limit", "peak tension", "tension limit",
        "life used", "damage of the run", "damage low95 by load", "damage high95 by load", "reasons",
    ];

    public static Html Of(RunReview review, ReportFigures figures) => Html.Of($"""
        <h2>Components</h2>
        {ReportParts.Withheld(review.Fatigue.WithheldBecause)}
        {ReportParts.Table(figures.Table("components"), Shown, tone: VerdictTone)}
        {ReportParts.Table(figures.Table("life_sensitivity"))}
        {(figures.Live.Contains(Plots.ExceedancePicture.Name) ? LiveFigure.Plot("exceedance-figure", Plots.ExceedancePicture.Name, "Cycles that reach a load range", figures) : Html.None)}
        {(figures.Live.Contains(Plots.RangeMeanPicture.Name) ? Drawings.RangeMean(review.Fatigue, figures) : Html.None)}
        {(figures.Live.Count > 0 ? StrikeDrawing.DamageByPlace(review, figures) : Html.None)}
        {ReportParts.Pictures(figures, IsOfParts)}
        {ReportParts.Behind("Cycles that reach a range, as a table", figures.Table("exceedance"), MostRowsBehind)}
        {ReportParts.Behind("Damage by phase of driving and by place, as a table", figures.Table("damage_charges"), MostRowsBehind)}
        {ReportParts.Table(figures.Table("cycles"), mostRows: MostCycleRows)}
        """);

    internal static bool IsOfParts(string name) =>
        name.Contains("damage", StringComparison.Ordinal) || name.Contains("exceedance", StringComparison.Ordinal)
        || name.Contains("cycle", StringComparison.Ordinal) || name.Contains("range", StringComparison.Ordinal);

    private static Tone VerdictTone(TableColumn column, string text) => (column.Name, text) switch
    {
        ("verdict", "retire") => Tone.Alarm,
        ("verdict", "inspect" or "unknown") => Tone.Warning,
        ("verdict", "run") => Tone.Good,
        _ => Tone.Plain,
    };
}
