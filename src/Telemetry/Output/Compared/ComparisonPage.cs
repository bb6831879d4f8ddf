using System.Collections.Immutable;
using Telemetry.Comparison;
using Telemetry.Output.Plots;
using Telemetry.Output.Report;
using Telemetry.Output.Tables;

namespace Telemetry.Output.Compared;

/// <summary>comparison.html: one file that opens with no network.</summary>
internal static class ComparisonPage
{
    private const string Policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

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
            {Html.Join(result.Differences.Select(Differences))}
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

    private static Html Differences(SetupDifference difference)
    {
        ImmutableArray<TableColumn> columns = [new("quantity", ""), new("baseline", ""), new("difference and its 95 % interval", ""), new("of the baseline", "%", 1), new("the sign is right", ""), new("verdict", "")];
        return Html.Of($"""
            {ReportParts.Table(new("differences", $"{difference.Setup} less {difference.Baseline}", columns, [.. difference.Quantities.Select(Row)]))}
            {ReportParts.Notes([.. difference.Withheld.Select(missing => $"{missing.Name} withheld: {missing.Because}")])}
            """);

        static ImmutableArray<TableCell> Row(QuantityDifference q)
        {
            (string unit, double factor) = ComparedUnits.Of(q.Kind);
            return
            [
                QuantityNames.Of(q.Kind),
                double.IsNaN(q.Baseline) ? "" : $"{NumberText.Fixed(q.Baseline * factor, NumberText.Decimals(q.StandardUncertainty * factor))} {unit}",
                $"{ComparedUnits.Change(q.Difference, factor)} {unit}",
                q.Kind == ComparedKind.Balance ? double.NaN : q.Percent?.Value,
                ComparedUnits.Probability(q.ProbabilityOfSign),
                q.IsReal ? "real" : "not shown",
            ];
        }
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
            [.. total.Budget.Select(line => ImmutableArray.CreateRange<TableCell>([line.Name, line.StandardUncertainty, line.Correlation, line.Remark]))]));
    }
}
