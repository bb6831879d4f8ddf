using System.Collections.Immutable;

namespace Telemetry.Output;

/// <summary>What every output says about itself.</summary>
public static class Cautions
{
    /// <summary>The sentences, in order.</summary>
    public static ImmutableArray<string> All { get; } =
    [
        "These are estimates from one log, not a clearance to run.",
        "Limits and S-N lines are those of the car file; they come from the part's designer, and a wrong one makes every verdict on that part wrong.",
        "Inspection and retirement follow the part's designer, licensed practice, the rules of the series and local codes; where they ask for more than this result, they go first.",
        "A part that this log did not see loaded (transport, crash, a run without a log) has aged by more than is shown.",
    ];
}
