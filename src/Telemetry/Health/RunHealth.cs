using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Health;

/// <summary>How far a log can be trusted.</summary>
public enum HealthVerdict
{
    /// <summary>Nothing found that changes an answer.</summary>
    Good,

    /// <summary>Something found that a person must weigh; the answers it touches say so.</summary>
    Doubtful,

    /// <summary>Answers that need an absolute load are withheld.</summary>
    Unusable,
}

/// <summary>One thing found in a channel.</summary>
/// <param name="Channel">The channel's name in the log, or "log" for the file as a whole.</param>
/// <param name="Kind">Short fixed word for the kind of finding, in snake case ("gap", "stuck", "range_limit", ...); stable for machines.</param>
/// <param name="Severity">What it does to the verdict.</param>
/// <param name="StartS">Start of the span, s; NaN when it is the whole run.</param>
/// <param name="EndS">End of the span, s.</param>
/// <param name="Message">What was seen, with numbers.</param>
/// <param name="Consequence">Which answers it touches.</param>
/// <param name="Remedy">What to do.</param>
public sealed record HealthFinding(
    string Channel,
    string Kind,
    HealthVerdict Severity,
    double StartS,
    double EndS,
    string Message,
    string Consequence,
    string Remedy)
{
    /// <summary>The channel's role; null when the finding is about the file or about channels together.</summary>
    public ChannelRole? Role { get; init; }

    /// <summary>The samples on the run's clock that it concerns, in order and apart; empty when it concerns the whole channel, or no sample at all.</summary>
    public ImmutableArray<SampleSpan> Spans { get; init; } = [];
}

/// <summary>The verdict on a log and everything it rests on.</summary>
/// <param name="Verdict">The worst severity among the findings; good when there is none.</param>
/// <param name="Findings">Worst first, then in time order.</param>
public sealed record RunHealth(HealthVerdict Verdict, ImmutableArray<HealthFinding> Findings)
{
    /// <summary>A verdict over findings, sorted worst first, then by start (whole-run findings first), then what concerns the whole log, then by channel and kind.</summary>
    public static RunHealth Of(IEnumerable<HealthFinding> findings)
    {
        ArgumentNullException.ThrowIfNull(findings);
        ImmutableArray<HealthFinding> sorted =
        [
            .. findings
                .OrderByDescending(finding => finding.Severity)
                .ThenBy(finding => double.IsNaN(finding.StartS) ? double.NegativeInfinity : finding.StartS)
                .ThenBy(finding => finding.Channel == "log" ? 0 : 1)
                .ThenBy(finding => finding.Channel, StringComparer.Ordinal)
                .ThenBy(finding => finding.Kind, StringComparer.Ordinal),
        ];
        return new(sorted.IsEmpty ? HealthVerdict.Good : sorted[0].Severity, sorted);
    }

    /// <summary>The verdict with what a later stage found as well.</summary>
    public RunHealth With(IEnumerable<HealthFinding> more) => Of(Findings.Concat(more));
}
