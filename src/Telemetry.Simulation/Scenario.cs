using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>Everything about a simulated run that the car file does not say. SI units.</summary>
public sealed record Scenario
{
    /// <summary>Name of the run; becomes the log's name.</summary>
    public required string Name { get; init; }

    /// <summary>Path of the scenario file as it was given; empty for one made in code.</summary>
    public string Source { get; init; } = "";

    /// <summary>Path of the car file, relative to the scenario file; empty for one made in code.</summary>
    public string CarPath { get; init; } = "";

    /// <summary>Start of all random numbers of the run except the road, which has its own.</summary>
    public ulong Seed { get; init; } = 1;

    /// <summary>Laps driven, out lap and in lap included; at least 1.</summary>
    public int Laps { get; init; } = 6;

    /// <summary>Standstill on the ground before the car moves, s.</summary>
    public double StandstillBeforeS { get; init; } = 14;

    /// <summary>Standstill on the ground after the car has stopped, s.</summary>
    public double StandstillAfterS { get; init; } = 10;

    /// <summary>Steps of the solver a second, Hz: a whole multiple of 200 Hz and of the logging rate.</summary>
    /// <remarks>4000: halving the step then moves no headline by 0.1 % (a test shows it).</remarks>
    public int StepRateHz { get; init; } = 4000;

    /// <summary>Where the car drives.</summary>
    public required CircuitDefinition Circuit { get; init; }

    /// <summary>Air of the day.</summary>
    public Weather Weather { get; init; } = new(293.15, 100_300, 0.5);

    /// <summary>Wind of the day.</summary>
    public WindDefinition Wind { get; init; } = new();

    /// <summary>Roughness of the road.</summary>
    public RoadDefinition Road { get; init; } = new();

    /// <summary>Kerbs on the circuit, in any order.</summary>
    public ImmutableArray<KerbDefinition> Kerbs { get; init; } = [];

    /// <summary>Bumps, plank, gear shifts and cell spikes; none by default.</summary>
    public DisturbanceDefinition Disturbances { get; init; } = new();

    /// <summary>How the car is driven.</summary>
    public DriverDefinition Driver { get; init; } = new();

    /// <summary>What the real car has that its car file does not say, or says wrongly.</summary>
    public required TrueCar TrueCar { get; init; }

    /// <summary>The aero load that the car really makes.</summary>
    public required AeroDefinition Aero { get; init; }

    /// <summary>What the sensors and the logger do to the true signals.</summary>
    public SensorDefinition Sensors { get; init; } = new();
}

/// <summary>A closed circuit as straights and arcs from the start line on.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Segments">Straights and arcs in driving order; the turns sum to one full turn.</param>
/// <param name="StartCourseRad">Course over ground on the straight behind the start line, rad clockwise from north.</param>
/// <param name="Slopes">Gradients along the lap, by rising distance; between two the gradient follows a smooth step. Empty means level.</param>
/// <param name="PitBoxM">Lap distance of the place where the car stands, m.</param>
/// <param name="PitExitM">Lap distance where the pit speed limit ends, m.</param>
/// <param name="PitEntryBeforeLineM">Distance before the start line where the pit speed limit begins on the in lap, m.</param>
public sealed record CircuitDefinition(
    string Name,
    ImmutableArray<CircuitSegment> Segments,
    double StartCourseRad,
    ImmutableArray<CircuitSlope> Slopes,
    double PitBoxM = 60,
    double PitExitM = 260,
    double PitEntryBeforeLineM = 60);

/// <summary>A straight or an arc.</summary>
/// <param name="LengthM">Length along the road, m.</param>
/// <param name="TurnRad">Change of heading, rad, left positive; 0 for a straight.</param>
public readonly record struct CircuitSegment(double LengthM, double TurnRad)
{
    /// <summary>Curvature, 1/m, left positive.</summary>
    public double Curvature => TurnRad / LengthM;
}

/// <summary>A gradient at a place.</summary>
/// <param name="DistanceM">Lap distance, m.</param>
/// <param name="Gradient">Slope angle, rad, uphill positive.</param>
public readonly record struct CircuitSlope(double DistanceM, double Gradient);

