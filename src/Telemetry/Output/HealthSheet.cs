using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Review;
using Telemetry.Zero;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>The health sheet: can this log be trusted, for which answers, and what is wrong with it. One screen of text.</summary>
/// <remarks>In this order: the verdict, what was found (worst first, with place and remedy), which answers the log carries, the zeros.</remarks>
public static class HealthSheet
{
    private const int MostFindings = 7;

    /// <summary>The sheet of a review.</summary>
    public static ImmutableArray<SheetLine> From(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        SheetLines lines = new();
        Verdict(review, lines);
        Findings(review, lines);
        Answers(review, lines);
        Zeros(review.Wheels.Pushrods, lines);
        return lines.Done();
    }

    private static void Verdict(RunReview review, SheetLines lines)
    {
        (string text, Tone tone) = review.Health.Verdict switch
        {
            HealthVerdict.Good => ("GOOD: nothing found that changes an answer", Tone.Good),
            HealthVerdict.Doubtful => ("DOUBTFUL: weigh what is below before you use the answers that it touches", Tone.Warning),
            _ => ("UNUSABLE: answers that rest on the channels below are withheld", Tone.Alarm),
        };
        double minutes = review.Run.Count == 0 ? double.NaN : (review.Run.Clock.LastS - review.Run.Clock.StartS) / 60;
        lines.Add($"Log {text}", tone);
        lines.Add($"{review.Run.Name}: {Fixed(minutes, 1)} min, {Count(review.Run.Laps.Laps.Length, "lap")}, {Count(review.Run.Channels.Length, "channel")}, load cells at {Fixed(review.Run.Clock.RateHz, 0)} Hz", Tone.Muted);
    }

    private static void Findings(RunReview review, SheetLines lines)
    {
        HealthFinding[] grave = [.. review.Health.Findings.Where(finding => finding.Severity != HealthVerdict.Good)];
        // Two lines hold what and where; the remedy gets its own where there is room.
        foreach (HealthFinding finding in grave.Take(MostFindings))
        {
            Tone tone = finding.Severity == HealthVerdict.Unusable ? Tone.Alarm : Tone.Warning;
            lines.Wrapped(finding.Severity == HealthVerdict.Unusable ? "BAD  " : "look ", $"{finding.Channel}: {finding.Message}{When(finding)}", tone, grave.Length > 4 ? 2 : 3);
            lines.Wrapped("     ", finding.Remedy, Tone.Muted, grave.Length > 4 ? 1 : 2);
        }

        lines.More(grave.Length - MostFindings, "finding", "findings");
        int noted = review.Health.Findings.Length - grave.Length;
        if (noted > 0)
        {
            lines.Add($"{Count(noted, "note")} that {(noted == 1 ? "touches" : "touch")} no answer: see report.html of 'pushrod analyse'", Tone.Muted);
        }
    }

    private static string When(HealthFinding finding) => double.IsFinite(finding.StartS) && double.IsFinite(finding.EndS)
        ? string.Create(CultureInfo.InvariantCulture, $" ({finding.StartS:0.0} to {finding.EndS:0.0} s)")
        : "";

    private static void Answers(RunReview review, SheetLines lines)
    {
        lines.Add("Answers that this log carries", Tone.Heading);
        Answer(lines, "wheel loads", review.Wheels.Pushrods.WithheldBecause ?? NotAt(review.Health.Findings
            .Where(finding => finding is { Severity: HealthVerdict.Unusable, Role: <= ChannelRole.PushrodLoadRR })
            .Select(finding => ((Corner)finding.Role!.Value, finding.Kind.Replace('_', ' ')))));
        Answer(lines, "aero load", review.Aero.WithheldBecause);
        Answer(lines, "platform", review.Platform.BySpeed.IsEmpty ? review.Platform.Notes.FirstOrDefault() ?? "no straight pass shows it" : null);
        Answer(lines, "kerb strikes", review.Kerbs.WithheldBecause ?? NotAt(review.Kerbs.Strikes
            .Where(strike => strike.NotJudgedBecause is not null)
            .Select(strike => (strike.Corner, "not judged against limits"))));
        ComponentResult[] unknown = [.. review.Fatigue.Components.Where(part => part.Verdict == ComponentVerdict.Unknown)];
        Answer(lines, "fatigue", review.Fatigue.WithheldBecause ?? (unknown.Length == 0 ? null
            : $"not for {string.Join(", ", unknown.Take(3).Select(part => part.Component.Id))}{(unknown.Length > 3 ? $" and {unknown.Length - 3} more" : "")}: {unknown[0].Reasons.FirstOrDefault()}"));
    }

    /// <summary>Which corners an answer leaves out and why; null when none.</summary>
    private static string? NotAt(IEnumerable<(Corner Corner, string Why)> corners)
    {
        string[] parts = [.. corners.GroupBy(one => one.Corner).OrderBy(one => one.Key).Select(one => $"{one.Key.Code()} ({string.Join(", ", one.Select(each => each.Why).Distinct())})")];
        return parts.Length == 0 ? null : "not at " + string.Join(", ", parts);
    }

    private static void Answer(SheetLines lines, string name, string? withheld) =>
        lines.Wrapped($"  {name,-14}", withheld is null ? "yes" : withheld.StartsWith("not ", StringComparison.Ordinal) ? withheld : $"no: {withheld}", withheld is null ? Tone.Plain : Tone.Warning, 2);

    private static void Zeros(ZeroedLoads loads, SheetLines lines)
    {
        if (loads.WithheldBecause is not null)
        {
            return;
        }

        Row(lines, Tone.Heading, "Zeros of the load cells, N", "at start", "at end", "drift", "std. uncertainty");
        foreach ((Corner corner, CornerZero zero) in loads.Zeros.Each())
        {
            Row(lines, Tone.Plain, "  " + corner.Code(), Fixed(zero.StartN, 1), Fixed(zero.EndN, 1), zero.DriftN is double drift ? Fixed(drift, 1) : Missing, Fixed(zero.StandardUncertaintyN, 1));
        }
    }

    private static void Row(SheetLines lines, Tone tone, string name, string start, string end, string drift, string uncertainty) => lines.Row(
        string.Create(CultureInfo.InvariantCulture, $"{name,-28}{start,9}{end,9}{drift,9}{uncertainty,18}"), tone, name.Trim(), start, end, drift, uncertainty);
}
