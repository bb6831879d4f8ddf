using System.Collections.Immutable;

namespace Telemetry.Output;

/// <summary>Aero load in the summary.</summary>
public sealed record SummaryAero
{
    /// <summary>Speed of the headline, km/h, as true air speed; null when none was chosen.</summary>
    public required double? ReferenceSpeedKmh { get; init; }

    /// <summary>Why there is no headline, or null.</summary>
    public required string? WithheldBecause { get; init; }

    /// <summary>Front axle.</summary>
    public required SummaryAxleAero Front { get; init; }

    /// <summary>Rear axle.</summary>
    public required SummaryAxleAero Rear { get; init; }

    /// <summary>Both.</summary>
    public required SummaryAxleAero Total { get; init; }

    /// <summary>Front share of the total, %.</summary>
    public required SummaryEstimate? BalanceFrontPct { get; init; }

    /// <summary>Straight passes behind the answer.</summary>
    public required int Passes { get; init; }

    /// <summary>Air density.</summary>
    public required SummaryAir Air { get; init; }

    /// <summary>Wind.</summary>
    public required SummaryWind Wind { get; init; }

    /// <summary>The uncertainty of the total load at the reference speed, largest part first.</summary>
    public required ImmutableArray<SummaryBudgetLine> Budget { get; init; }

    /// <summary>Over the range of speeds.</summary>
    public required ImmutableArray<SummaryAeroAtSpeed> Curve { get; init; }

    /// <summary>What was assumed.</summary>
    public required ImmutableArray<string> Notes { get; init; }

    /// <summary>The passes one by one, for a comparison with other runs; null in a summary that was written before it was kept, and without an answer.</summary>
    public SummaryEvidence? Evidence { get; init; }

    /// <summary>Lift areas and balance over the ride heights; null in a summary that was written before it was kept.</summary>
    public SummaryHeightMap? RideHeightMap { get; init; }

    /// <summary>Balance on straights, under braking and in fast corners; empty when not asked for.</summary>
    public ImmutableArray<SummaryConditionBalance> BalanceByCondition { get; init; } = [];
}

/// <summary>Aero of one axle, or of both, at the reference speed; null when withheld.</summary>
/// <param name="ClaM2">Lift area, m2, downwards positive.</param>
/// <param name="LoadN">Load, N, downwards positive.</param>
public sealed record SummaryAxleAero(SummaryEstimate? ClaM2, SummaryEstimate? LoadN);

/// <summary>Air density in the summary.</summary>
/// <param name="DensityKgM3">Density, kg/m3.</param>
/// <param name="StandardUncertaintyKgM3">Standard uncertainty, kg/m3.</param>
/// <param name="Source">Where it came from.</param>
/// <param name="IsAssumed">True for the standard atmosphere.</param>
public sealed record SummaryAir(double? DensityKgM3, double? StandardUncertaintyKgM3, string Source, bool IsAssumed);

/// <summary>Wind in the summary.</summary>
/// <param name="SpeedMps">Speed, m/s; null when assumed nil.</param>
/// <param name="FromDeg">Direction it blows from, degrees clockwise; null when assumed nil.</param>
/// <param name="HeadingIsTrue">True when from north, false when from an arbitrary direction.</param>
/// <param name="Statement">What was estimated, measured or assumed.</param>
public sealed record SummaryWind(SummaryEstimate? SpeedMps, SummaryEstimate? FromDeg, bool HeadingIsTrue, string Statement);

/// <summary>One line of the uncertainty budget: standard uncertainties.</summary>
/// <param name="Name">What contributes.</param>
/// <param name="FrontLoadN">On the front load, N.</param>
/// <param name="RearLoadN">On the rear load, N.</param>
/// <param name="TotalLoadN">On the total load, N.</param>
/// <param name="IsSystematic">True when more passes would not shrink it.</param>
/// <param name="Remark">What would improve it.</param>
public sealed record SummaryBudgetLine(string Name, double? FrontLoadN, double? RearLoadN, double? TotalLoadN, bool IsSystematic, string Remark)
{
    /// <summary>The input's standard uncertainty with its unit, in words.</summary>
    public string Input { get; init; } = "";

