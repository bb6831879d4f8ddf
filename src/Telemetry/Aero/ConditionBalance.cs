using System.Collections.Immutable;

namespace Telemetry.Aero;

/// <summary>Where an aero balance was found.</summary>
public enum BalanceCondition
{
    /// <summary>On straights, quasi-steady.</summary>
    Straight,

    /// <summary>In the first part of braking in a straight line, at high speed.</summary>
    BrakingEntry,

    /// <summary>In fast corners, off the brakes.</summary>
    FastCorner,
}

/// <summary>Aero balance in each condition by itself; they are never pooled.</summary>
/// <param name="Straight">On straights, at the reference speed of the aero estimate; the curve against speed stands there.</param>
/// <param name="BrakingEntry">Under braking entry.</param>
/// <param name="FastCorner">In fast corners.</param>
/// <param name="FastCornerLeft">In left-hand fast corners alone.</param>
/// <param name="FastCornerRight">In right-hand fast corners alone.</param>
public sealed record BalanceByCondition(ConditionBalance Straight, ConditionBalance BrakingEntry, ConditionBalance FastCorner, ConditionBalance FastCornerLeft, ConditionBalance FastCornerRight)
{
    /// <summary>The five in order.</summary>
    public IEnumerable<ConditionBalance> All => [Straight, BrakingEntry, FastCorner, FastCornerLeft, FastCornerRight];
}

/// <summary>Aero balance in one condition.</summary>
public sealed record ConditionBalance
{
    /// <summary>The condition.</summary>
    public required BalanceCondition Condition { get; init; }

    /// <summary>The condition in words, with the side where it is one.</summary>
    public required string Name { get; init; }

    /// <summary>Front share of the aero load, %, at the mean condition below; null when withheld.</summary>
    public required Estimate? BalanceFrontPct { get; init; }

    /// <summary>Why there is none, as one sentence with its numbers, or null.</summary>
    public required string? WithheldBecause { get; init; }

    /// <summary>Independent units: straight passes, brakings or corner visits.</summary>
    public required int Units { get; init; }

    /// <summary>Windows in them.</summary>
    public required int Windows { get; init; }

    /// <summary>Mean speed, m/s; NaN without a window.</summary>
    public required double SpeedMps { get; init; }

    /// <summary>Mean longitudinal specific force, m/s2; braking negative; NaN without a window.</summary>
    public required double LongitudinalMps2 { get; init; }

    /// <summary>Mean size of the lateral specific force, m/s2; NaN where it is not known.</summary>
    public required double LateralMps2 { get; init; }

    /// <summary>Mean size of the steer angle, rad; NaN where it is not logged.</summary>
    public required double SteerRad { get; init; }

    /// <summary>Mean ride heights, m; NaN where they are not known.</summary>
    public required HeightPair Heights { get; init; }

    /// <summary>Change of the balance with speed within the condition, % per m/s; null when the windows do not tell.</summary>
    public Estimate? PerSpeed { get; init; }

    /// <summary>Change of the balance with the size of lateral specific force (roll), % per m/s2, steer and speed held; null when not asked or not told.</summary>
    public Estimate? PerLateral { get; init; }

    /// <summary>Change of the balance with the size of the steer angle, % per rad, roll and speed held; null when not asked or not told.</summary>
    public Estimate? PerSteer { get; init; }

    /// <summary>Balance on straights at the same speed, %, for comparison; null where the curve does not reach.</summary>
    public Estimate? StraightAtSameSpeedPct { get; init; }

    /// <summary>Standard uncertainties that make the interval, %, largest first.</summary>
    public ImmutableArray<BalancePart> Budget { get; init; } = [];
}

/// <summary>One line of a balance's uncertainty budget.</summary>
/// <param name="Name">What contributes.</param>
/// <param name="Pct">Standard uncertainty that it brings to the balance, %.</param>
public readonly record struct BalancePart(string Name, double Pct);
