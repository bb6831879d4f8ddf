using Telemetry.Output.Tables;
using Telemetry.Review;

namespace Telemetry.Output.Report;

/// <summary>Kerbs and the strikes that came nearest to a limit.</summary>
internal static class KerbSection
{
    private const int MostStrikes = 25;

    private static readonly string[] Shown =
    [
        "strike", "corner", "lap", "distance", "speed", "peak load", "worst under-read of the peak", "peak is a lower bound",
        "best estimate of the true peak", "its standard uncertainty", "duration", "nearest limit of", "margin of safety", "probability past the limit", "past the limit",
    ];

    private static readonly string[] ShownOfKerbs =
    [
        "kerb", "distance", "side", "strikes", "laps", "confidence", "worst peak load", "peak is a lower bound", "corner", "past a limit",
        "rank by damage", "costs most to", "share of the part's damage", "life if left alone",
    ];

    // Which kerb to leave alone, in a sentence that can be read to a driver.
    private static Html Cost(RunReview review)
    {
        if (review.KerbCosts.FirstOrDefault(cost => cost.ComponentId is not null && cost.ShareOfRun > 0) is not { } first)
        {
            return Html.None;
        }

        Telemetry.Kerbs.Kerb kerb = review.Kerbs.Kerbs[first.Kerb - 1];
        string place = double.IsNaN(kerb.DistanceM) ? $"kerb {kerb.Number}" : FormattableString.Invariant($"the kerb on the {(kerb.IsLeft ? "left" : "right")} at {kerb.DistanceM:0} m");
        string gain = double.IsFinite(first.LifeGain) ? FormattableString.Invariant($"about {first.LifeGain:0.0} times as many runs like this one") : "all but its other loads' life";
        return Html.Of($"<p>Most life is spent on {place}: {NumberText.Fixed(100 * first.ShareOfRun, 0)} % of the run's damage to {first.ComponentId}. Left alone, that part would last {gain}. It is a charge by the cycles' turning points, not a promise.</p>");
    }

    public static Html Of(RunReview review, ReportFigures figures)
    {
        ResultTable strikes = figures.Table("kerb_strikes");
        int margin = Index(strikes, "margin of safety");
        int peak = Index(strikes, "peak load");
        // Nearest to its limit first; strikes of parts without a limit follow by their peak.
        ResultTable worstFirst = strikes with
        {
            Title = "Kerb strikes, nearest to a limit first",
            Rows = [.. strikes.Rows
                .OrderBy(row => double.IsNaN(row[margin].Number) ? double.PositiveInfinity : row[margin].Number)
                .ThenByDescending(row => row[peak].Number)],
        };
        return Html.Of($"""
            <h2>Kerb strikes</h2>
            {ReportParts.Withheld(review.Kerbs.WithheldBecause)}
            {ReportParts.Table(figures.Table("kerbs"), ShownOfKerbs)}
            {Cost(review)}
            {(figures.Live.Count > 0 ? StrikeDrawing.Strikes(review, figures) : Html.None)}
            {ReportParts.Pictures(figures, name => name.Contains("kerb", StringComparison.Ordinal) || name.Contains("strike", StringComparison.Ordinal))}
            {ReportParts.Table(worstFirst, Shown, MostStrikes, (column, text) => column.Name == "past the limit" && text == "yes" ? Tone.Alarm : Tone.Plain)}
            """);
    }

    private static int Index(ResultTable table, string name)
    {
        for (int i = 0; i < table.Columns.Length; i++)
        {
            if (table.Columns[i].Name == name)
            {
                return i;
            }
        }

        throw new ArgumentException($"There is no column '{name}'.", nameof(name));
    }
}
