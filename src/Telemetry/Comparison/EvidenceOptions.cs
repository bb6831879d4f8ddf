namespace Telemetry.Comparison;

/// <summary>What of a run counts as evidence.</summary>
public sealed record EvidenceOptions
{
    /// <summary>Defaults.</summary>
    public static EvidenceOptions Default { get; } = new();

    /// <summary>Air speed of the comparison, m/s; null (default) takes the run's own reference speed.</summary>
    public double? AtSpeedMps { get; init; }

    /// <summary>Windows this far from the speed count, share of it. Default 0.25: near enough that a straight line in the squared speed follows the lift area, wide enough for the whole upper half of a straight.</summary>
    public double SpeedShare { get; init; } = 0.25;

    /// <summary>Fewest windows that make a pass. Default 2: 1 s of straight.</summary>
    public int FewestWindows { get; init; } = 2;

    /// <summary>Length of the windows that the aero stage averages over, s. Default 0.5, as equation E6.</summary>
    public double WindowS { get; init; } = 0.5;

    /// <summary>Share of the run's largest throttle reading from which on the throttle counts as fully open. Default 0.98.</summary>
    public double FullThrottleShare { get; init; } = 0.98;
}
