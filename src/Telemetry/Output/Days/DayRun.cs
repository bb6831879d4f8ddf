using System.Collections.Immutable;

namespace Telemetry.Output.Days;

/// <summary>One log of the day and what became of it: what day.json keeps, and what a restart goes by.</summary>
public sealed record DayRun
{
    /// <summary>done or failed.</summary>
    public required string Status { get; init; }

    /// <summary>Name of the log's file.</summary>
    public required string Log { get; init; }

    /// <summary>SHA-256 of the log's bytes, lower-case hexadecimal: a log is known by it under whatever name.</summary>
    public required string LogSha256 { get; init; }

    /// <summary>Name of the run's folder in the day's folder.</summary>
    public required string Folder { get; init; }

    /// <summary>SHA-256 of the car file's text; empty when it could not be read. Its text lies in <c>cars</c> under the first 16 digits.</summary>
    public required string CarSha256 { get; init; }

    /// <summary>Where the run stands in the day: start of the run, or the time stamp of the log's file, UTC, ISO 8601.</summary>
    public required string PlacedAtUtc { get; init; }

    /// <summary>True when the log has no date and the file's time stamp stands in.</summary>
    public required bool IsPlacedByFile { get; init; }

    /// <summary>True when the life used includes the runs before, out of a ledger.</summary>
    public required bool HasLedger { get; init; }

    /// <summary>Why it could not be analysed, with the remedy; null when it was.</summary>
    public required string? Error { get; init; }

    /// <summary>Its numbers; null when it failed.</summary>
    public DayHeadline? Headline { get; init; }

    /// <summary>True when it was analysed.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public bool IsDone => Status == "done";
}

/// <summary>The numbers of a run that the day's page shows.</summary>
public sealed record DayHeadline
{
    /// <summary>Name of the car.</summary>
    public required string Car { get; init; }

    /// <summary>Laps.</summary>
    public required int Laps { get; init; }

    /// <summary>Length, s.</summary>
    public required double? DurationS { get; init; }

    /// <summary>good, doubtful or unusable.</summary>
    public required string Health { get; init; }

    /// <summary>Findings of health.</summary>
    public required int Findings { get; init; }

    /// <summary>Why there is no aero load, or null.</summary>
    public required string? AeroWithheldBecause { get; init; }

    /// <summary>Air speed of the run's own headline, km/h; null when none was chosen.</summary>
    public required double? ReferenceSpeedKmh { get; init; }

    /// <summary>Aero over the speeds of the run: the day's trend is read at one speed that the runs share. Empty when withheld.</summary>
    public required ImmutableArray<DayAero> Aero { get; init; }

    /// <summary>Kerb strikes; null when withheld.</summary>
    public required int? Strikes { get; init; }

    /// <summary>Strikes past a limit; null when withheld.</summary>
    public required int? Exceedances { get; init; }

    /// <summary>The part with the largest load, of those that are followed; null without any.</summary>
    public required DayPeak? Peak { get; init; }

    /// <summary>Parts with an S-N line, in the order of the car file.</summary>
    public required ImmutableArray<DayLife> Life { get; init; }

    /// <summary>What needs a person, most urgent first.</summary>
    public required ImmutableArray<SummaryAction> Actions { get; init; }
}

/// <summary>Aero at one air speed in the run's own air.</summary>
/// <param name="SpeedKmh">True air speed, km/h.</param>
/// <param name="FrontClaM2">Front lift area, m2.</param>
/// <param name="RearClaM2">Rear lift area, m2.</param>
/// <param name="BalanceFrontPct">Front share, %.</param>
public sealed record DayAero(double SpeedKmh, SummaryEstimate FrontClaM2, SummaryEstimate RearClaM2, SummaryEstimate BalanceFrontPct);

/// <summary>The largest load of a run.</summary>
/// <param name="Part">The part.</param>
/// <param name="LoadN">Its largest compression or tension, N, always positive.</param>
/// <param name="StandardUncertaintyN">Standard uncertainty, N; null when not known.</param>
/// <param name="IsTension">True for tension.</param>
/// <param name="IsLowerBound">True when the real one is larger.</param>
public sealed record DayPeak(string Part, double LoadN, double? StandardUncertaintyN, bool IsTension, bool IsLowerBound);

/// <summary>Life of a part after a run.</summary>
/// <param name="Part">The part.</param>
/// <param name="UsedPct">Life used, %: with the runs before when the run has a ledger, else of this run alone.</param>
/// <param name="Verdict">run, inspect, retire or unknown.</param>
public sealed record DayLife(string Part, double? UsedPct, string Verdict);
