using System.Collections.Immutable;

namespace Telemetry.Fatigue;

/// <summary>What one lap of an earlier run cost a part.</summary>
/// <param name="Damage">Miner sum charged to the lap; NaN where it is not known, and the lap is then left out.</param>
/// <param name="LengthM">Distance run in it, m; NaN when it is not known.</param>
/// <param name="IsComplete">True for a lap from line to line; false for the way out of the pits and back, which costs life but is not counted as a lap.</param>
public readonly record struct LapDamage(double Damage, double LengthM, bool IsComplete);

/// <summary>What one run cost a part, lap by lap.</summary>
/// <param name="RunId">What the run is called, for the reader.</param>
/// <param name="Laps">In the order in which they were run.</param>
public sealed record RunDamage(string RunId, ImmutableArray<LapDamage> Laps);

/// <summary>Choices of the forecast.</summary>
public sealed record ForecastOptions
{
    /// <summary>Defaults.</summary>
    public static ForecastOptions Default { get; } = new();

    /// <summary>Draws of the bootstrap. Default 2000: the ends of a 95 % interval then move by some hundredths of its width from seed to seed.</summary>
    public int Draws { get; init; } = 2000;

    /// <summary>Seed of the draws. Default 1; the same seed gives the same forecast.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Complete laps below which nothing is forecast. Default 10: fewer say nothing about how laps differ (common practice, no source).</summary>
    public int FewestLaps { get; init; } = 10;

    /// <summary>Runs with a complete lap below which nothing is forecast. Default 3: laps of a run are alike, so only runs tell how runs differ, and from two of them the interval would span decades.</summary>
    public int FewestRuns { get; init; } = 3;

    /// <summary>Share of all damage that a single lap may have done before the forecast warns. Default 0.25: a strike as rare as that may have been missed, or may never come again.</summary>
    public double HeavyLapShare { get; init; } = 0.25;
}
