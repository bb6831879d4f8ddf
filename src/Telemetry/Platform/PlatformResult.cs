using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Platform;

/// <summary>How the platform behaves: ride height and rake against speed, third elements, roll share, damper velocity.</summary>
public sealed record PlatformResult
{
    /// <summary>Ride height and rake in bands of speed on straights; empty when neither ride heights nor dampers are there.</summary>
    public required ImmutableArray<PlatformAtSpeed> BySpeed { get; init; }

    /// <summary>Where the ride heights came from, in words.</summary>
    public required string RideHeightSource { get; init; }

    /// <summary>Front share of the roll moment that the pushrods carry in corners, %; null when the log has too few corners.</summary>
    public required Estimate? RollMomentFrontPct { get; init; }

    /// <summary>Third element of each axle: when it works.</summary>
    public required PerAxle<ThirdElementUse?> Third { get; init; }

    /// <summary>Damper-velocity histogram of each corner; default entries without potentiometers.</summary>
    public required PerCorner<VelocityHistogram?> DamperVelocity { get; init; }

    /// <summary>What is missing and why, as sentences.</summary>
    public required ImmutableArray<string> Notes { get; init; }

    /// <summary>Bump rubber, stiffness by mode, lateral transfer and lowest ride heights; null when the run could not be cut into blocks.</summary>
    public PlatformDetail? Detail { get; init; }
}

/// <summary>Ride height and rake in a band of speed.</summary>
/// <param name="SpeedMps">Middle of the band, m/s.</param>
/// <param name="FrontRideHeightM">Front ride height, m.</param>
/// <param name="RearRideHeightM">Rear ride height, m.</param>
/// <param name="RakeRad">Rear minus front over the wheelbase, rad, nose-down positive.</param>
/// <param name="Passes">Straight passes in the band.</param>
public sealed record PlatformAtSpeed(double SpeedMps, Estimate FrontRideHeightM, Estimate RearRideHeightM, Estimate RakeRad, int Passes);

/// <summary>When a third element or its bump rubber works.</summary>
/// <param name="SpringEngagedShare">Share of the running time with the spring engaged, 0 to 1.</param>
/// <param name="RubberEngagedShare">Share of the running time with the rubber touched, 0 to 1; null without a rubber.</param>
/// <param name="RubberEngagesAboveMps">Speed on straights above which the rubber is touched more than half of the time, m/s; null when it never is.</param>
/// <param name="LargestForceN">Largest force of spring and rubber together, N.</param>
public sealed record ThirdElementUse(double SpringEngagedShare, double? RubberEngagedShare, double? RubberEngagesAboveMps, double LargestForceN);

/// <summary>A histogram of damper velocity.</summary>
/// <param name="LowestMps">Lower edge of the first bin, m/s.</param>
/// <param name="BinWidthMps">Width of a bin, m/s.</param>
/// <param name="Shares">Share of the running time in each bin.</param>
/// <param name="BumpShare">Share of the time in bump, of all time in motion.</param>
public sealed record VelocityHistogram(double LowestMps, double BinWidthMps, ImmutableArray<double> Shares, double BumpShare);
