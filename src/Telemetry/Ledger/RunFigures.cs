using System.Collections.Immutable;
using Telemetry.Review;

namespace Telemetry.Ledger;

/// <summary>What one analysis of one log found, and what it was made from.</summary>
public sealed record RunFigures
{
    /// <summary>Name of the run.</summary>
    public required string Run { get; init; }

    /// <summary>SHA-256 of the log's bytes: the run's identity. A log counts once under whatever name.</summary>
    public required string LogHash { get; init; }

    /// <summary>Wall-clock start, or null when neither log nor person said it.</summary>
    public DateTimeOffset? StartedAtUtc { get; init; }

    /// <summary>Name of the car, or null (a run taken over from the old form of the ledger).</summary>
    public string? Car { get; init; }

    /// <summary>SHA-256 of the car file's text; null where it was not kept (a run taken over from the old form).</summary>
    public string? CarHash { get; init; }

    /// <summary>Version of the program that made the figures; null where it was not kept.</summary>
    public string? Program { get; init; }

    /// <summary>The settings that the figures hang on, in words; null where they were not kept.</summary>
    public string? Settings { get; init; }

    /// <summary>The run's laps in order; empty where they were not kept.</summary>
    public ImmutableArray<RunLap> Laps { get; init; } = [];

    /// <summary>One entry a part; serial numbers are unique.</summary>
    public ImmutableArray<PartFigures> Parts { get; init; } = [];

    /// <summary>Measured values that are followed from run to run.</summary>
    public ImmutableArray<RunReading> Readings { get; init; } = [];
}

/// <summary>A lap of a run.</summary>
/// <param name="Number">Lap number as the run counts it; unique in the run.</param>
/// <param name="LengthM">Distance run in it, m; null when there is no speed.</param>
/// <param name="DurationS">Time, s.</param>
/// <param name="IsComplete">True when it starts and ends at the line.</param>
public sealed record RunLap(int Number, double? LengthM, double DurationS, bool IsComplete);
