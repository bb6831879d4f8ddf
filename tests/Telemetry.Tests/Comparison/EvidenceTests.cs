using Telemetry.Comparison;
using Telemetry.Output;
using Telemetry.Output.Compared;
using Telemetry.Output.Plots;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Comparison;

public class EvidenceTests
{
    [Fact]
    public void Evidence_that_was_kept_in_a_summary_compares_as_before()
    {
        var runs = new ModelWorld { GustMps = 0.4 }.Draw(new Random(31), 0, 0.015);
        QuantityDifference direct = SetupComparison.From(runs).Differences[0].Quantities.Single(q => q.Kind == ComparedKind.TotalLiftArea);
        QuantityDifference kept = SetupComparison.From([.. runs.Select(Kept)]).Differences[0].Quantities.Single(q => q.Kind == ComparedKind.TotalLiftArea);
        Assert.Equal(direct.Difference.Value, kept.Difference.Value, 1e-6);
        Assert.Equal(direct.StandardUncertainty, kept.StandardUncertainty, 1e-6);
    }

    [Fact]
    public void A_summary_without_passes_gives_no_evidence() =>
        Assert.Null(EvidenceInSummary.From(SummaryFile.From(SampleReviews.Full) with { Aero = SummaryFile.From(SampleReviews.Full).Aero with { Evidence = null } }));

    [Fact]
    public void The_picture_shows_every_difference_and_names_the_wanted_one()
    {
        ComparisonResult result = SetupComparison.From(new ModelWorld().Draw(new Random(32), 0, 0.02));
        using Figure figure = ForestPicture.Sketch(result, 0.015)!;
        Assert.Contains("a real change", figure.Title, StringComparison.Ordinal);
        Assert.Equal(["real at 95 %, with its interval", "not shown", "wanted difference"], figure.Legend.Select(entry => entry.Text));
        Assert.Equal(4, figure.Panels[0].EdgeLabels.Count);
    }

    [Fact]
    public void The_table_has_a_row_for_each_quantity_and_for_what_is_withheld()
    {
        ComparisonResult result = SetupComparison.From(new ModelWorld().Draw(new Random(33), 0, 0.02));
        var table = ComparisonTable.Differences(result);
        Assert.Equal(result.Differences[0].Quantities.Length + result.Differences[0].Withheld.Length, table.Rows.Length);
        Assert.All(table.Rows, row => Assert.Equal(table.Columns.Length, row.Length));
    }

    private static RunEvidence Kept(RunEvidence run)
    {
        Summary summary = SummaryFile.From(SampleReviews.Full);
        return EvidenceInSummary.From(summary with
        {
            Run = summary.Run with { Name = run.Name },
            Car = summary.Car with { Basis = [.. run.Basis.Select(f => new SummaryField(f.Name, f.Value))], Setup = [.. run.Setup.Select(f => new SummaryField(f.Name, f.Value))] },
            Aero = summary.Aero with
            {
                ReferenceSpeedKmh = run.ReferenceSpeedMps * 3.6,
                Front = new(Three(run.Headline!.FrontLiftAreaM2), Three(run.Headline.FrontLoadN)),
                Rear = new(Three(run.Headline.RearLiftAreaM2), Three(run.Headline.RearLoadN)),
                Total = new(Three(run.Headline.TotalLiftAreaM2), Three(run.Headline.TotalLoadN)),
                BalanceFrontPct = Three(run.Headline.BalanceFrontPct),
                Air = new(run.Air.DensityKgM3, run.Air.StandardUncertaintyKgM3, run.Air.Source, false),
                Budget = [.. run.Budget.Select(line => new SummaryBudgetLine(line.Name, line.FrontLoadN, line.RearLoadN, line.TotalLoadN, true, ""))],
                Wind = summary.Aero.Wind with { HeadingIsTrue = true },
                Evidence = EvidenceInSummary.Of(run),
            },
        })!;
    }

    private static SummaryEstimate Three(Estimate estimate) => new(estimate.Value, estimate.Low95, estimate.High95);
}
