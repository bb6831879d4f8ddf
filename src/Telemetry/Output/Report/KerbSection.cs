using System.Collections.Immutable;
using Telemetry.Car;
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
        "duration", "impulse", "nearest limit of", "margin of safety", "past the limit",
    ];

    public static Html Of(RunReview review, IReadOnlyList<ReportPicture> pictures)
    {
        ResultTable strikes = ReviewTables.KerbStrikes(review.Kerbs);
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
            {ReportParts.Table(Kerbs(review))}
            {ReportParts.Pictures(pictures, name => name.Contains("kerb", StringComparison.Ordinal) || name.Contains("strike", StringComparison.Ordinal))}
            {ReportParts.Table(worstFirst, Shown, MostStrikes, (column, text) => column.Name == "past the limit" && text == "yes" ? Tone.Alarm : Tone.Plain)}
            """);
    }

    private static ResultTable Kerbs(RunReview review) => new(
        "kerb_strikes",
        "Kerbs, worst peak first",
        [
            new("kerb", "-"), new("distance", "m"), new("side", ""), new("strikes", "-"), new("laps", "-"),
            new("worst peak load", "N"), new("peak is a lower bound", ""), new("corner", ""), new("past a limit", "-"),
        ],
        [.. review.Kerbs.Kerbs.Select(kerb => ImmutableArray.CreateRange<TableCell>(
            [kerb.Number, kerb.DistanceM, kerb.IsLeft ? "left" : "right", kerb.Strikes, kerb.Laps, kerb.WorstPeakLoadN, ReviewTables.YesNo(kerb.WorstIsLowerBound), kerb.WorstCorner.Code(), kerb.Exceedances]))]);

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
