using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Review;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Review;

public class ActionListTests
{
    private static readonly KerbResult NoKerbs = SampleReviews.Full.Kerbs with { Strikes = [], Kerbs = [] };

    private static readonly FatigueResult NoParts = new() { Components = [], WithheldBecause = null };

    private static HealthFinding Finding(string channel, string kind, HealthVerdict severity) =>
        new(channel, kind, severity, 1, 2, $"{channel} has {kind}.", "It touches the loads.", $"Mend {kind}.");

    [Fact]
    public void The_same_finding_on_several_channels_is_one_thing_to_do()
    {
        RunHealth health = RunHealth.Of([Finding("A", "gap", HealthVerdict.Doubtful), Finding("B", "gap", HealthVerdict.Doubtful), Finding("C", "stuck", HealthVerdict.Doubtful)]);
        var actions = ActionList.Of(health, NoKerbs, NoParts);
        Assert.Equal(2, actions.Length);
        Assert.Equal("A, B", actions[0].Subject);
        Assert.Contains("The same on 1 more.", actions[0].Because, StringComparison.Ordinal);
    }

    [Fact]
    public void What_makes_the_log_unusable_comes_before_what_is_only_doubtful()
    {
        RunHealth health = RunHealth.Of([Finding("A", "gap", HealthVerdict.Doubtful), Finding("B", "dead", HealthVerdict.Unusable), Finding("C", "note", HealthVerdict.Good)]);
        var actions = ActionList.Of(health, NoKerbs, NoParts);
        Assert.Equal(["B", "A"], actions.Select(action => action.Subject));
        Assert.Equal(ActionUrgency.BeforeNextRun, actions[0].Urgency);
    }

    [Fact]
    public void A_part_is_named_with_the_reasons_that_led_to_its_verdict_and_no_others()
    {
        ComponentResult part = SampleReviews.Full.Fatigue.Components[0] with
        {
            Verdict = ComponentVerdict.Retire,
            Reasons = ["Past the limit.", "Inspect it too.", "Tension is fine."],
            DecisiveReasons = 1,
        };
        ActionItem action = Assert.Single(ActionList.Of(RunHealth.Of([]), NoKerbs, NoParts with { Components = [part] }));
        Assert.StartsWith("Retire ", action.Instruction, StringComparison.Ordinal);
        Assert.Equal("Past the limit.", action.Because);
        Assert.Equal(part.Component.Id, action.Subject);
    }
}
