using Telemetry.Output.Tables;
using Telemetry.Review;

namespace Telemetry.Output.Report;

/// <summary>The inspection list in the report.</summary>
internal static class InspectionSection
{
    private const int MostItems = 18;

    public static Html Of(RunReview review, ReportFigures figures)
    {
        ResultTable list = figures.Table("inspection");
        Html items = list.Rows.IsEmpty
            ? Html.Of($"<p>The log gives no cause to look at anything out of turn.</p>")
            : ReportParts.Table(list, ["rank", "reason", "subject", "look at", "because"], MostItems, (column, text) => column.Name == "reason" ? text == "limit exceeded" ? Tone.Alarm : Tone.Warning : Tone.Plain);
        return Html.Of($"""
            <h2>Inspection list</h2>
            {items}
            {(review.NoDriftBecause is { } reason ? Html.Of($"<p class=\"muted small\">Load against travel was not held against earlier runs. {reason}</p>") : Html.None)}
            <p class="muted small">{InspectionSheet.Deferral}</p>
            """);
    }
}
