using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace Telemetry.Simulation;

/// <summary>What was really so in a simulated run; the yardstick for every answer about its log.</summary>
public sealed record SimulationTruth
{
    /// <summary>Name of the run.</summary>
    public required string Name { get; init; }

    /// <summary>The seed of the run's random numbers.</summary>
    public required ulong Seed { get; init; }

    /// <summary>Density of the air, kg/m3 (CIPM-2007).</summary>
    public required double AirDensityKgpm3 { get; init; }

    /// <summary>Fuel on board at the first sample, kg.</summary>
    public required double FuelStartKg { get; init; }

    /// <summary>Fuel on board at the last sample, kg.</summary>
    public required double FuelEndKg { get; init; }

    /// <summary>Length of the lap, m.</summary>
    public required double LapLengthM { get; init; }

    /// <summary>True steady wind.</summary>
    public required WindTruth Wind { get; init; }

    /// <summary>Fuel on board for which the loads against speed hold, kg: the middle of the run.</summary>
    public required double AeroFuelKg { get; init; }

    /// <summary>Aero loads at steady speed on a level smooth straight in still air, by rising speed.</summary>
    public required ImmutableArray<AeroTruth> AeroBySpeed { get; init; }

    /// <summary>Every kerb strike, by time.</summary>
    public required ImmutableArray<StrikeTruth> Strikes { get; init; }

    /// <summary>What else shook the car or its log, by time; null unless the scenario has disturbances.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public ImmutableArray<EventTruth>? Events { get; init; }

    /// <summary>Extremes of the pushrod loads without noise, at every step of the solver.</summary>
    public required CornerTruth<PeakTruth> Peaks { get; init; }

    /// <summary>Reading of each load cell without load at the first sample, N.</summary>
    public required CornerTruth<double> ZeroN { get; init; }

    /// <summary>The same at the last sample: drift and temperature included, N.</summary>
    public required CornerTruth<double> ZeroEndN { get; init; }

    /// <summary>Gain error of each load cell as a share.</summary>
    public required CornerTruth<double> GainError { get; init; }

    /// <summary>Scatter of each pushrod load about its half-second mean while driving on a straight away from kerbs, N (standard deviation, no noise).</summary>
    public required CornerTruth<double> QuietScatterN { get; init; }

    /// <summary>Contact-patch load of each corner at rest on the scales, N.</summary>
    public required CornerTruth<double> ScalesN { get; init; }

    /// <summary>Rainflow count of each noise-free pushrod load at the logging rate.</summary>
    public required CornerTruth<RainflowTruth> RainflowNoiseFree { get; init; }
}

/// <summary>One value a corner, under its two-letter code.</summary>
/// <typeparam name="T">What each corner has.</typeparam>
/// <param name="FrontLeft">FL.</param>
/// <param name="FrontRight">FR.</param>
/// <param name="RearLeft">RL.</param>
/// <param name="RearRight">RR.</param>
public sealed record CornerTruth<T>(
    [property: JsonPropertyName("FL")] T FrontLeft,
    [property: JsonPropertyName("FR")] T FrontRight,
    [property: JsonPropertyName("RL")] T RearLeft,
    [property: JsonPropertyName("RR")] T RearRight)
{
    /// <summary>The value of a corner.</summary>
    public T this[Car.Corner corner] => corner switch
    {
        Car.Corner.FrontLeft => FrontLeft,
        Car.Corner.FrontRight => FrontRight,
        Car.Corner.RearLeft => RearLeft,
        Car.Corner.RearRight => RearRight,
        _ => throw new ArgumentOutOfRangeException(nameof(corner)),
    };
}

/// <summary>The steady wind.</summary>
/// <param name="SpeedMps">Speed, m/s.</param>
/// <param name="FromDeg">Direction it blows from, degrees clockwise from north.</param>
/// <param name="GustMps">Standard deviation of the extra head wind of each straight pass, m/s.</param>
public sealed record WindTruth(double SpeedMps, double FromDeg, double GustMps);

/// <summary>Aero loads at one speed.</summary>
/// <param name="SpeedKmh">True air speed, km/h.</param>
/// <param name="FrontLoadN">Load that the front pushrods must carry beside the sprung weight, N: aero load at the axle, the drag's moment about the
/// ground, and what the links take off or add while the tyres push against the drag. Equation E4 finds exactly this.</param>
/// <param name="RearLoadN">The same at the rear, N.</param>
/// <param name="FrontClaM2">Front load over dynamic pressure, m2.</param>
/// <param name="RearClaM2">Rear load over dynamic pressure, m2.</param>
/// <param name="FrontRideHeightMm">Ride height at the front axle, mm.</param>
/// <param name="RearRideHeightMm">Ride height at the rear axle, mm.</param>
/// <param name="FrontWithoutLinksN">Front load with the drag's moment but without the links' reaction to the thrust, N: what a balance under the wheels would read.</param>
/// <param name="RearWithoutLinksN">The same at the rear, N.</param>
/// <param name="DragN">Drag, N.</param>
public sealed record AeroTruth(
    double SpeedKmh,
    double FrontLoadN,
    double RearLoadN,
    double FrontClaM2,
    double RearClaM2,
    double FrontRideHeightMm,
    double RearRideHeightMm,
    double FrontWithoutLinksN,
    double RearWithoutLinksN,
    double DragN);

/// <summary>One wheel over one kerb.</summary>
/// <param name="Corner">FL, FR, RL or RR.</param>
/// <param name="Lap">Lap, from 1.</param>
/// <param name="DistanceM">Reading of the lap distance (front axle) when the load peaks, m.</param>
/// <param name="PeakPushrodN">Largest pushrod load from reaching the kerb to 0.06 s after leaving it, N, at the solver's step and without noise.</param>
/// <param name="Kerb">Name of the kerb.</param>
/// <param name="TimeS">Time of the peak, s.</param>
/// <param name="SpeedKmh">Speed there, km/h.</param>
/// <param name="RiseN">Peak above the mean load of the 0.2 s before the kerb, N.</param>
public sealed record StrikeTruth(string Corner, int Lap, double DistanceM, double PeakPushrodN, string Kerb, double TimeS, double SpeedKmh, double RiseN);

/// <summary>Extremes of a pushrod load.</summary>
/// <param name="CompressionN">Largest compression, N.</param>
/// <param name="TensionN">Largest tension as a positive number, N; 0 when it was never in tension.</param>
public sealed record PeakTruth(double CompressionN, double TensionN);

/// <summary>A rainflow count: closed cycles, and half cycles for the residue.</summary>
/// <param name="Cycles">Sum of the counts (a half cycle counts 0.5).</param>
/// <param name="LargestRangeN">Largest range, N.</param>
/// <param name="EquivalentRangeN">Range that, repeated a million times, does the damage of all cycles at slope 5, N.</param>
/// <param name="BinWidthN">Width of a bin of ranges, N.</param>
/// <param name="CountByBin">Counts by bin: bin k holds ranges from k to k + 1 widths.</param>
public sealed record RainflowTruth(double Cycles, double LargestRangeN, double EquivalentRangeN, double BinWidthN, ImmutableArray<double> CountByBin);
