using System.Collections.Immutable;

namespace Telemetry.Fatigue;

/// <summary>What earlier runs did to the parts of a car, as the life ledger keeps it.</summary>
/// <param name="Components">By component id; a part that is not in it is new.</param>
public sealed record DamageHistory(ImmutableDictionary<string, ComponentHistory> Components)
{
    /// <summary>No part has run before.</summary>
    public static DamageHistory Empty { get; } = new(ImmutableDictionary<string, ComponentHistory>.Empty);

    /// <summary>What is known of a part; <see cref="ComponentHistory.New"/> when nothing is.</summary>
    public ComponentHistory Of(string componentId) =>
        Components.TryGetValue(componentId, out ComponentHistory? history) ? history : ComponentHistory.New;
}

/// <summary>What earlier runs did to one part.</summary>
/// <param name="Damage">Miner sum of all earlier runs, open turning points as half cycles included.</param>
/// <param name="ResidueDamage">The share of <paramref name="Damage"/> that those half cycles make: it is taken off again when the next run closes them.</param>
/// <param name="ResidueN">Open turning points at the end of the last run, N, oldest first.</param>
public sealed record ComponentHistory(double Damage, double ResidueDamage, ImmutableArray<double> ResidueN)
{
    /// <summary>A part that has never run.</summary>
    public static ComponentHistory New { get; } = new(0, 0, []);

    /// <summary>That it went past a limit in an earlier run and nobody has inspected it since, as a sentence about "it"; null when that is not so.</summary>
    public string? PastLimit { get; init; }
}
