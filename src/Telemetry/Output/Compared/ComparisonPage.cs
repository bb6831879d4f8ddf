using Telemetry.Comparison;
using Telemetry.Output.Plots;
using Telemetry.Output.Report;

namespace Telemetry.Output.Compared;

/// <summary>comparison.html: one file that opens with no network.</summary>
internal static class ComparisonPage
{
    private const string Policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

    private static readonly string[] Columns =
        ["setup", "quantity", "unit of the numbers", "baseline", "difference", "difference low95", "difference high95", "probability of the sign", "p value adjusted", "real", "power at wanted", "remark"];

    /// <summary>The page as UTF-8.</summary>
    public static byte[] From(ComparisonResult result, PlotFile? forest)
    {
        string names = string.Join(", ", result.Runs.Select(run => run.Name));
        Html picture = forest is null ? Html.None : Html.Of($"<figure><img alt=\"{forest.Description}\" src=\"data:image/png;base64,{Html.Base64(forest.Png.AsMemory())}\"></figure>");
        Html page = Html.Of($"""
            <!DOCTYPE html>
            <html lang="en">
            <head>
            <meta charset="utf-8">
            <meta http-equiv="Content-Security-Policy" content="{Policy}">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            <title>Comparison of {names}</title>
            <style>
            {Html.Constant(ReportStyle.Css)}
            </style>
            </head>
            <body>
            <main>
            <h1>Did the change work?</h1>
            <ul>{Html.Join(result.Runs.Select(run => Html.Of($"<li>{run.Order}. {run.Setup}: {run.Name}, {CountText.Of(run.Laps, "lap")}, {CountText.Of(run.Passes, "straight pass", "straight passes")}</li>")))}</ul>
            {ReportParts.Withheld(result.WithheldBecause)}
            {ReportParts.Notes(result.Flags)}
            {picture}
            {ReportParts.Table(ComparisonTable.Differences(result), Columns)}
            {Html.Join(result.Differences.Select(Power))}
            {Html.Join(result.Differences.Select(Budget))}
            <h2>How it was done</h2>
            {ReportParts.Notes(result.SetDifferently)}
            {ReportParts.Notes(result.Method)}
            {ReportParts.Notes(Cautions.All)}
            </main>
            </body>
            </html>

            """);
        return page.ToUtf8();
    }

    private static Html Power(SetupDifference difference) =>
        difference.Quantities.FirstOrDefault(q => q.Kind == ComparedKind.TotalLoad) is { } total
            ? Html.Of($"<p>{difference.Setup} less {difference.Baseline}: {ComparisonSheet.PowerOf(total)}</p>")
            : Html.None;

    private static Html Budget(SetupDifference difference)
    {
        QuantityDifference? total = difference.Quantities.FirstOrDefault(q => q.Kind == ComparedKind.TotalLoad);
        return total is null ? Html.None : ReportParts.Table(new(
            "budget",
            $"What the uncertainty of the total load is made of, {difference.Setup} less {difference.Baseline}",
            [new("part", ""), new("standard uncertainty", "N", 1), new("correlation between runs", "-", 0), new("what would help", "")],
            [.. total.Budget.Select(line => System.Collections.Immutable.ImmutableArray.CreateRange<Tables.TableCell>([line.Name, line.StandardUncertainty, line.Correlation, line.Remark]))]));
    }
}
