using System.Collections.Immutable;
using Telemetry.Logs;

namespace Telemetry.Health;

/// <summary>What the reader noticed, with what it means and what to do.</summary>
internal static class ReaderFindings
{
    /// <summary>The same sentence about several columns is said once.</summary>
    public static IEnumerable<HealthFinding> From(ImmutableArray<LogFinding> noticed) => noticed
        .GroupBy(finding => (finding.Kind, finding.Message))
        .Select(alike => From(alike.First()) is var first && alike.Count() > 1
            ? first with { Channel = FormattableString.Invariant($"{first.Channel} and {alike.Count() - 1} more") }
            : first);

    private static HealthFinding From(LogFinding finding)
    {
        (string kind, HealthVerdict severity, string consequence, string remedy) = finding.Kind switch
        {
            LogFindingKind.RepeatedTime => ("time_repeated", HealthVerdict.Doubtful, "The rows after the first of each time are left out.", "Check the logger's clock and the offload."),
            LogFindingKind.BackwardTime => ("time_backward", HealthVerdict.Doubtful, "Rows that go back in time are left out.", "Check that the file is one run, not two pasted together, and the logger's clock."),
            LogFindingKind.CutOffRow => ("cut_off_row", HealthVerdict.Good, "The last row is left out.", "Check that the offload ended; the rest of the run may be missing."),
            LogFindingKind.NotFinite => ("not_finite", HealthVerdict.Doubtful, "Those samples are gaps.", "Look for the sensor or the logger's arithmetic that makes them."),
            LogFindingKind.UnevenTime => ("time_uneven", HealthVerdict.Doubtful, "Channels are put on an even clock by straight lines; short peaks are shaved.", "Check the logger's clock; log on an even time base."),
            LogFindingKind.TimeGap => ("time_gap", HealthVerdict.Doubtful, "Nothing is answered across the gap; a cycle or a strike inside it is lost.", "Check the logger's memory and the offload."),
            LogFindingKind.RepeatedHeader => ("logger_restarted", HealthVerdict.Doubtful, "Loads may have a new zero after the restart; nothing is answered across the pause.", "Cut the file at that row and analyse each part on its own if the car was worked on between them."),
            LogFindingKind.CoarseTime => ("time_coarse", HealthVerdict.Doubtful, "Short peaks and rates of change are blurred by the rounding of time.", "Log time in double precision, or as whole milliseconds or microseconds."),
            LogFindingKind.ImplausibleNumber => ("implausible_number", HealthVerdict.Doubtful, "Every answer from that channel may rest on damaged numbers.", "Copy the file again from the logger and compare; import it to Parquet with this program to keep a checksum with it."),
            _ => ("note", HealthVerdict.Good, "None by itself.", "Correct the car file's channel names if the channel is there under another name."),
        };
        return new HealthFinding(finding.Where, kind, severity, finding.FirstS, finding.FirstS, finding.Message, consequence, remedy);
    }
}
