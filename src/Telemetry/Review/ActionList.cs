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
    public static ImmutableArray<ActionItem> Of(RunHealth health, KerbResult kerbs, FatigueResult fatigue)
    {
        List<ActionItem> actions = [];
        foreach (ComponentResult part in fatigue.Components)
        {
            AddPart(actions, part);
        }

        AddKerbs(actions, kerbs);
        foreach (HealthFinding finding in health.Findings)
        {
            if (finding.Severity != HealthVerdict.Good)
            {
                actions.Add(new ActionItem(
                    finding.Severity == HealthVerdict.Unusable ? ActionUrgency.BeforeNextRun : ActionUrgency.Soon,
                    finding.Channel,
                    finding.Remedy,
                    $"{finding.Message} {finding.Consequence}"));
            }
        }

        return [.. actions.OrderBy(action => action.Urgency)];
    }

    private static void AddPart(List<ActionItem> actions, ComponentResult part)
    {
        string name = $"{part.Component.Id}, {part.Component.Description}";
        string because = string.Join(" ", part.Reasons);
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
