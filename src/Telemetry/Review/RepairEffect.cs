using System.Collections.Immutable;
using Telemetry.Fatigue;

namespace Telemetry.Review;

/// <summary>What spikes and bridged gaps of the load cells do to one part: its numbers with every sample as logged, and with the samples repaired.</summary>
/// <param name="ComponentId">The part.</param>
/// <param name="AsLogged">With the samples as logged.</param>
/// <param name="Repaired">With the samples repaired.</param>
/// <param name="IsRepaired">True when the review rests on the repaired samples, false when on those as logged.</param>
public sealed record RepairEffect(string ComponentId, RepairedPart AsLogged, RepairedPart Repaired, bool IsRepaired)
{
    /// <summary>True when a person would be told something else.</summary>
    public bool ChangesVerdict => AsLogged.Verdict != Repaired.Verdict;

    /// <summary>Parts on which the choice makes a difference, in the order of the car file.</summary>
    internal static ImmutableArray<RepairEffect> Of(FatigueResult taken, FatigueResult? otherwise, bool isRepaired) => otherwise is null ? [] :
    [
        .. taken.Components.Zip(otherwise.Components)
            .Select(pair => (pair.First.Component.Id, Taken: RepairedPart.Of(pair.First), Other: RepairedPart.Of(pair.Second)))
            .Where(part => part.Taken != part.Other)
            .Select(part => isRepaired ? new RepairEffect(part.Id, part.Other, part.Taken, true) : new RepairEffect(part.Id, part.Taken, part.Other, false)),
    ];
}

/// <summary>A part's numbers under one choice.</summary>
/// <param name="DamageRun">Miner sum of the run; null when not known.</param>
/// <param name="PeakCompressionN">Largest compression, N; NaN when not known.</param>
/// <param name="PeakTensionN">Largest tension as a positive number, N; NaN when not known.</param>
/// <param name="Verdict">What a person is told.</param>
public readonly record struct RepairedPart(double? DamageRun, double PeakCompressionN, double PeakTensionN, ComponentVerdict Verdict)
{
    internal static RepairedPart Of(ComponentResult part) => new(part.DamageRun, part.PeakCompressionN, part.PeakTensionN, part.Verdict);
}
