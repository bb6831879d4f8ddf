using System.Collections.Immutable;
using Telemetry.Fatigue;
using Telemetry.Review;

namespace Telemetry.Output.Tables;

/// <summary>Where each part's damage came from, and how far its life hangs on what is least known.</summary>
internal static class DamageTables
{
    /// <summary>Damage by phase and by place. Each of the two splits is of the whole: do not add them up.</summary>
    public static ResultTable Charges(RunReview review)
    {
        ImmutableArray<TableColumn> columns =
        [
            new("component", ""), new("charged to", ""), new("time", "s", 1), new("damage", "-", 9), new("share of the run's damage", "%", 1),
        ];
        ImmutableArray<ImmutableArray<TableCell>>.Builder rows = ImmutableArray.CreateBuilder<ImmutableArray<TableCell>>();
        foreach ((DamageSource source, ComponentResult part) in review.DamageSources.Join(review.Fatigue.Components, source => source.ComponentId, part => part.Component.Id, (source, part) => (source, part)))
        {
            if (source.ByPhase is { } byPhase)
            {
                Add(rows, part, byPhase, PhaseName, review.Run.Clock.StepS, "no phase");
            }

            if (source.ByPlace is { } byPlace)
            {
                Add(rows, part, byPlace, PlaceName, review.Run.Clock.StepS, "no known distance");
            }
        }

        return new("damage_charges", "Damage by phase of driving and by place on the lap", columns, rows.ToImmutable());
    }

    /// <summary>Sensitivity of the life.</summary>
    public static ResultTable Sensitivity(FatigueResult fatigue)
    {
        ImmutableArray<TableColumn> columns = [new("component", ""), new("change", ""), new("damage times", "-", 3), new("life times", "-", 3)];
        return new("life_sensitivity", "What a change of the S-N line's slope or of the load factor does to the life", columns,
        [.. fatigue.Components.SelectMany(part => LifeSensitivity.Of(part).Select(row =>
            ImmutableArray.CreateRange<TableCell>([part.Component.Id, row.Change, row.DamageRatio, row.LifeRatio])))]);
    }

    internal static string PhaseName(int key) => (DrivingPhase)key switch
    {
        DrivingPhase.Straight => "straight",
        DrivingPhase.Braking => "braking",
        DrivingPhase.Corner => "corner",
        _ => "kerb",
    };

    private static string PlaceName(int key) => FormattableString.Invariant($"{key * DamageSource.PieceM:0} to {(key + 1) * DamageSource.PieceM:0} m");

    private static void Add(
        ImmutableArray<ImmutableArray<TableCell>>.Builder rows, ComponentResult part, DamageCharges charges, Func<int, string> name, double stepS, string elsewhere)
    {
        double run = part.DamageRun!.Value;
        foreach (KeyDamage key in charges.ByKey.OrderBy(key => key.Key))
        {
            rows.Add([part.Component.Id, name(key.Key), key.Samples * stepS, key.Damage, run > 0 ? 100 * key.Damage / run : double.NaN]);
        }

        if (charges.Elsewhere != 0)
        {
            rows.Add([part.Component.Id, elsewhere, double.NaN, charges.Elsewhere, run > 0 ? 100 * charges.Elsewhere / run : double.NaN]);
        }
    }
}
