using System.Collections.Immutable;
using Telemetry.Fatigue;

namespace Telemetry.Ledger;

/// <summary>What one run did to the parts of a car: a line of a ledger of the old form.</summary>
/// <param name="Run">Name of the run.</param>
/// <param name="LogHash">Hash of the log's content as the caller formed it; the run's identity: the same log is never counted twice.</param>
/// <param name="StartedAtUtc">Wall-clock start of the run, or null when the log has none.</param>
/// <param name="Components">One entry a part; ids are unique.</param>
public sealed record RunEntry(string Run, string LogHash, DateTimeOffset? StartedAtUtc, ImmutableArray<ComponentEntry> Components);

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
    ComponentVerdict Verdict);
