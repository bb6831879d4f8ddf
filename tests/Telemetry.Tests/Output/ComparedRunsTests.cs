using System.Collections.Immutable;
using System.Text;
using System.Text.RegularExpressions;
using Telemetry.Comparison;
using Telemetry.Output;
using Telemetry.Output.Compared;
using Telemetry.Output.Plots;
using Telemetry.Tests.Comparison;

namespace Telemetry.Tests.Output;

/// <summary>Runs of a comparison beside each other.</summary>
public class ComparedRunsTests
{
    private static ComparedSet Set(double change = 0.02, Func<Summary, int, Summary>? alter = null)
    {
        ComparisonResult result = SetupComparison.From(new ModelWorld().Draw(new Random(41), 0, change));
        Summary summary = SummaryFile.From(SampleReviews.Full);
        return ComparedSet.Of(result, [.. Enumerable.Range(0, 2).Select(r => alter is null ? summary : alter(summary, r))]);
    }

    private static ComparedCurve Curve(params (double X, double Value, double Half)[][] runs) => new(
        "Load", "kN", 2, [.. runs.Select(run => run.Select(p => new CurvePoint(p.X, new(p.Value, p.Value - p.Half, p.Value + p.Half))).ToImmutableArray())], null, 1);

    // By hand: 12 - 10 = 2; half widths 3 and 4 of independent values join to 5 (JCGM 100:2008, 5.1.2).
    [Fact]
    public void A_difference_joins_the_intervals_of_independent_runs()
    {
        CurvePoint less = Assert.Single(Curve([(200, 10, 3)], [(200, 12, 4)]).LessFirst(1));
        Assert.Equal((2, -3, 7), (less.Y.Value, less.Y.Low95, less.Y.High95));
    }

    // By hand: the first run is 11 half-way between 10 and 12.
    [Fact]
    public void A_speed_between_two_points_is_read_on_a_straight_line_and_none_beyond_the_ends()
    {
        ComparedCurve curve = Curve([(200, 10, 1), (220, 12, 1)], [(210, 12, 1), (230, 15, 1)]);
        Assert.Equal([210, 220], curve.LessFirst(1).Select(point => point.X));
        Assert.Equal(1, curve.LessFirst(1)[0].Y.Value, 1e-12);
        Assert.Null(curve.At(0, 221));
        Assert.Empty(Curve([(200, 10, 1)], []).LessFirst(1));
    }

    // Margin of safety = allowable / load - 1 (equation of the README): no margin is the limit itself, a margin of 1 half of it.
    [Theory]
    [InlineData(0.0, 100.0)]
    [InlineData(1.0, 50.0)]
    [InlineData(-0.2, 125.0)]
    [InlineData(null, double.NaN)]
    [InlineData(-1.0, double.NaN)]
    public void A_margin_is_a_share_of_the_limit(double? margin, double share) => Assert.Equal(share, ComparedPart.LimitUsedPct(margin), 1e-9);

    [Fact]
    public void A_part_of_one_run_only_has_its_place_and_no_number_for_the_other()
    {
        ComparedSet set = Set(alter: (summary, r) => r == 0 ? summary : summary with { Components = [summary.Components[0] with { Id = "NEW-1" }] });
        ComparedPart fitted = Assert.Single(ComparedPart.Of(set.Runs), part => part.Id == "NEW-1");
        Assert.Null(fitted.Runs[0]);
        Assert.NotNull(fitted.Runs[1]);
        Assert.Equal(ComparedPart.Of(set.Runs).Sum(part => part.Runs.Count(run => run is not null)), ComparedTables.Parts(set).Rows.Length);
    }

    [Fact]
    public void Every_picture_has_a_finding_a_text_and_labelled_axes()
    {
        ImmutableArray<Sketch> sketches = ComparedPictures.Sketches(Set());
        Assert.Equal(["compared_aero_load", "compared_platform", "compared_parts", "compared_kerbs"], sketches.Select(sketch => sketch.Name));
        Assert.All(sketches, sketch =>
        {
            using Figure? figure = sketch.Figure;
            Assert.NotNull(figure);
            Assert.Contains(figure.Title, figure.Description, StringComparison.Ordinal);
            Assert.True(figure.Legend.Count >= 2, "each run has its sign");
            Assert.Contains(figure.Panels, panel => panel.Plot.Axes.Bottom.Label.Text.Contains('(', StringComparison.Ordinal));
        });
    }

    [Fact]
    public void Without_data_a_picture_is_left_out_with_the_reason()
    {
        ComparedSet empty = Set(alter: (summary, _) => summary with
        {
            Aero = summary.Aero with { Curve = [] }, Platform = summary.Platform with { BySpeed = [] }, Kerbs = summary.Kerbs with { Kerbs = [] }, Components = [],
        });
        Assert.All(ComparedPictures.Sketches(empty), sketch => Assert.NotNull(sketch.LeftOutBecause));
        Assert.Contains("No run has", ComparedPictures.Sketches(empty)[0].LeftOutBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void The_difference_comes_before_the_runs_and_each_log_shows_what_was_found_in_it()
    {
        ComparedSet set = Set();
        string page = Encoding.UTF8.GetString(ComparisonPage.From(set, ComparedPictures.Draw(set, 0.015)));
        int[] order = [.. new[] { "class=\"verdicts\"", "What needs a person", "What changed", "Aero load against speed", "<h2>Platform", "Peaks and damage of parts", "<h2>Kerb strikes", "<h2>The logs", "How sure it is" }
            .Select(text => page.IndexOf(text, StringComparison.Ordinal))];
        Assert.DoesNotContain(-1, order);
        Assert.Equal(order.Order(), order);
        Assert.Equal(5, Regex.Count(page, "<img alt=\"[^\"]{20,}\""));
        Assert.Contains("default-src &#x27;none&#x27;", page, StringComparison.Ordinal);
        Assert.Contains(System.Text.Encodings.Web.HtmlEncoder.Default.Encode(set.Runs[0].Summary.Health.Findings[0].Message), page, StringComparison.Ordinal);
    }

    [Fact]
    public void Summaries_that_do_not_belong_to_the_runs_are_refused() =>
        Assert.Throws<ArgumentException>(() => ComparedSet.Of(Set().Result, [SummaryFile.From(SampleReviews.Full)]));
}
