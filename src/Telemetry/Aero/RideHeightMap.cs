using System.Collections.Immutable;

namespace Telemetry.Aero;

/// <summary>Front and rear lift area and the balance as functions of both ride heights, over the region that the straight passes support.</summary>
/// <remarks>
/// Lift areas hold what equation E4 finds: the load that the springs carry, the moment of drag included. Ride heights are those on the centre line at
/// the axles, m above the road. Nothing is given outside the region: see <see cref="At"/> and <see cref="WhyNotAt"/>.
/// </remarks>
public sealed record RideHeightMap
{
    /// <summary>Why there is no map at all, as one sentence with its numbers, or null.</summary>
    public required string? WithheldBecause { get; init; }

    /// <summary>Where the ride heights came from, in words; with what they are counted from when that is not the road.</summary>
    public required string HeightSource { get; init; }

    /// <summary>False when heights are changes from standstill, because neither sensors nor the setup sheet say how high the car stands.</summary>
    public required bool HeightsAreAbsolute { get; init; }

    /// <summary>The windows that the map rests on, run by run in time order; empty when withheld.</summary>
    public required ImmutableArray<MapPoint> Points { get; init; }

    /// <summary>Corners of the convex region within which the map may be read, counter-clockwise with front as abscissa; empty when withheld.</summary>
    public required ImmutableArray<HeightPair> Region { get; init; }

    /// <summary>Ride heights at which the sensitivities are given: those of steady driving at the reference speed, m; null when withheld.</summary>
    public required HeightPair? Reference { get; init; }

    /// <summary>Lift areas and balance at <see cref="Reference"/>; null when withheld.</summary>
    public required MapAnswer? AtReference { get; init; }

    /// <summary>Change with front ride height alone, per metre up; null when the map is withheld.</summary>
    public required MapSensitivity? PerFrontHeight { get; init; }

    /// <summary>Change with rear ride height alone, per metre up; null when the map is withheld.</summary>
    public required MapSensitivity? PerRearHeight { get; init; }

    /// <summary>Change with rake, per metre of rear less front ride height, their mean held: the rear up by half and the front down by half; null when the map is withheld.</summary>
    public required MapSensitivity? PerRake { get; init; }

    /// <summary>
    /// Change along the line that speed draws: front and rear move together as they do when speed changes a little at the reference, per metre of front ride
    /// height up; null when the map is withheld. This is what a single run tells best.
    /// </summary>
    public required MapSensitivity? AlongSpeedLine { get; init; }

    /// <summary>Rear per front ride height along that line; NaN when withheld.</summary>
    public required double RearPerFrontAlongSpeedLine { get; init; }

    /// <summary>Standard deviation of the ride heights across the direction in which they spread most, m: what separates front from rear; NaN when withheld.</summary>
    public required double SpreadAcrossM { get; init; }

    /// <summary>Number of runs.</summary>
    public required int Runs { get; init; }

    /// <summary>Number of straight passes.</summary>
    public required int Passes { get; init; }

    /// <summary>Root mean square error at passes that were left out of the fit, share of the load (leave one pass out); NaN when withheld.</summary>
    public required double LeftOutErrorShare { get; init; }

    /// <summary>What was assumed and what would widen the region, as sentences.</summary>
    public required ImmutableArray<string> Notes { get; init; }

    /// <summary>The fitted surface; null when withheld.</summary>
    internal MapSurface? Surface { get; init; }

    /// <summary>Where the surface may be read; null when withheld.</summary>
    internal MapSupport? Support { get; init; }

    /// <summary>Lift areas and balance at two ride heights.</summary>
    /// <param name="frontM">Front ride height, m.</param>
    /// <param name="rearM">Rear ride height, m.</param>
    /// <returns>Null where the data do not support an answer; <see cref="WhyNotAt"/> says why.</returns>
    public MapAnswer? At(double frontM, double rearM) => WhyNotAt(frontM, rearM) is null ? Surface!.At(new(frontM, rearM)) : null;

