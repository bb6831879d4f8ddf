using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Tests.Output;

public class HealthSheetTests
{
    private static string[] Text(RunReview review) => [.. HealthSheet.From(review).Select(line => line.Text)];

    private static HealthFinding Finding(ChannelRole role, string kind, HealthVerdict severity) =>
        new($"channel {role}", kind, severity, 12, 14.5, $"It has {kind}.", "It touches the loads.", $"Mend {kind}.") { Role = role };

    [Fact]
    public void It_leads_with_the_verdict_and_fits_one_screen()
    {
        foreach (RunReview review in new[] { SampleReviews.Full, SampleReviews.Withheld(new()) })
        {
            string[] text = Text(review);
            Assert.StartsWith("Log ", text[0], StringComparison.Ordinal);
            Assert.InRange(text.Length, 5, RunSheet.Height);
            Assert.All(text, line => Assert.InRange(line.Length, 0, RunSheet.Width));
        }
    }

    [Fact]
    public void Many_findings_still_fit_one_screen_and_the_rest_is_counted()
    {
        RunHealth health = RunHealth.Of(Enumerable.Range(0, 30).Select(i => Finding((ChannelRole)(i % 20), $"kind_{i}", i < 3 ? HealthVerdict.Unusable : HealthVerdict.Doubtful)));
        string[] text = Text(SampleReviews.Full with { Health = health });
        Assert.InRange(text.Length, 5, RunSheet.Height);
        Assert.StartsWith("Log UNUSABLE", text[0], StringComparison.Ordinal);
        Assert.Contains("and 23 more findings", string.Join('\n', text), StringComparison.Ordinal);
    }

    [Fact]
    public void A_finding_says_what_where_and_what_to_do()
    {
        string text = string.Join('\n', Text(SampleReviews.Full with { Health = RunHealth.Of([Finding(ChannelRole.PushrodLoadRL, "stuck", HealthVerdict.Unusable)]) }));
        Assert.Contains("BAD  channel PushrodLoadRL: It has stuck. (12.0 to 14.5 s)", text, StringComparison.Ordinal);
        Assert.Contains("     Mend stuck.", text, StringComparison.Ordinal);
        Assert.Contains("wheel loads   not at RL (stuck)", text, StringComparison.Ordinal);
    }

    [Fact]
    public void An_answer_that_is_withheld_says_why() =>
        Assert.Contains("aero load     no: Two straight passes", string.Join('\n', Text(SampleReviews.Withheld(new()))), StringComparison.Ordinal);

    [Fact]
    public void A_note_is_counted_and_not_shown()
    {
        string text = string.Join('\n', Text(SampleReviews.Full with { Health = RunHealth.Of([Finding(ChannelRole.Speed, "note", HealthVerdict.Good)]) }));
        Assert.StartsWith("Log GOOD", text, StringComparison.Ordinal);
        Assert.Contains("1 note that touches no answer", text, StringComparison.Ordinal);
        Assert.DoesNotContain("It has note", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Hostile_names_cannot_steer_the_terminal()
    {
        HealthFinding hostile = Finding(ChannelRole.Speed, "gap", HealthVerdict.Doubtful) with { Channel = "\u001b[2Jname\n" };
        Assert.All(Text(SampleReviews.Full with { Health = RunHealth.Of([hostile]) }), line => Assert.DoesNotContain(line, char.IsControl));
    }
}
