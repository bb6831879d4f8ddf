using System.Collections.Immutable;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;

namespace Telemetry.Review;

/// <summary>Turns findings into what to do before the next run.</summary>
internal static class ActionList
{
    /// <summary>From this share of its life on a part's replacement is planned, %.</summary>
    private const double PlanReplacementPct = 80;

    /// <summary>Actions, most urgent first; within the same urgency parts before kerbs before channels.</summary>
    public static ImmutableArray<ActionItem> Of(RunHealth health, KerbResult kerbs, FatigueResult fatigue, ImmutableArray<RepairEffect> effects)
    {
        List<ActionItem> actions = [];
        foreach (ComponentResult part in fatigue.Components)
        {
            AddPart(actions, part);
        }

        foreach (RepairEffect effect in effects.Where(effect => effect.ChangesVerdict))
        {
            AddEffect(actions, effect);
        }

        AddKerbs(actions, kerbs);
        AddHealth(actions, health);
        return [.. actions.OrderBy(action => action.Urgency)];
    }

    private static void AddPart(List<ActionItem> actions, ComponentResult part)
    {
        string name = $"{part.Component.Id} ({part.Component.Description})";
        string because = string.Join(" ", part.Reasons.Take(Math.Max(1, part.DecisiveReasons)));
        switch (part.Verdict)
        {
            case ComponentVerdict.Retire:
                actions.Add(new ActionItem(ActionUrgency.BeforeNextRun, part.Component.Id, $"Retire {name}.", because));
                break;
            case ComponentVerdict.Inspect:
                actions.Add(new ActionItem(ActionUrgency.BeforeNextRun, part.Component.Id, $"Inspect {name}.", because));
                break;
            case ComponentVerdict.Unknown:
                actions.Add(new ActionItem(ActionUrgency.Soon, part.Component.Id, $"Judge {name} by other means.", because));
                break;
            default:
                if (part.LifeUsedPct >= PlanReplacementPct)
                {
                    actions.Add(new ActionItem(
                        ActionUrgency.Soon,
                        part.Component.Id,
                        $"Plan the replacement of {name}.",
                        FormattableString.Invariant($"{part.LifeUsedPct:0} % of its life is used.")));
                }

                break;
        }
    }

    private static void AddEffect(List<ActionItem> actions, RepairEffect effect) => actions.Add(new ActionItem(
        ActionUrgency.BeforeNextRun,
        effect.ComponentId,
        $"Look at the trace of its load cell before you decide on {effect.ComponentId}.",
        FormattableString.Invariant($"Its verdict hangs on samples that no wheel can make: {Word(effect.AsLogged.Verdict)} with them ({Peak(effect.AsLogged)}), {Word(effect.Repaired.Verdict)} without ({Peak(effect.Repaired)}). This sheet counts {(effect.IsRepaired ? "without" : "with")} them.")));

    private static string Word(ComponentVerdict verdict) => verdict switch
    {
        ComponentVerdict.Retire => "retire",
        ComponentVerdict.Inspect => "inspect",
        ComponentVerdict.Run => "run",
        _ => "not judged",
    };

    private static string Peak(RepairedPart part) =>
        FormattableString.Invariant($"{part.PeakCompressionN / 1000:0.0} kN pushed, {part.PeakTensionN / 1000:0.0} kN pulled");

    /// <summary>The same kind of finding on several channels is one thing to do.</summary>
    private static void AddHealth(List<ActionItem> actions, RunHealth health)
    {
        foreach (IGrouping<(string Kind, HealthVerdict Severity, string Remedy), HealthFinding> alike in health.Findings
            .Where(finding => finding.Severity != HealthVerdict.Good)
            .GroupBy(finding => (finding.Kind, finding.Severity, finding.Remedy)))
        {
            HealthFinding first = alike.First();
            string[] channels = [.. alike.Select(finding => finding.Channel).Distinct(StringComparer.Ordinal)];
            string more = channels.Length == 1 ? "" : FormattableString.Invariant($" The same on {channels.Length - 1} more.");
            actions.Add(new ActionItem(
                first.Severity == HealthVerdict.Unusable ? ActionUrgency.BeforeNextRun : ActionUrgency.Soon,
                string.Join(", ", channels),
                first.Remedy,
                $"{first.Message}{more} {first.Consequence}"));
        }
    }

    private static void AddKerbs(List<ActionItem> actions, KerbResult kerbs)
    {
        foreach (Kerb kerb in kerbs.Kerbs)
        {
            if (kerb.Exceedances > 0)
            {
                string place = double.IsNaN(kerb.DistanceM) ? "" : FormattableString.Invariant($" at {kerb.DistanceM:0} m");
                actions.Add(new ActionItem(
                    ActionUrgency.Soon,
                    $"kerb {kerb.Number}",
                    $"Tell the driver to leave alone the kerb on the {(kerb.IsLeft ? "left" : "right")}{place}.",
                    FormattableString.Invariant($"{kerb.Exceedances} of {kerb.Strikes} strikes there went past a part's limit; the worst gave {kerb.WorstPeakLoadN / 1000:0.0} kN in a pushrod.")));
            }
        }
    }
}