    /// <summary>Front and rear lift area at two ride heights, m2, without the interval, which costs a thousand times as much; null where <see cref="At"/> is null.</summary>
    /// <param name="at">The ride heights.</param>
    internal (double Front, double Rear)? LiftAreasAt(HeightPair at) => WhyNotAt(at.FrontM, at.RearM) is null ? Surface!.Value(at) : null;

    /// <summary>Why there is no answer at two ride heights, as one sentence, or null where there is one.</summary>
    /// <param name="frontM">Front ride height, m.</param>
    /// <param name="rearM">Rear ride height, m.</param>
    public string? WhyNotAt(double frontM, double rearM)
    {
        if (WithheldBecause is not null || Surface is null || Support is null)
        {
            return WithheldBecause ?? "There is no map.";
        }

        return Support.WhyNot(new(frontM, rearM), Surface);
    }

    /// <summary>A map that could not be made.</summary>
    internal static RideHeightMap Withheld(string because, string source = "", int runs = 0, int passes = 0) => new()
    {
        WithheldBecause = because,
        HeightSource = source,
        HeightsAreAbsolute = false,
        Points = [],
        Region = [],
        Reference = null,
        AtReference = null,
        PerFrontHeight = null,
        PerRearHeight = null,
        PerRake = null,
        AlongSpeedLine = null,
        RearPerFrontAlongSpeedLine = double.NaN,
        SpreadAcrossM = double.NaN,
        Runs = runs,
        Passes = passes,
        LeftOutErrorShare = double.NaN,
        Notes = [],
    };
}

/// <summary>Front and rear ride height.</summary>
/// <param name="FrontM">Front ride height, m.</param>
/// <param name="RearM">Rear ride height, m.</param>
public readonly record struct HeightPair(double FrontM, double RearM);

/// <summary>One quasi-steady window on the map.</summary>
/// <param name="Run">Index of its run, from 0.</param>
/// <param name="Pass">Number of its straight pass within the run, from 1.</param>
/// <param name="SpeedMps">Mean road speed, m/s.</param>
/// <param name="Height">Ride heights, m, as the springs set them under the window's load.</param>
/// <param name="FrontLiftAreaM2">Front load of the window over dynamic pressure, m2; the wind as the run's estimate has it.</param>
/// <param name="RearLiftAreaM2">The same at the rear, m2.</param>
public readonly record struct MapPoint(int Run, int Pass, double SpeedMps, HeightPair Height, double FrontLiftAreaM2, double RearLiftAreaM2);

/// <summary>What the map says at two ride heights.</summary>
/// <param name="FrontLiftAreaM2">Front lift area, m2.</param>
/// <param name="RearLiftAreaM2">Rear lift area, m2.</param>
/// <param name="TotalLiftAreaM2">Their sum, m2.</param>
/// <param name="BalanceFrontPct">Front share, %.</param>
public sealed record MapAnswer(Estimate FrontLiftAreaM2, Estimate RearLiftAreaM2, Estimate TotalLiftAreaM2, Estimate BalanceFrontPct);

/// <summary>How lift areas and balance change along one direction of the map, at its reference heights.</summary>
/// <param name="FrontLiftAreaM2PerM">Front lift area, m2 per metre; null when withheld.</param>
/// <param name="RearLiftAreaM2PerM">Rear lift area, m2 per metre; null when withheld.</param>
/// <param name="TotalLiftAreaM2PerM">Total lift area, m2 per metre; null when withheld.</param>
/// <param name="BalancePctPerM">Front share of the load, % per metre; null when withheld.</param>
/// <param name="WithheldBecause">Why one or more are withheld, and what would tell them, as sentences; null when all are given.</param>
public sealed record MapSensitivity(
    Estimate? FrontLiftAreaM2PerM,
    Estimate? RearLiftAreaM2PerM,
    Estimate? TotalLiftAreaM2PerM,
    Estimate? BalancePctPerM,
    string? WithheldBecause);
