namespace Telemetry.Cli;

/// <summary>What share of the work on a log lies before each of its steps, so that the time left can be told.</summary>
internal static class StageShares
{
    /// <summary>Share before a step, 0 to 1; null for a step that is not known.</summary>
    /// <param name="step">The step's name.</param>
    /// <remarks>Rough on purpose: only "about so long" is said.</remarks>
    public static double? Before(string step) => step switch
    {
        "reading the log" => 0,
        "joining log and car" => 0.2,
        "health, zero and wheel loads" => 0.25,
        "cross-checks, modes, aero load, platform, kerb strikes and fatigue" => 0.4,
        "writing results" => 0.6,
        "keeping the ledger" or "keeping the zero file" => 0.98,
        "simulating" => 0,
        "writing the log" => 0.9,
        _ => null,
    };
}
