namespace Telemetry.Cleaning;

/// <summary>What is repaired. By default nothing: a repair is a person's choice, and is counted and shown.</summary>
public sealed record CleaningOptions
{
    /// <summary>Defaults: every sample as it was logged.</summary>
    public static CleaningOptions Default { get; } = new();

    /// <summary>
    /// Replace what health calls a spike by a straight line between its neighbours. Default false: a spike kept errs to a higher peak and to more damage,
    /// and the report says what hangs on it.
    /// </summary>
    public bool RemoveSpikes { get; init; }

    /// <summary>
    /// Gaps up to this long are bridged by a straight line, s. Default 0, none: what happened in a gap is not known. A wheel on its tyre moves at some 10 to 25 Hz
    /// (common practice, no source), so a line over more than a quarter of a period, 10 ms, invents a load.
    /// </summary>
    public double BridgeGapsS { get; init; }
}
