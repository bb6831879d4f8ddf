using System.Collections.Immutable;
using Telemetry.Fatigue;

namespace Telemetry.Ledger;

/// <summary>What one run did to the parts of a car: a line of the ledger.</summary>
/// <param name="Run">Name of the run.</param>
/// <param name="LogHash">Hash of the log's content as the caller formed it; the run's identity: the same log is never counted twice.</param>
/// <param name="StartedAtUtc">Wall-clock start of the run, or null when the log has none.</param>
/// <param name="Components">One entry a part; ids are unique.</param>
public sealed record RunEntry(string Run, string LogHash, DateTimeOffset? StartedAtUtc, ImmutableArray<ComponentEntry> Components)
{
    /// <summary>The entry of a run that was just analysed.</summary>
    /// <param name="run">Name of the run.</param>
    /// <param name="logHash">Hash of the log's content.</param>
    /// <param name="startedAtUtc">Wall-clock start, or null.</param>
    /// <param name="fatigue">Its result, found with the ledger's history before this run.</param>
    /// <exception cref="ArgumentException">The name or the hash is empty.</exception>
    public static RunEntry Of(string run, string logHash, DateTimeOffset? startedAtUtc, FatigueResult fatigue)
    {
        ArgumentException.ThrowIfNullOrEmpty(run);
        ArgumentException.ThrowIfNullOrEmpty(logHash);
        ArgumentNullException.ThrowIfNull(fatigue);
        return new(run, logHash, startedAtUtc, [.. fatigue.Components.Select(ComponentEntry.Of)]);
    }
}

/// <summary>What one run did to one part.</summary>
/// <param name="Id">Serial number of the part.</param>
/// <param name="Damage">Miner sum that the run added; null when it is not known (no S-N line, load not known).</param>
/// <param name="ResidueDamage">The part of the whole sum that is still open as half cycles after the run; null with <paramref name="Damage"/>.</param>
/// <param name="ResidueN">Open turning points after the run, N, oldest first.</param>
/// <param name="PeakCompressionN">Largest compression, N; null when not known.</param>
/// <param name="PeakTensionN">Largest tension as a positive number, N; null when not known.</param>
/// <param name="PeakIsLowerBound">True when a cell stood at its range limit.</param>
/// <param name="ExceededLimit">True when a limit was exceeded.</param>
/// <param name="Verdict">What the person was told.</param>
public sealed record ComponentEntry(
    string Id,
    double? Damage,
    double? ResidueDamage,
    ImmutableArray<double> ResidueN,
    double? PeakCompressionN,
    double? PeakTensionN,
    bool PeakIsLowerBound,
    bool ExceededLimit,
    ComponentVerdict Verdict)
{
    /// <summary>The entry of a part that was just judged.</summary>
    public static ComponentEntry Of(ComponentResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        return new(
            result.Component.Id,
            Known(result.DamageRun),
            Known(result.ResidueDamage),
            result.ResidueN,
            Known(result.PeakCompressionN),
            Known(result.PeakTensionN),
            result.PeakIsLowerBound,
            result.MarginOfSafety < 0,
            result.Verdict);
    }

    private static double? Known(double? value) => value is { } number && double.IsFinite(number) ? number : null;
}
