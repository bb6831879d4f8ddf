using System.Globalization;
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
/// embedded as PNG, because the text of an SVG would be set in whatever font the reader's machine has. The page forbids
/// itself every script and every request, so a hostile name in a log stays text whatever a browser makes of it.
/// </remarks>
public static class ReportFile
{
    private const string Policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

    /// <summary>The page as UTF-8 without a byte-order mark.</summary>
    /// <param name="review">The review.</param>
    /// <param name="pictures">Pictures in the order in which they are shown; may be empty.</param>
    public static byte[] From(RunReview review, IReadOnlyList<ReportPicture> pictures)
    {
        ArgumentNullException.ThrowIfNull(review);
        ArgumentNullException.ThrowIfNull(pictures);
        Html page = Html.Of($"""
            <!DOCTYPE html>
            <html lang="en">
            <head>
            <meta charset="utf-8">
            <meta http-equiv="Content-Security-Policy" content="{Policy}">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            <title>{review.Run.Name}: pushrod loads</title>
            <style>
            {Style()}
            </style>
            </head>
            <body>
            <main>
            {Head(review)}
            {Verdicts(review)}
            {Actions(review)}
            {InspectionSection.Of(review)}
            {AeroSection.Of(review, pictures)}
            {ComponentSection.Of(review, pictures)}
            {KerbSection.Of(review, pictures)}
            {PlatformSection.Of(review, pictures)}
            {RunSection.Of(review, pictures)}
            <h2>What these numbers are not</h2>
            {ReportParts.Notes(Cautions.All)}
            <p class="muted small">Library version {review.LibraryVersion}. All intervals are 95 %. summary.json and the tables beside this file hold every number with more digits.</p>
            </main>
            </body>
            </html>

            """);
        return page.ToUtf8();
    }

    // A style sheet is raw text in HTML: encoding it would change its quotes. It is a constant of ours with nothing from outside.
    private static Html Style() => Html.Constant(ReportStyle.Css);

    private static Html Head(RunReview review)
    {
        string when = review.Run.StartedAtUtc is DateTimeOffset start
            ? start.UtcDateTime.ToString("yyyy-MM-dd HH:mm 'UTC', ", CultureInfo.InvariantCulture)
            : "";
        double seconds = review.Run.Count == 0 ? double.NaN : review.Run.Clock.LastS - review.Run.Clock.StartS;
        return Html.Of($"""
            <h1>{review.Run.Name}</h1>
            <p class="muted">{review.Run.Car.Name}. {when}{Fixed(seconds / 60, 1)} min, {Count(review.Run.Laps.Laps.Length, "lap")} (from: {review.Run.Laps.Source}), load cells at {Fixed(review.Run.Clock.RateHz, 0)} Hz.</p>
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
                $"<li class=\"{(action.Urgency == ActionUrgency.BeforeNextRun ? "stop" : "warn")}\"><span class=\"when\">{(action.Urgency == ActionUrgency.BeforeNextRun ? "Before the next run" : "Soon")}: {action.Subject}.</span> {action.Instruction} {action.Because}</li>")))}</ul>
            """);
    }
}
