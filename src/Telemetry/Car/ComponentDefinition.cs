using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>A part with a serial number, the load it sees, what it is allowed and how it tires.</summary>
public sealed record ComponentDefinition
{
    /// <summary>Serial number; unique in the car file and the key of the life ledger.</summary>
    public required string Id { get; init; }

    /// <summary>What the part is, in words.</summary>
    public required string Description { get; init; }

    /// <summary>Part number of the drawing; null when not given.</summary>
    public string? PartNumber { get; init; }

    /// <summary>The corner it is fitted to; null for a part that belongs to no single corner.</summary>
    public Corner? Corner { get; init; }

    /// <summary>The load on the part as a sum of factor times source, N, compression of the part positive; never empty.</summary>
    public required ImmutableArray<LoadTerm> Load { get; init; }

    /// <summary>Largest allowed compression, N, above 0; null when the designer gave none.</summary>
    public double? CompressionLimitN { get; init; }

    /// <summary>Largest allowed tension as a positive number, N; null when the designer gave none.</summary>
    public double? TensionLimitN { get; init; }

    /// <summary>Load in either direction above which the part is inspected before it runs again, N; null when none.</summary>
    public double? InspectionThresholdN { get; init; }

    /// <summary>Factor put on every load before it is compared with a limit, at least 1 (equation E11).</summary>
    public double LimitFactor { get; init; } = 1;

    /// <summary>Dimensions for the column allowable; null for parts that are no struts.</summary>
    public StrutDefinition? Strut { get; init; }

    /// <summary>Fatigue strength; null when the part's life is not followed.</summary>
    public FatigueDefinition? Fatigue { get; init; }
}

/// <summary>Where a component's load comes from.</summary>
public enum LoadSource
{
    /// <summary>Zeroed pushrod load of a corner, N, compression positive.</summary>
    PushrodLoad,

    /// <summary>Wheel load of a corner, N (equation E1).</summary>
    WheelLoad,

    /// <summary>Damper travel of a corner from the static position, m, bump positive; the term's factor is then a stiffness, N/m.</summary>
    DamperTravel,

    /// <summary>A load that is always there (assembly preload); the term's factor is the load itself, N.</summary>
    Constant,
}

/// <summary>One term of a component's load: factor times signal, and times a ratio where one is given.</summary>
/// <param name="Source">The signal.</param>
/// <param name="Corner">The corner it is taken at; of no meaning for a constant, where it is the part's own corner.</param>
/// <param name="Factor">N on the part per N of the signal (per m for damper travel, N itself for a constant); negative where it pulls.</param>
public sealed record LoadTerm(LoadSource Source, Corner Corner, double Factor)
{
    /// <summary>A further factor that changes with the corner's damper travel (the motion of a rocker); null for none.</summary>
    public RatioCurve? Ratio { get; init; }

    /// <summary>True for a term that comes from a load cell and so carries its zero and gain.</summary>
    public bool IsMeasuredLoad => Source is LoadSource.PushrodLoad or LoadSource.WheelLoad;
}

/// <summary>A slender strut, for the plausibility of its compression limit.</summary>
/// <param name="LengthM">Length between the joints, m.</param>
/// <param name="OuterDiameterM">Outside diameter of the tube, m.</param>
/// <param name="WallM">Wall thickness, m; half the diameter for a solid rod.</param>
/// <param name="YoungsModulusPa">Elastic modulus, Pa.</param>
/// <param name="YieldStrengthPa">Compressive yield strength, Pa.</param>
/// <param name="EndFixity">K, effective length over length; 1 for ball joints at both ends.</param>
public sealed record StrutDefinition(
    double LengthM,
    double OuterDiameterM,
    double WallM,
    double YoungsModulusPa,
    double YieldStrengthPa,
    double EndFixity = 1)
{
    /// <summary>Largest distance of the strut's axis from the straight line between its joints, m; null takes a thousandth of the length for the caution.</summary>
    public double? CrookednessM { get; init; }
}