/// <summary>A steady wind with scatter from straight to straight.</summary>
/// <param name="SpeedMps">Steady wind speed, m/s.</param>
/// <param name="FromRad">Direction that the wind blows from, rad clockwise from north.</param>
/// <param name="GustMps">Standard deviation of an extra head wind that is drawn anew for each pass of a straight, m/s.</param>
public sealed record WindDefinition(double SpeedMps = 0, double FromRad = 0, double GustMps = 0);

/// <summary>A random road as in ISO 8608: displacement spectrum falling with the square of the spatial frequency.</summary>
/// <param name="Seed">Start of its random numbers; every lap and every run with this seed sees the same road.</param>
/// <param name="SpectrumAtReference">One-sided displacement spectral density at 0.1 cycles/m, m3 (class A of ISO 8608: 16e-6 as geometric mean). 0 means smooth.</param>
/// <param name="LongestWaveM">Wavelength above which the spectrum flattens, m.</param>
/// <param name="CoherenceWaveM">Wavelength at which the difference between left and right reaches half of its share at short waves, m.</param>
public sealed record RoadDefinition(ulong Seed = 1, double SpectrumAtReference = 2e-6, double LongestWaveM = 60, double CoherenceWaveM = 6);

/// <summary>The form of a kerb along the road.</summary>
public enum KerbShape
{
    /// <summary>One smooth hump.</summary>
    Hump,

    /// <summary>A raised strip with cross ribs.</summary>
    Ribbed,
}

/// <summary>A kerb that the wheels of one side may run over.</summary>
public sealed record KerbDefinition
{
    /// <summary>Its name in the truth.</summary>
    public required string Name { get; init; }

    /// <summary>Lap distance of its start, m.</summary>
    public required double DistanceM { get; init; }

    /// <summary>Length along the road, m.</summary>
    public required double LengthM { get; init; }

    /// <summary>Height at full depth, m.</summary>
    public required double HeightM { get; init; }

    /// <summary>True when the left wheels hit it.</summary>
    public bool IsLeft { get; init; }

    /// <summary>Its form.</summary>
    public KerbShape Shape { get; init; } = KerbShape.Hump;

    /// <summary>Number of ribs of a ribbed kerb.</summary>
    public int Ribs { get; init; } = 4;

    /// <summary>Chance that it is hit on a lap, 0 to 1.</summary>
    public double HitShare { get; init; } = 1;

    /// <summary>Mean share of the height that the wheel climbs.</summary>
    public double Depth { get; init; } = 1;

    /// <summary>Standard deviation of that share from lap to lap.</summary>
    public double DepthScatter { get; init; }

    /// <summary>Laps on which it may be hit, from 1; empty means every lap.</summary>
    public ImmutableArray<int> OnlyLaps { get; init; } = [];
}

/// <summary>A quasi-steady driver.</summary>
public sealed record DriverDefinition
{
    /// <summary>Engine power at the wheels, W.</summary>
    public double PowerW { get; init; } = 430_000;

    /// <summary>Lateral grip, share of the tyre load.</summary>
    public double LateralGrip { get; init; } = 1.55;

    /// <summary>Braking grip, share of the tyre load.</summary>
    public double BrakingGrip { get; init; } = 1.5;

    /// <summary>Driving grip, share of the whole tyre load (rear-wheel drive).</summary>
    public double DrivingGrip { get; init; } = 0.7;

    /// <summary>Share of the grip that the driver uses on average.</summary>
    public double UsedShare { get; init; } = 0.95;

    /// <summary>Standard deviation of that share from corner to corner and lap to lap.</summary>
    public double UsedShareScatter { get; init; } = 0.01;

    /// <summary>Pit speed limit, m/s.</summary>
    public double PitSpeedMps { get; init; } = 80 / 3.6;

    /// <summary>Time over which the driver builds up pedal and steer, s.</summary>
    public double ReactionS { get; init; } = 0.2;
}
