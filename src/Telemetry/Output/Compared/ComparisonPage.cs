using System.Collections.Immutable;
using Telemetry.Comparison;
using Telemetry.Output.Plots;
using Telemetry.Output.Report;
using Telemetry.Output.Tables;

namespace Telemetry.Output.Compared;

/// <summary>comparison.html: one file that opens with no network.</summary>
internal static class ComparisonPage
{
    /// <summary>The page as UTF-8: the difference first, then what it rests on, run beside run.</summary>
    public static byte[] From(ComparedSet set, ImmutableArray<PlotFile> pictures)
    {
        ComparisonResult result = set.Result;
        string names = string.Join(", ", result.Runs.Select(run => run.Name));
        Html main = Html.Of($"""
            <h1>Did the change work?</h1>
            {At(result)}
            {Verdicts(set)}
            {ReportParts.Withheld(result.WithheldBecause)}
            {Doubts(set)}
            <h2>What changed</h2>
            {Picture(pictures, ForestPicture.Name)}
            {Html.Join(result.Differences.Select(Differences))}
            {Html.Join(result.Differences.Select(Power))}
            {SideBySide.Of(set, name => Picture(pictures, name))}
            <h2>How sure it is, and how it was done</h2>
            {Html.Join(result.Differences.Select(Budget))}
            {ReportParts.Notes(result.SetDifferently)}
            {ReportParts.Notes(result.Method)}
            <h2>What these numbers are not</h2>
            {ReportParts.Notes(Cautions.All)}
            """);
        return HtmlPage.Of($"Comparison of {names}", HtmlPage.WithoutScript, Html.Of($"\n{Html.Constant(ReportStyle.Css)}\n"), main).ToUtf8();
    }

    private static Html At(ComparisonResult result)
    {
        Html runs = Html.Join(result.Runs.Select(run => Html.Of($"<li>Run {run.Order}, setup {run.Setup}: {run.Name}, {CountText.Of(run.Laps, "lap")}, {CountText.Of(run.Passes, "straight pass", "straight passes")}</li>")));
        Html at = double.IsFinite(result.SpeedMps)
            ? Html.Of($"<p class=\"muted\">Loads at {NumberText.Fixed(result.SpeedMps * NumberText.KmhPerMps, 0)} km/h air speed and {NumberText.Fixed(ComparisonResult.DensityKgM3, 3)} kg/m3, so that the weather does not count; 95 % intervals.</p>")
            : Html.None;
        return Html.Of($"<ul class=\"notes\">{runs}</ul>{at}");
    }

    private static Html Verdicts(ComparedSet set)
    {
        IEnumerable<Html> differences =
            from difference in set.Result.Differences
            from q in difference.Quantities
            where q.Kind is ComparedKind.TotalLoad or ComparedKind.Balance
            let shown = ComparedUnits.Of(q.Kind)
            let name = QuantityNames.Of(q.Kind)
            let verdict = QuantityNames.VerdictInWords(q)
            select Html.Of($"<li class=\"plain\">{name}, {difference.Setup} less {difference.Baseline}<b>{ComparedUnits.Signed(q.Difference.Value * shown.Factor, NumberText.Decimals(q.Difference.HalfWidth * shown.Factor))} {shown.Unit}</b><span class=\"small\">{verdict}; {ComparedUnits.Change(q.Difference, shown.Factor)} {shown.Unit}; the sign is right with {ComparedUnits.Probability(q.ProbabilityOfSign)}</span></li>");
        IEnumerable<Html> logs = set.Runs.Select(subject => Html.Of(
            $"<li class=\"{ReportParts.Class(subject.Summary.Health.Verdict == "good" ? Tone.Good : Tone.Warning)}\">Log of run {subject.Run.Order}<b>{Capital(subject.Summary.Health.Verdict)}</b><span class=\"small\">{CountText.Of(subject.Summary.Health.Findings.Length, "finding")}, {subject.Run.Name}</span></li>"));
        Html[] all = [.. differences, .. logs];
        return all.Length == 0 ? Html.None : Html.Of($"<ul class=\"verdicts\">{Html.Join(all)}</ul>");
    }

    private static Html Doubts(ComparedSet set) => set.Result.Flags.IsEmpty
        ? Html.Of($"<h2>What needs a person</h2><p>Nothing was found that makes the comparison doubtful. What each run asks for by itself stands further down.</p>")
        : Html.Of($"<h2>What needs a person</h2><ul class=\"actions\">{Html.Join(set.Result.Flags.Select(flag => Html.Of($"<li class=\"warn\"><span class=\"when\">Doubt.</span> {flag}</li>")))}</ul>");

    private static Html Picture(ImmutableArray<PlotFile> pictures, string name) => pictures.FirstOrDefault(picture => picture.Name == name) is { } found
        ? Html.Of($"<figure><img alt=\"{found.Description}\" src=\"data:image/png;base64,{Html.Base64(found.Png.AsMemory())}\"><figcaption>{found.Title}. {found.Name}.png and .svg</figcaption></figure>")
        : Html.None;

    private static string Capital(string word) => word.Length == 0 ? word : char.ToUpperInvariant(word[0]) + word[1..];

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
                QuantityNames.Verdict(q),
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
