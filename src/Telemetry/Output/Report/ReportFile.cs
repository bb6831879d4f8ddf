using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Output.Plots;
using Telemetry.Output.Tables;
using Telemetry.Review;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Report;

/// <summary>A picture of the report.</summary>
/// <param name="Name">File name without ending.</param>
/// <param name="Title">What the picture finds, one sentence.</param>
/// <param name="Description">What is drawn, for a reader who cannot see it.</param>
/// <param name="Png">The picture; drawn for a white ground.</param>
public sealed record ReportPicture(string Name, string Title, string Description, ReadOnlyMemory<byte> Png);

/// <summary>report.html: one file that opens with no network, reads on a phone and prints.</summary>
/// <remarks>
/// The first screen holds the verdicts and what needs a person; then the tables and pictures behind them. Pictures are
/// embedded as PNG, because the text of an SVG would be set in whatever font the reader's machine has; where the page's
/// script runs, figures that can be zoomed take the place of those that gain from it, and the stills are kept for paper.
/// The page permits itself that one script and no request, so a hostile name in a log stays text whatever a browser makes of it.
/// </remarks>
public static class ReportFile
{
    /// <summary>The page as UTF-8 without a byte-order mark.</summary>
    /// <param name="review">The review.</param>
    /// <param name="pictures">Pictures in the order in which they are shown; may be empty.</param>
    public static byte[] From(RunReview review, IReadOnlyList<ReportPicture> pictures)
    {
        ArgumentNullException.ThrowIfNull(review);
        return Page(review, pictures, ReportTraces.From(review), ReviewTables.From(review), new(() => Drawings.CellsOf(review.HeightMap))).ToUtf8();
    }

    /// <summary>The page with channels that were packed, tables and a map that were made before; without any living figure where there are no channels.</summary>
    internal static Html Page(RunReview review, IReadOnlyList<ReportPicture> pictures, ReportTraces? traces, ImmutableArray<ResultTable> tables, Lazy<HeightCells> heightCells)
    {
        ArgumentNullException.ThrowIfNull(review);
        ArgumentNullException.ThrowIfNull(pictures);
        ReportFigures figures = new(pictures, traces is null ? new HashSet<string>() : Live(review), tables, heightCells);
        // Side by side: the page is the last file that is made, and nothing else is left to do beside it. The scripts take longest and are begun first.
        Func<Html>[] parts =
        [
            () => traces is null ? Html.None : LiveFigure.Scripts(review, traces),
            () => Html.Of($"{Head(review)}\n{Verdicts(review)}\n{Actions(review)}\n{InspectionSection.Of(review, figures)}\n{(traces is null ? Html.None : LiveFigure.Channels(review, traces))}\n"),
            () => AeroSection.Of(review, figures),
            () => ComponentSection.Of(review, figures),
            () => KerbSection.Of(review, figures),
            () => PlatformSection.Of(review, figures),
            () => RunSection.Of(review, figures),
        ];
        Html[] made = new Html[parts.Length];
        Workers.Run(parts.Length, i => made[i] = parts[i]());
        Html main = Html.Of($"""
            {Html.Join(made[1..])}
            <h2>What these numbers are not</h2>
            {ReportParts.Notes(Cautions.All)}
            <p class="muted small">Library version {review.LibraryVersion}. All intervals are 95 %. summary.json and the tables beside this file hold every number with more digits.</p>
            {(traces is null ? Html.None : LiveFigure.Licence())}
            """);
        return HtmlPage.Of($"{review.Run.Name}: pushrod loads", ReportScript.Policy, Html.Resource(ReportScript.Style), main, Html.Of($"\n{made[0]}"));
    }

    /// <summary>Names of the still pictures that this run has a living figure for.</summary>
    private static HashSet<string> Live(RunReview review)
    {
        (string Name, bool IsThere)[] all =
        [
            (AeroLoadPicture.Name, !review.Aero.Curve.IsEmpty || review.Aero.Windows.Any(w => double.IsFinite(w.SpeedMps + w.FrontLoadN + w.RearLoadN))),
            (RideHeightMapPicture.Name, review.HeightMap.WithheldBecause is null && !review.HeightMap.Region.IsEmpty),
            (ExceedancePicture.Name, ExceedancePicture.Shown(review.Fatigue).Length > 0),
            (RangeMeanPicture.Name, RangeMeanPicture.MostDamaged(review.Fatigue) is not null),
            (KerbStrikePicture.Name, review.Kerbs.Strikes.Any(s => double.IsFinite(s.PeakLoadN))),
            (KerbMapPicture.Name, review.Kerbs.Strikes.Any(s => double.IsFinite(s.PeakLoadN)) && StrikeMap.CanDraw(review)),
            (HealthPicture.Name, !review.Health.Findings.IsEmpty && review.Run.Clock.LastS > review.Run.Clock.StartS),
        ];
        return [.. all.Where(figure => figure.IsThere).Select(figure => figure.Name)];
    }

    private static Html Head(RunReview review)
    {
        string when = review.Run.StartedAtUtc is DateTimeOffset start
            ? start.UtcDateTime.ToString("yyyy-MM-dd HH:mm 'UTC', ", CultureInfo.InvariantCulture)
            : "";
        double seconds = review.Run.Count == 0 ? double.NaN : review.Run.Clock.LastS - review.Run.Clock.StartS;
        return Html.Of($"""
            <h1><bdi>{review.Run.Name}</bdi></h1>
            <p class="muted"><bdi>{review.Run.Car.Name}</bdi>. {when}{Fixed(seconds / 60, 1)} min, {Count(review.Run.Laps.Laps.Length, "lap")} (from: {review.Run.Laps.Source}), load cells at {Fixed(review.Run.Clock.RateHz, 0)} Hz.</p>
            """);
    }

    private static Html Verdicts(RunReview review) => Html.Of($"""
        <ul class="verdicts">{Html.Join(VerdictLines.Of(review).Select(line => Html.Of(
            $"<li class=\"{ReportParts.Class(line.Tone)}\">{line.Subject}<b>{line.Verdict}</b><span class=\"small\">{line.Detail}</span></li>")))}</ul>
        """);

    private static Html Actions(RunReview review)
    {
        if (review.Actions.IsEmpty)
        {
            return Html.Of($"<h2>What needs a person</h2><p>Nothing was found that needs a person before the next run. The cautions at the end still hold.</p>");
        }

        return Html.Of($"""
            <h2>What needs a person</h2>
            <ul class="actions">{Html.Join(review.Actions.Select(action => Html.Of(
                $"<li class=\"{(action.Urgency == ActionUrgency.BeforeNextRun ? "stop" : "warn")}\"><span class=\"when\">{(action.Urgency == ActionUrgency.BeforeNextRun ? "Before the next run" : "Soon")}: <bdi>{action.Subject}</bdi>.</span> {action.Instruction} {action.Because}</li>")))}</ul>
            """);
    }
}
