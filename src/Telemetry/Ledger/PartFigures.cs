using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Fatigue;

namespace Telemetry.Ledger;

/// <summary>What one run did to one part.</summary>
/// <remarks>
/// Two kinds of damage are kept. <see cref="ClosedDamage"/> and <see cref="OpenPointsN"/> are the run's own: they do not hang on any other run, so that the sum over
/// all runs can be added again in any order of arrival. <see cref="DamageTold"/> is what the person was told on the day, joined with the runs known then.
/// </remarks>
public sealed record PartFigures
{
    /// <summary>Serial number.</summary>
    public required string Part { get; init; }

    /// <summary>What the part is, in words; null where it was not kept.</summary>
    public string? Description { get; init; }

    /// <summary>Corner that the car file had it fitted to: FL, FR, RL, RR; null for a part of no single corner.</summary>
    public string? Corner { get; init; }

    /// <summary>Miner sum of the cycles that close within the run alone; null when not known. With no trusted zero, all of the run's cycles, its open half cycles too.</summary>
    public double? ClosedDamage { get; init; }

    /// <summary>Turning points that the run alone leaves open, N, oldest first, to be joined with its neighbours; empty without a trusted zero.</summary>
    /// <remarks>With <see cref="ClosedDamage"/> null and <see cref="DamageTold"/> given (old form of the ledger): the points open after all runs up to this one.</remarks>
    public ImmutableArray<double> OpenPointsN { get; init; } = [];

    /// <summary>Reversal filter of the count, N: the smallest range that is a cycle.</summary>
    public double SmallestRangeN { get; init; }

    /// <summary>Miner sum that the run added, as it was told when it was analysed; null when not known.</summary>
    public double? DamageTold { get; init; }

    /// <summary>The half cycles that were open after the run, as told; null with <see cref="DamageTold"/>.</summary>
    public double? OpenDamageTold { get; init; }

    /// <summary>Low end of the 95 % interval of <see cref="DamageTold"/> from the load's uncertainty; null when not known.</summary>
    public double? DamageLow95 { get; init; }

    /// <summary>High end; null when not known.</summary>
    public double? DamageHigh95 { get; init; }

    /// <summary>Miner sum at which the life is used up; null when the part has no S-N line or it was not kept.</summary>
    public double? CriticalDamage { get; init; }

    /// <summary>Largest compression, N; null when not known.</summary>
    public double? PeakCompressionN { get; init; }

    /// <summary>Its standard uncertainty, N; null when not known.</summary>
    public double? PeakCompressionUncertaintyN { get; init; }

    /// <summary>Largest tension as a positive number, N; null when not known.</summary>
    public double? PeakTensionN { get; init; }

    /// <summary>Its standard uncertainty, N; null when not known.</summary>
    public double? PeakTensionUncertaintyN { get; init; }

    /// <summary>True when a cell stood at its range limit: peaks and damage may be larger.</summary>
    public bool PeakIsLowerBound { get; init; }

    /// <summary>True when a limit was exceeded.</summary>
    public bool ExceededLimit { get; init; }

    /// <summary>Share of the run in which the load is not known, 0 to 1; null where it was not kept.</summary>
    public double? MissingShare { get; init; }

    /// <summary>Compression limit of the car file, N; null when there was none.</summary>
    public double? CompressionLimitN { get; init; }

    /// <summary>Tension limit, N; null when there was none.</summary>
    public double? TensionLimitN { get; init; }

    /// <summary>Inspection threshold, N; null when there was none.</summary>
    public double? InspectionThresholdN { get; init; }

    /// <summary>What the person was told.</summary>
    public ComponentVerdict Verdict { get; init; } = ComponentVerdict.Unknown;

    /// <summary>Damage by lap as told, in the order of the run's laps; empty when not known.</summary>
    public ImmutableArray<double> DamageByLap { get; init; } = [];

    /// <summary>True when only the joined figures of the old form of the ledger are known.</summary>
    public bool IsOldForm => ClosedDamage is null && DamageTold is not null;

    /// <summary>The figures of a part that was just judged.</summary>
    /// <param name="result">The part.</param>
    public static PartFigures Of(ComponentResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        ComponentDefinition part = result.Component;
        bool isKnown = Known(result.OwnClosedDamage) is not null;
        return new()
        {
            Part = part.Id,
            Description = part.Description,
            Corner = part.Corner?.Code(),
            ClosedDamage = Known(result.OwnClosedDamage),
            OpenPointsN = isKnown ? result.OwnOpenPointsN : [],
            SmallestRangeN = part.Fatigue?.SmallestRangeN ?? 0,
            DamageTold = isKnown ? Known(result.DamageRun) : null,
            OpenDamageTold = isKnown ? Known(result.ResidueDamage) : null,
            DamageLow95 = Known(result.Spread?.ByLoadLow95),
            DamageHigh95 = Known(result.Spread?.ByLoadHigh95),
            CriticalDamage = part.Fatigue?.CriticalDamage,
            PeakCompressionN = Known(result.PeakCompressionN),
            PeakCompressionUncertaintyN = Known(result.PeakCompressionUncertaintyN),
            PeakTensionN = Known(result.PeakTensionN),
            PeakTensionUncertaintyN = Known(result.PeakTensionUncertaintyN),
            PeakIsLowerBound = result.PeakIsLowerBound,
            ExceededLimit = result.MarginOfSafety < 0,
            MissingShare = Known(result.MissingShare),
            CompressionLimitN = part.CompressionLimitN,
            TensionLimitN = part.TensionLimitN,
            InspectionThresholdN = part.InspectionThresholdN,
            Verdict = result.Verdict,
            DamageByLap = isKnown ? result.DamageByLap : [],
        };
    }

    private static double? Known(double? value) => value is { } number && double.IsFinite(number) ? number : null;
}
