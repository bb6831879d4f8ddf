using System.Collections.Immutable;

namespace Telemetry.Review;

/// <summary>One number that a run says about a corner or a part, to be kept and held against later runs of the same part.</summary>
/// <param name="Name">What it is, in snake case; stable for machines (<c>load_per_travel</c>, <c>road_scatter</c>, <c>peak_compression</c>, <c>peak_tension</c>, <c>zero</c>).</param>
/// <param name="Subject">FL, FR, RL or RR, or the id of a part.</param>
/// <param name="Value">The number, SI.</param>
/// <param name="StandardUncertainty">Its standard uncertainty, in the same unit; NaN when it is not known.</param>
/// <param name="Unit">Its unit.</param>
public sealed record RunReading(string Name, string Subject, double Value, double StandardUncertainty, string Unit);

/// <summary>Readings of earlier runs, as plain records; the ledger keeps them.</summary>
public sealed record PartHistory
{
    /// <summary>Nothing is known of earlier runs.</summary>
    public static PartHistory Empty { get; } = new();

    /// <summary>Readings of earlier runs of the same parts at the same corners and with the same setup, in any order.</summary>
    public ImmutableArray<HistoricReading> Readings { get; init; } = [];

    /// <summary>The earlier values of a reading.</summary>
    public IEnumerable<RunReading> Of(string name, string subject) => Readings
        .Where(past => past.Reading.Name == name && past.Reading.Subject == subject && double.IsFinite(past.Reading.Value))
        .Select(past => past.Reading);
}

/// <summary>A reading of an earlier run.</summary>
/// <param name="Run">Name of the run.</param>
/// <param name="Reading">The reading.</param>
public sealed record HistoricReading(string Run, RunReading Reading);
