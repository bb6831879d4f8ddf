using System.Collections.Immutable;
using Telemetry.Fatigue;
using Telemetry.Kerbs;
using Telemetry.Runs;

namespace Telemetry.Review;

/// <summary>Where a part's damage of the run came from. Each of the two splits is of the whole: they do not add up.</summary>
/// <param name="ComponentId">The part.</param>
/// <param name="ByPhase">Charged to what the car was doing, keys of <see cref="DrivingPhase"/>; null where the log tells nothing of corners.</param>
/// <param name="ByPlace">Charged to pieces of the lap, each <see cref="PieceM"/> long: key k stands for the distances from k to k + 1 of them; null without a distance along the lap.</param>
public sealed record DamageSource(string ComponentId, DamageCharges? ByPhase, DamageCharges? ByPlace)
{
    /// <summary>Length of a piece of the lap, m: about the length of a kerb with its run-in, so that a piece names one place.</summary>
    public const double PieceM = 100;

    /// <summary>Charges the damage of every part that has any known.</summary>
    /// <param name="run">The run.</param>
    /// <param name="kerbs">Its strikes.</param>
    /// <param name="fatigue">Its counted parts.</param>
    /// <returns>In the order of the parts.</returns>
    public static ImmutableArray<DamageSource> From(Run run, KerbResult kerbs, FatigueResult fatigue)
    {
        ArgumentNullException.ThrowIfNull(fatigue);
        ComponentResult[] parts = [.. fatigue.Components.Where(part => part.DamageRun is not null)];
        ImmutableArray<ChargeSpan> phases = [], places = [];
        Workers.Steps(() => phases = DrivingPhases.Of(run, kerbs), () => places = LapPlaces.Of(run, PieceM));
        DamageSource[] sources = new DamageSource[parts.Length];
        Workers.Run(parts.Length, i => sources[i] = new(
            parts[i].Component.Id,
            phases.IsEmpty ? null : DamageCharges.Of(parts[i], phases),
            places.IsEmpty ? null : DamageCharges.Of(parts[i], places)));
        return [.. sources];
    }
}
