using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Health;
using Telemetry.Platform;

namespace Telemetry.Comparison;

/// <summary>What a comparison needs to know of one run: its straight passes, its uncertainty budget, its car and its doubts.</summary>
/// <remarks>Plain data, so that it can be kept in a result folder and read back without the log.</remarks>
public sealed record RunEvidence
{
    /// <summary>Name of the run.</summary>
    public required string Name { get; init; }

    /// <summary>Wall-clock time of the middle of the run where the log has dates, else null.</summary>
    public DateTimeOffset? MiddleUtc { get; init; }

    /// <summary>Laps of the log, out lap and in lap included.</summary>
    public required int Laps { get; init; }

    /// <summary>What turns a pushrod load into an aero load: must be the same in all runs.</summary>
    public required ImmutableArray<StatedField> Basis { get; init; }

    /// <summary>What a team sets anew between runs: tells setups apart.</summary>
    public required ImmutableArray<StatedField> Setup { get; init; }

    /// <summary>Verdict on the log.</summary>
    public required HealthVerdict Verdict { get; init; }

    /// <summary>Findings that bear on the zeros of the load cells, as sentences.</summary>
    public ImmutableArray<string> ZeroDoubts { get; init; } = [];

    /// <summary>Number of findings.</summary>
    public int Findings { get; init; }

    /// <summary>Why the run has no aero load, or null.</summary>
    public string? WithheldBecause { get; init; }

    /// <summary>Air speed that the passes are centred on, m/s; NaN when withheld.</summary>
    public required double ReferenceSpeedMps { get; init; }

    /// <summary>The estimate at that speed; null when withheld.</summary>
    public required AeroAtSpeed? Headline { get; init; }

    /// <summary>Air density and where it came from.</summary>
    public required AirState Air { get; init; }

    /// <summary>True when an air-speed channel gave the dynamic pressure, so that wind is measured.</summary>
    public required bool MeasuresAirSpeed { get; init; }

    /// <summary>True when headings count from north, false when from an arbitrary direction of this run.</summary>
    public required bool HeadingIsTrue { get; init; }

    /// <summary>The passes in time order.</summary>
    public required ImmutableArray<PassEvidence> Passes { get; init; }

    /// <summary>The budget of the aero load at the reference speed.</summary>
    public required ImmutableArray<EvidenceLine> Budget { get; init; }

    /// <summary>Mean mass of the car on the straights, kg.</summary>
    public required double MassKg { get; init; }

    /// <summary>Where the ride heights came from, in words.</summary>
    public string RideHeightSource { get; init; } = "";

    /// <summary>True when ride heights were read by sensors, false when they follow from damper travel.</summary>
    public bool MeasuresRideHeight { get; init; }

    /// <summary>Why no drag can be told, or null.</summary>
    public string? NoDragBecause { get; init; }

    /// <summary>How the lift areas follow the ride heights, where that is known; null otherwise.</summary>
    public HeightSensitivity? Sensitivity { get; init; }
}

/// <summary>A field of the car file, as text in SI units.</summary>
/// <param name="Name">Name of the field.</param>
/// <param name="Value">Its value.</param>
public sealed record StatedField(string Name, string Value);

/// <summary>One line of a run's budget at its reference speed; standard uncertainties, N.</summary>
/// <param name="Name">What contributes.</param>
/// <param name="FrontLoadN">On the front load.</param>
/// <param name="RearLoadN">On the rear load.</param>
/// <param name="TotalLoadN">On their sum: tells whether the two move together or against each other.</param>
public sealed record EvidenceLine(string Name, double FrontLoadN, double RearLoadN, double TotalLoadN);

/// <summary>How lift areas follow ride heights, m2 a metre up; with standard uncertainties.</summary>
/// <param name="TotalPerFront">Change of the total lift area with front ride height, m2/m.</param>
/// <param name="TotalPerRear">Change of the total lift area with rear ride height, m2/m.</param>
/// <param name="FrontPerFront">Change of the front lift area with front ride height, m2/m.</param>
/// <param name="FrontPerRear">Change of the front lift area with rear ride height, m2/m.</param>
public sealed record HeightSensitivity(Measured TotalPerFront, Measured TotalPerRear, Measured FrontPerFront, Measured FrontPerRear)
{
    /// <summary>The sensitivities of a map; null where it withholds any.</summary>
    public static HeightSensitivity? Of(RideHeightMap map)
    {
        ArgumentNullException.ThrowIfNull(map);
        return MapSlopes.Of(map.PerFrontHeight?.TotalLiftAreaM2PerM) is { } totalFront && MapSlopes.Of(map.PerRearHeight?.TotalLiftAreaM2PerM) is { } totalRear
            && MapSlopes.Of(map.PerFrontHeight?.FrontLiftAreaM2PerM) is { } frontFront && MapSlopes.Of(map.PerRearHeight?.FrontLiftAreaM2PerM) is { } frontRear
            ? new(totalFront, totalRear, frontFront, frontRear)
            : null;
    }
}

/// <summary>One straight pass of a run.</summary>
/// <param name="Number">Number in its run, from 1.</param>
/// <param name="Lap">Lap.</param>
/// <param name="StartDistanceM">Distance along the lap at its start, m; NaN when unknown.</param>
/// <param name="HeadingRad">Mean heading, rad, clockwise; NaN when unknown.</param>
/// <param name="FrontLiftArea">Front aero load over dynamic pressure of the flow as driven through, m2.</param>
/// <param name="RearLiftArea">The same at the rear, m2.</param>
/// <param name="FrontHeight">Front ride height, m; empty when unknown.</param>
/// <param name="RearHeight">Rear ride height, m.</param>
/// <param name="ThrustArea">Mass times longitudinal specific force over dynamic pressure at full throttle, m2; empty without such windows.</param>
public sealed record PassEvidence(
    int Number,
    int Lap,
    double StartDistanceM,
    double HeadingRad,
    PassMean FrontLiftArea,
    PassMean RearLiftArea,
    PassMean FrontHeight,
    PassMean RearHeight,
    PassMean ThrustArea);

/// <summary>Mean of a quantity over a pass, and how it moves with speed inside the pass: enough to bring passes to one speed later.</summary>
/// <param name="Value">Weighted mean, unit of the quantity; NaN when the pass has none.</param>
/// <param name="SpeedSquared">Weighted mean of the square of the speed, m2/s2.</param>
/// <param name="SumXx">Weighted sum of squares of the squared speed about its mean.</param>
/// <param name="SumXy">Weighted sum of products with the quantity.</param>
/// <param name="SumYy">Weighted sum of squares of the quantity.</param>
/// <param name="Windows">Windows behind it; the weights sum to it.</param>
public readonly record struct PassMean(double Value, double SpeedSquared, double SumXx, double SumXy, double SumYy, int Windows)
{
    /// <summary>No such quantity.</summary>
    public static PassMean None { get; } = new(double.NaN, double.NaN, 0, 0, 0, 0);

    /// <summary>True when there is a number.</summary>
    public bool IsKnown => Windows > 0 && double.IsFinite(Value);
}