/// <summary>Mean-stress correction of a load cycle.</summary>
public enum MeanStressRule
{
    /// <summary>No correction.</summary>
    None,

    /// <summary>Straight line to the ultimate strength.</summary>
    Goodman,

    /// <summary>Parabola to the ultimate strength.</summary>
    Gerber,

    /// <summary>Smith, Watson and Topper: square root of maximum times amplitude.</summary>
    SmithWatsonTopper,

    /// <summary>Walker with an exponent gamma.</summary>
    Walker,
}

/// <summary>How many cycles a range is allowed, and the safety put on top.</summary>
public sealed record FatigueDefinition
{
    /// <summary>The S-N line, in load range (N) or in stress range (Pa).</summary>
    public required SnLine Line { get; init; }

    /// <summary>
    /// Stress per load, Pa/N, when the line is in stress; null when it is in load. Stress (tension positive) = minus this times load (compression positive):
    /// positive where compression of the part presses the spot, negative where it pulls it, as on the far side of a bent part.
    /// </summary>
    public double? StressPerLoadPaPerN { get; init; }

    /// <summary>The mean-stress rule.</summary>
    public MeanStressRule MeanRule { get; init; } = MeanStressRule.None;

    /// <summary>Ultimate strength for Goodman and Gerber in the line's unit (N or Pa); null when the rule needs none.</summary>
    public double? UltimateStrength { get; init; }

    /// <summary>Walker's gamma, 0 to 1; null unless the rule is Walker.</summary>
    public double? WalkerGamma { get; init; }

    /// <summary>Factor on every range before the line is entered, at least 1.</summary>
    public double LoadFactor { get; init; } = 1;

    /// <summary>Standard deviation of log10 of the life at one range, for a lognormal life; null when no scatter is put on by probability.</summary>
    public double? LifeScatterLog10 { get; init; }

    /// <summary>Share of parts that must outlast the line used, above <see cref="LineSurvival"/> or equal to it, below 1; only with <see cref="LifeScatterLog10"/>.</summary>
    public double Survival { get; init; } = 0.5;

    /// <summary>Share of parts that outlast the line as given; 0.5 for a line through the middle of the tests.</summary>
    public double LineSurvival { get; init; } = 0.5;

    /// <summary>Miner sum at which the part's life is used up; 1 unless the designer says less.</summary>
    public double CriticalDamage { get; init; } = 1;

    /// <summary>Reversal filter: cycles with a smaller load range are not counted, N; 0 counts all.</summary>
    public double SmallestRangeN { get; init; }
}

/// <summary>An S-N line in log-log: straight pieces between points, one slope at each end.</summary>
/// <remarks>
/// Range, not amplitude. One slope: one point and <see cref="SlopeBelow"/> = <see cref="SlopeAbove"/>.
/// Two slopes: one point (the knee) with both slopes. Table: several points, slopes beyond the ends.
/// </remarks>
/// <param name="Points">Cycles rising, range falling; at least one.</param>
/// <param name="SlopeAbove">m for ranges above the first point (fewer cycles): N = N1 * (S1/S)^m; above 0.</param>
/// <param name="SlopeBelow">m for ranges below the last point (more cycles); null means no damage below it (the original Miner rule). The same slope as above is the elementary rule, 2 m - 1 the modified one.</param>
/// <param name="CutOffRange">Ranges at or below this do no damage; null means none.</param>
public sealed record SnLine(ImmutableArray<SnPoint> Points, double SlopeAbove, double? SlopeBelow, double? CutOffRange = null);

/// <summary>A point of an S-N line.</summary>
/// <param name="Cycles">Cycles to failure, above 0.</param>
/// <param name="Range">Load range (N) or stress range (Pa), above 0.</param>
public readonly record struct SnPoint(double Cycles, double Range);
