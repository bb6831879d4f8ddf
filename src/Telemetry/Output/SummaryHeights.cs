using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Comparison;
using Telemetry.Platform;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>Lift areas and balance over the ride heights, in the summary.</summary>
/// <param name="WithheldBecause">Why there is no map, or null.</param>
/// <param name="HeightSource">Where the ride heights came from.</param>
/// <param name="Passes">Straight passes.</param>
/// <param name="FrontMm">Front ride height of the reference, mm; null when withheld.</param>
/// <param name="RearMm">Rear ride height of the reference, mm.</param>
/// <param name="PerFrontMm">Change for each millimetre of front ride height, the rear held; null when withheld.</param>
/// <param name="PerRearMm">Change for each millimetre of rear ride height, the front held.</param>
/// <param name="PerRakeMm">Change for each millimetre of rear less front ride height, their mean held.</param>
/// <param name="AlongSpeedPerFrontMm">Change along the line that speed draws, for each millimetre of front ride height.</param>
/// <param name="Notes">What was assumed, and what would widen the region.</param>
public sealed record SummaryHeightMap(
    string? WithheldBecause, string HeightSource, int Passes, double? FrontMm, double? RearMm,
    SummarySlope? PerFrontMm, SummarySlope? PerRearMm, SummarySlope? PerRakeMm, SummarySlope? AlongSpeedPerFrontMm, ImmutableArray<string> Notes);

/// <summary>How lift areas and balance change for each millimetre in one direction.</summary>
/// <param name="FrontClaM2">Front lift area, m2 a millimetre; null when withheld.</param>
/// <param name="RearClaM2">Rear lift area, m2 a millimetre.</param>
/// <param name="TotalClaM2">Total lift area, m2 a millimetre.</param>
/// <param name="BalanceFrontPct">Front share of the load, % a millimetre.</param>
/// <param name="WithheldBecause">Why one or more are withheld, and what would tell them; or null.</param>
public sealed record SummarySlope(SummaryEstimate? FrontClaM2, SummaryEstimate? RearClaM2, SummaryEstimate? TotalClaM2, SummaryEstimate? BalanceFrontPct, string? WithheldBecause);

/// <summary>Aero balance in one condition, in the summary.</summary>
/// <param name="Condition">Name of the condition.</param>
/// <param name="BalanceFrontPct">Front share of the load, %; null when withheld.</param>
/// <param name="StraightAtSameSpeedPct">The same on straights at that speed; null when not driven.</param>
/// <param name="SpeedKmh">Mean speed, km/h.</param>
/// <param name="Units">Straight passes, brakings or corner visits.</param>
/// <param name="WithheldBecause">Why it is withheld, or null.</param>
public sealed record SummaryConditionBalance(string Condition, SummaryEstimate? BalanceFrontPct, SummaryEstimate? StraightAtSameSpeedPct, double? SpeedKmh, int Units, string? WithheldBecause);

/// <summary>The map and the balance to and from the summary.</summary>
public static class HeightsInSummary
{
    private const double MmPerM = 1000;

    internal static SummaryHeightMap Of(RideHeightMap map) => new(
        map.WithheldBecause, map.HeightSource, map.Passes,
        map.Reference is { } front ? Rounded(front.FrontM * MmPerM) : null,
        map.Reference is { } rear ? Rounded(rear.RearM * MmPerM) : null,
        Slope(map.PerFrontHeight), Slope(map.PerRearHeight), Slope(map.PerRake), Slope(map.AlongSpeedLine), map.Notes);

    internal static ImmutableArray<SummaryConditionBalance> Of(BalanceByCondition? balance) => balance is null ? [] :
    [
        .. balance.All.Select(one => new SummaryConditionBalance(
            one.Name, SummaryFile.Estimate(one.BalanceFrontPct), SummaryFile.Estimate(one.StraightAtSameSpeedPct), Rounded(one.SpeedMps * KmhPerMps), one.Units, one.WithheldBecause)),
    ];

    /// <summary>How the balance follows the ride heights, % a metre up; null where it is withheld or the summary predates it.</summary>
    /// <param name="summary">A summary.</param>
    public static (Measured? PerFront, Measured? PerRear) BalanceSlopes(Summary summary)
    {
        ArgumentNullException.ThrowIfNull(summary);
        return (PerMetre(summary.Aero.RideHeightMap?.PerFrontMm?.BalanceFrontPct), PerMetre(summary.Aero.RideHeightMap?.PerRearMm?.BalanceFrontPct));
    }

    /// <summary>How the loads follow the ride heights at the summary's reference speed, N a metre up; null where any is withheld or the summary predates it.</summary>
    /// <param name="summary">A summary.</param>
    public static LoadByHeight? LoadSlopes(Summary summary)
    {
        ArgumentNullException.ThrowIfNull(summary);
        if (summary.Aero is not { ReferenceSpeedKmh: double speed, Air.DensityKgM3: double density, RideHeightMap: { } map }
            || PerMetre(map.PerFrontMm?.FrontClaM2) is not { } ff || PerMetre(map.PerRearMm?.FrontClaM2) is not { } fr
            || PerMetre(map.PerFrontMm?.RearClaM2) is not { } rf || PerMetre(map.PerRearMm?.RearClaM2) is not { } rr)
        {
            return null;
        }

        double pressure = density / 2 * (speed / KmhPerMps) * (speed / KmhPerMps);
        return new(Times(ff), Times(fr), Times(rf), Times(rr));

        Measured Times(Measured one) => new(one.Value * pressure, one.StandardUncertainty * pressure);
    }

    /// <summary>How the lift areas follow the ride heights, for a comparison; null where any is withheld or the summary predates it.</summary>
    /// <param name="summary">A summary.</param>
    internal static HeightSensitivity? Sensitivity(Summary summary) =>
        summary.Aero.RideHeightMap is { } map
        && PerMetre(map.PerFrontMm?.TotalClaM2) is { } totalFront && PerMetre(map.PerRearMm?.TotalClaM2) is { } totalRear
        && PerMetre(map.PerFrontMm?.FrontClaM2) is { } frontFront && PerMetre(map.PerRearMm?.FrontClaM2) is { } frontRear
            ? new(totalFront, totalRear, frontFront, frontRear)
            : null;

    private static SummarySlope? Slope(MapSensitivity? slope) => slope is null ? null : new(
        SummaryFile.Estimate(slope.FrontLiftAreaM2PerM, 1 / MmPerM), SummaryFile.Estimate(slope.RearLiftAreaM2PerM, 1 / MmPerM),
        SummaryFile.Estimate(slope.TotalLiftAreaM2PerM, 1 / MmPerM), SummaryFile.Estimate(slope.BalancePctPerM, 1 / MmPerM), slope.WithheldBecause);

    private static Measured? PerMetre(SummaryEstimate? perMm) => perMm is { Value: double value, Low95: double low, High95: double high }
        ? MapSlopes.Of(new Estimate(value * MmPerM, low * MmPerM, high * MmPerM))
        : null;
}
