using Telemetry.Car;

namespace Telemetry.Fatigue;

/// <summary>Choices of the fatigue stage that the car file does not make.</summary>
public sealed record FatigueOptions
{
    /// <summary>Defaults.</summary>
    public static FatigueOptions Default { get; } = new();

    /// <summary>Cycles of the equivalent range. Default one million: the number at which parts are tested on a rig (common practice, no source).</summary>
    public double EquivalentCycles { get; init; } = 1e6;

    /// <summary>Standard uncertainties in half of a 95 % interval. Default 1.96, the normal distribution (JCGM 100:2008, table G.1 rounds it so).</summary>
    public double CoverageFactor { get; init; } = 1.96;

    /// <summary>Share of samples of a part's load that may be missing before the part cannot be judged. Default 0.01: in 1 % of a run a strike can hide.</summary>
    public double LargestMissingShare { get; init; } = 0.01;

    /// <summary>For each corner why its load cell is known to be wrong, or null (default). Loads that use the corner are then not counted at all: their peaks and cycles are not the part's.</summary>
    public PerCorner<string?> WithheldBecause { get; init; } = PerCorner.Of<string?>(_ => null);

    /// <summary>For each corner why its load cell cannot be relied on, or null (default). What was measured is counted and a limit that was passed is told, but a part that seems to have passed none is not called fit to run.</summary>
    public PerCorner<string?> DoubtedBecause { get; init; } = PerCorner.Of<string?>(_ => null);

    /// <summary>How near to the end of the cell's range a reading counts as standing at it, share of the range. Default 0.002: noise of a cell at its stop (common practice, no source).</summary>
    public double RangeEndShare { get; init; } = 0.002;
}
