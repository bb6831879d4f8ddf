using System.Collections.Immutable;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Tests.Output;

public class RunSheetTests
{
    private static string Text(RunReview review) => string.Join("\n", RunSheet.From(review).Select(line => $"{line.Tone,-8}|{line.Text}")) + "\n";

    [Fact]
    public void A_full_run_reads_as_kept() => Snapshot.Match("Output", "sheet_full", Text(SampleReviews.Full));

    [Fact]
    public void A_run_without_answers_reads_as_kept() => Snapshot.Match("Output", "sheet_withheld", Text(SampleReviews.Withheld(new())));

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_worst_run_fits_on_one_screen(bool withheld)
    {
        RunReview review = Worst(withheld);
        ImmutableArray<SheetLine> lines = RunSheet.From(review);
        Assert.InRange(lines.Length, 24, RunSheet.Height);
        Assert.All(lines, line => Assert.InRange(line.Text.Length, 1, RunSheet.Width));
        Assert.All(lines, line => Assert.DoesNotContain(line.Text, char.IsControl));
        Assert.Contains(lines, line => line.Text.StartsWith("  and ", StringComparison.Ordinal) && line.Text.Contains("more", StringComparison.Ordinal));
    }

    [Fact]
    public void The_part_to_retire_stands_above_the_ones_that_may_run()
    {
        string[] texts = [.. RunSheet.From(SampleReviews.Full).Select(line => line.Text)];
        int lastRetire = Array.FindLastIndex(texts, text => text.EndsWith("  retire", StringComparison.Ordinal));
        int firstRun = Array.FindIndex(texts, text => text.EndsWith("  run", StringComparison.Ordinal));
        Assert.InRange(lastRetire, 0, firstRun);
    }

    [Fact]
    public void A_run_with_nothing_to_do_says_so() => Assert.Contains(
        RunSheet.From(SampleReviews.Full with { Actions = [] }),
        line => line.Text == "Nothing found that needs a person before the next run.");

    private static RunReview Worst(bool withheld)
    {
        RunReview full = SampleReviews.Make(new() { NamePrefix = new string('x', 90) + "\u001b[2J", Laps = 2 });
        string longText = string.Join(' ', Enumerable.Repeat("longer", 60));
        return full with
        {
            Actions = [.. Enumerable.Range(0, 30).Select(i => new ActionItem(ActionUrgency.BeforeNextRun, $"part {i}", longText, longText))],
            Health = new(HealthVerdict.Unusable, [.. Enumerable.Range(0, 30).Select(i => new HealthFinding($"channel {i}", "gap", HealthVerdict.Unusable, 0, 1, longText, longText, longText))]),
            Fatigue = full.Fatigue with
            {
                Components = [.. Enumerable.Range(0, 40).Select(i => full.Fatigue.Components[0] with { Verdict = ComponentVerdict.Unknown })],
                WithheldBecause = withheld ? longText : null,
            },
        };
    }
}
