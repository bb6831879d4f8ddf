using Telemetry.Car;
using Telemetry.CrossChecks;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.Review;

/// <summary>Which corners' load cells the answers may rest on.</summary>
/// <param name="WrongBecause">Why a corner's readings are known to be wrong throughout, or null.</param>
/// <param name="DoubtedBecause">Why a corner's load cell is unusable in some other way, or null.</param>
/// <param name="FilteredBecause">Why a corner's peaks and cycles are too small while its means hold (it seems to be low-passed), or null.</param>
internal sealed record CornerTrust(PerCorner<string?> WrongBecause, PerCorner<string?> DoubtedBecause, PerCorner<string?> FilteredBecause)
{
    /// <summary>The first reason of any corner; null when all can be relied on.</summary>
    public string? FirstReason => Corners.All.Select(corner => WrongBecause[corner] ?? DoubtedBecause[corner]).FirstOrDefault(reason => reason is not null);

    /// <summary>From the findings of all stages: what the cross-checks call unusable is wrong in every number, what others call so may be wrong in a span.</summary>
    public static CornerTrust Of(Run run, RunHealth health, CrossCheckResult cross) => new(
        PerCorner.Of(corner => Reason(run, corner, cross.Findings, finding => finding.Severity == HealthVerdict.Unusable)),
        PerCorner.Of(corner => Reason(run, corner, health.Findings, finding => finding.Severity == HealthVerdict.Unusable)),
        PerCorner.Of(corner => Reason(run, corner, health.Findings, finding => finding.Kind == "low_passed")));

    private static string? Reason(Run run, Corner corner, IEnumerable<HealthFinding> findings, Func<HealthFinding, bool> matters)
    {
        ChannelRole role = ChannelRoles.PushrodLoad(corner);
        string? name = run.Car.Mapping(role)?.Name;
        HealthFinding? first = findings.FirstOrDefault(finding =>
            matters(finding) && (finding.Role == role || (finding.Role is null && finding.Channel == name)));
        return first is null ? null : $"{first.Channel}: {first.Message}";
    }
}
