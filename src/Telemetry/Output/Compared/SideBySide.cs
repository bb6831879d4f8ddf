using Telemetry.Output.Plots;
using Telemetry.Output.Report;
using Telemetry.Output.Tables;

namespace Telemetry.Output.Compared;

/// <summary>The runs of a comparison beside each other on its page: each picture, then the table behind it.</summary>
internal static class SideBySide
{
    /// <summary>The sections; nothing when only the comparison itself is known.</summary>
    /// <param name="set">The comparison and its runs.</param>
    /// <param name="picture">The picture of that name, or nothing.</param>
    public static Html Of(ComparedSet set, Func<string, Html> picture)
    {
        if (set.Runs.IsEmpty)
        {
            return Html.None;
        }

        return Html.Of($"""
            <h2>Aero load against speed</h2>
            {Withheld(set, "aero load", summary => summary.Aero.WithheldBecause)}
            {picture(ComparedCurvesPicture.AeroName)}
            {ReportParts.Table(ComparedTables.Curves(set, "compared_aero", "Aero load by air speed: every run, and each less the first as if independent; 95 % intervals", ComparedCurveSets.Aero(set.Runs)))}
            <h2>Platform</h2>
            {picture(ComparedCurvesPicture.PlatformName)}
            {ReportParts.Table(ComparedTables.Curves(set, "compared_platform", "Ride heights and rake on straights: every run, and each less the first as if independent; 95 % intervals", ComparedCurveSets.Platform(set.Runs)))}
            <h2>Peaks and damage of parts</h2>
            {Withheld(set, "cycles", summary => summary.FatigueWithheldBecause)}
            {picture(ComparedPartsPicture.Name)}
            {ReportParts.Table(ComparedTables.Parts(set), tone: VerdictTone)}
            <h2>Kerb strikes</h2>
            {picture(ComparedKerbsPicture.Name)}
            {ReportParts.Table(ComparedTables.Strikes(set))}
            {ReportParts.Table(ComparedTables.Kerbs(set))}
            <h2>The logs</h2>
            {ReportParts.Table(ComparedTables.Health(set), tone: Severity)}
            {ReportParts.Table(ComparedTables.Actions(set), tone: Urgency)}
            """);
    }

    private static Html Withheld(ComparedSet set, string what, Func<Summary, string?> because) => ReportParts.Notes(
        [.. set.Runs.Where(run => because(run.Summary) is not null).Select(run => $"Run {run.Run.Order} has no {what}: {because(run.Summary)}")]);

    private static Tone VerdictTone(TableColumn column, string text) => (column.Name, text) switch
    {
        ("verdict", "retire") => Tone.Alarm,
        ("verdict", "inspect" or "unknown") => Tone.Warning,
        ("verdict", "run") => Tone.Good,
        _ => Tone.Plain,
    };

    private static Tone Severity(TableColumn column, string text) => (column.Name, text) switch
    {
        ("log" or "severity", "unusable") => Tone.Alarm,
        ("log" or "severity", "doubtful") => Tone.Warning,
        _ => Tone.Plain,
    };

    private static Tone Urgency(TableColumn column, string text) => (column.Name, text) switch
    {
        ("when", "before the next run") => Tone.Alarm,
        ("when", _) => Tone.Warning,
        _ => Tone.Plain,
    };
}