    /// <summary>"A" from the scatter of this log, "B" from other knowledge (GUM 3.3.4).</summary>
    public string Evaluation { get; init; } = "B";

    /// <summary>Degrees of freedom; null where infinite.</summary>
    public double? DegreesOfFreedom { get; init; }

    /// <summary>On the front lift area, m2.</summary>
    public double? FrontClaM2 { get; init; }

    /// <summary>On the rear lift area, m2.</summary>
    public double? RearClaM2 { get; init; }

    /// <summary>On the total lift area, m2.</summary>
    public double? TotalClaM2 { get; init; }

    /// <summary>On the front share of the load, %.</summary>
    public double? BalanceFrontPct { get; init; }
}

/// <summary>Aero at one speed of the curve.</summary>
/// <param name="SpeedKmh">True air speed, km/h.</param>
/// <param name="Front">Front axle.</param>
/// <param name="Rear">Rear axle.</param>
/// <param name="Total">Both.</param>
/// <param name="BalanceFrontPct">Front share, %.</param>
public sealed record SummaryAeroAtSpeed(
    double? SpeedKmh, SummaryAxleAero Front, SummaryAxleAero Rear, SummaryAxleAero Total, SummaryEstimate BalanceFrontPct);

/// <summary>A component in the summary.</summary>
public sealed record SummaryComponent
{
    /// <summary>Serial number.</summary>
    public required string Id { get; init; }

    /// <summary>What it is.</summary>
    public required string Description { get; init; }

    /// <summary>FL, FR, RL, RR, or null.</summary>
    public required string? Corner { get; init; }

    /// <summary>Largest compression, N; null when the load is not known.</summary>
    public required double? PeakCompressionN { get; init; }

    /// <summary>Largest tension as a positive number, N.</summary>
    public required double? PeakTensionN { get; init; }

    /// <summary>True when a peak stands at a sensor's range limit and the real one is larger.</summary>
    public required bool PeakIsLowerBound { get; init; }

    /// <summary>Standard uncertainty of the peak compression from zero and gain of the load cells, N.</summary>
    public double? PeakCompressionUncertaintyN { get; init; }

    /// <summary>The same of the peak tension, N.</summary>
    public double? PeakTensionUncertaintyN { get; init; }

    /// <summary>The margin with the peaks at the upper end of their 95 % intervals; null without a limit.</summary>
    public double? MarginLow95 { get; init; }

    /// <summary>Allowable / (factor * load) - 1; null without a limit.</summary>
    public required double? MarginOfSafety { get; init; }

    /// <summary>Miner sum of this run; null without an S-N line.</summary>
    public required double? DamageRun { get; init; }

    /// <summary>Damage with the load at the lower end of its 95 % interval.</summary>
    public required double? DamageRunLow95 { get; init; }

    /// <summary>Damage with the load at the upper end of its 95 % interval.</summary>
    public required double? DamageRunHigh95 { get; init; }

    /// <summary>Smallest damage over the counting methods.</summary>
    public required double? DamageRunLowestMethod { get; init; }

    /// <summary>Largest damage over the counting methods.</summary>
    public required double? DamageRunHighestMethod { get; init; }

    /// <summary>Damage before this run.</summary>
    public required double? DamageBefore { get; init; }

    /// <summary>Range that does the same damage in a million cycles, N.</summary>
    public required double? EquivalentRangeN { get; init; }

    /// <summary>Life used including this run, %; null without an S-N line.</summary>
    public required double? LifeUsedPct { get; init; }

    /// <summary>run, inspect, retire or unknown.</summary>
    public required string Verdict { get; init; }

    /// <summary>Why.</summary>
    public required ImmutableArray<string> Reasons { get; init; }
}
