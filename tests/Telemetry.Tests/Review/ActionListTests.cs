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
        var actions = ActionList.Of(health, NoKerbs, NoParts, []);
        Assert.Equal(2, actions.Length);
        Assert.Equal("A, B", actions[0].Subject);
        Assert.Contains("The same on 1 more.", actions[0].Because, StringComparison.Ordinal);
    }

    [Fact]
    public void What_makes_the_log_unusable_comes_before_what_is_only_doubtful()
    {
        RunHealth health = RunHealth.Of([Finding("A", "gap", HealthVerdict.Doubtful), Finding("B", "dead", HealthVerdict.Unusable), Finding("C", "note", HealthVerdict.Good)]);
        var actions = ActionList.Of(health, NoKerbs, NoParts, []);
        Assert.Equal(["B", "A"], actions.Select(action => action.Subject));
        Assert.Equal(ActionUrgency.BeforeNextRun, actions[0].Urgency);
    }

    [Fact]
    public void A_verdict_that_hangs_on_spikes_needs_a_look_at_the_trace_before_the_next_run()
    {
        RepairEffect effect = new("PR-1", new(1e-3, 15_200, 100, ComponentVerdict.Retire), new(2e-5, 6_100, 90, ComponentVerdict.Run), IsRepaired: false);
        ActionItem action = Assert.Single(ActionList.Of(RunHealth.Of([]), NoKerbs, NoParts, [effect]));
        Assert.Equal(ActionUrgency.BeforeNextRun, action.Urgency);
        Assert.Contains("retire with them (15.2 kN pushed, 0.1 kN pulled), run without (6.1 kN pushed", action.Because, StringComparison.Ordinal);
        Assert.Contains("counts with them", action.Because, StringComparison.Ordinal);
        Assert.Empty(ActionList.Of(RunHealth.Of([]), NoKerbs, NoParts, [effect with { Repaired = effect.AsLogged with { DamageRun = 2e-5 } }]));
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
        ActionItem action = Assert.Single(ActionList.Of(RunHealth.Of([]), NoKerbs, NoParts with { Components = [part] }, []));
        Assert.StartsWith("Retire ", action.Instruction, StringComparison.Ordinal);
        Assert.Equal("Past the limit.", action.Because);
        Assert.Equal(part.Component.Id, action.Subject);
    }
}
