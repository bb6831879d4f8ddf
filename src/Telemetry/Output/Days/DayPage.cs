using System.Globalization;
using Telemetry.Output.Report;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Days;

/// <summary>index.html of a day: what needs a person, trends, runs, changes between them. One file that opens with no network; it links to the reports beside it.</summary>
public static class DayPage
{
    /// <summary>Fields of a change that are shown; more are counted.</summary>
    private const int MostFields = 12;

    /// <summary>A longer name of a part is broken into lines.</summary>
    private const int LongPart = 30;

    /// <summary>The page as UTF-8 without a byte-order mark.</summary>
    /// <param name="day">The day.</param>
    /// <param name="libraryVersion">Version of the library.</param>
    public static byte[] From(DayResult day, string libraryVersion)
    {
        ArgumentNullException.ThrowIfNull(day);
        string title = TitleOf(day);
        Html main = Html.Of($"""
            <h1>{title}</h1>
            <p class="muted">{Cars(day)}{Count(day.Runs.Length, "log")}, {day.Runs.Count(run => run.IsDone)} analysed, in order of start.</p>
            {Failed(day)}
            {Actions(day)}
            {Runs(day)}
            {Trends(day)}
            {Changes(day)}
            <h2>What these numbers are not</h2>
            {ReportParts.Notes(Cautions.All)}
            <p class="muted small">Library version {libraryVersion}. All intervals are 95 %. {DayFile.Name} beside this file holds the same for programs; each run's folder holds its report, tables and pictures.</p>
            """);
        return HtmlPage.Of(title, HtmlPage.WithoutScript, Html.Of($"\n{Html.Constant(ReportStyle.Css)}\n{Html.Constant(DayStyle.Css)}\n"), main).ToUtf8();
    }

    /// <summary>The day in a few words: "2026-03-31: 12 runs".</summary>
    internal static string TitleOf(DayResult day)
    {
        string[] days = [.. day.Runs.Where(run => !run.IsPlacedByFile).Select(run => run.PlacedAtUtc[..10]).Distinct()];
        string when = days.Length switch { 0 => "", 1 => days[0] + ": ", _ => $"{days[0]} to {days[^1]}: " };
        return when + Count(day.Runs.Length, "run");
    }

    private static string Cars(DayResult day)
    {
        string[] cars = [.. day.Runs.Select(run => run.Headline?.Car).OfType<string>().Distinct(StringComparer.Ordinal)];
        return cars.Length == 0 ? "" : string.Join(", ", cars) + ". ";
    }

    private static Html Failed(DayResult day) => Html.Join(day.Runs.Select((run, i) => run.IsDone ? Html.None : Html.Of(
        $"<p class=\"failed\"><b class=\"stop\">Run {i + 1}, {run.Log}: not analysed.</b> {run.Error}</p>")));

    /// <summary>What to do before the next run, of every run, the latest first: a part that was told in the morning stays told.</summary>
    private static Html Actions(DayResult day)
    {
        (int Run, SummaryAction Action)[] all =
        [
            .. day.Runs.Select((run, i) => (Number: i + 1, run)).Reverse()
                .SelectMany(one => (one.run.Headline?.Actions ?? []).Where(action => action.Urgency == "before_next_run").Select(action => (one.Number, action)))
                .DistinctBy(one => (one.action.Subject, one.action.Instruction)),
        ];
        return all.Length == 0
            ? Html.Of($"<h2>What needs a person</h2><p>Nothing was found in the analysed runs that needs a person before the next run. The cautions at the end still hold.</p>")
            : Html.Of($"""
                <h2>What needs a person</h2>
                <ul class="actions">{Html.Join(all.Select(one => Html.Of(
                    $"<li class=\"stop\"><span class=\"when\">Run {one.Run}, {one.Action.Subject}.</span> {one.Action.Instruction} {one.Action.Because}</li>")))}</ul>
                """);
    }

    private static Html Runs(DayResult day) => Html.Of($"""
        <h2>Runs</h2>
        <p class="muted small">{Caption(day)}</p>
        <div class="scroll" tabindex="0" role="region" aria-label="Runs of the day"><table>
        <thead><tr><th scope="col" class="n">Run</th><th scope="col">Report</th><th scope="col">Start<span class="unit">UTC</span></th><th scope="col" class="n">Laps</th><th scope="col">Log</th>
        <th scope="col" class="n">Aero load, front<span class="unit">kN</span></th><th scope="col" class="n">Rear<span class="unit">kN</span></th><th scope="col" class="n">Balance<span class="unit">% front</span></th>
        <th scope="col" class="n">Largest load<span class="unit">kN</span></th><th scope="col" class="n">Strikes<span class="unit">past a limit</span></th><th scope="col" class="n">Most life used<span class="unit">%</span></th></tr></thead>
        <tbody>{Html.Join(day.Runs.Select((run, i) => Row(day, run, i + 1)))}</tbody></table></div>
        """);

    private static string Caption(DayResult day) =>
        (day.SpeedKmh is double speed ? $"Aero at {Fixed(speed, 0)} km/h air speed and {Fixed(DayResult.DensityKgM3, 3)} kg/m3, value and 95 % interval. " : "")
        + (day.Runs.Any(run => run.IsPlacedByFile) ? "A start in brackets is the time stamp of the log's file, because the log has no date. " : "")
        + (day.Runs.Any(run => run.IsDone && !run.HasLedger) ? "Life is of each run alone where no ledger was given." : "");

    private static Html Row(DayResult day, DayRun run, int number)
    {
        if (run.Headline is not { } head)
        {
            return Html.Of($"<tr><td class=\"n\">{number}</td><td class=\"text stop\">{run.Log}: not analysed</td><td class=\"when\">{Start(day, run)}</td><td colspan=\"8\" class=\"muted\">the reason stands above</td></tr>");
        }

        DayLife? most = head.Life.Where(life => life.UsedPct is not null).MaxBy(life => life.UsedPct);
        return Html.Of($"""
            <tr><td class="n">{number}</td><td class="text"><a href="{LinkOf(run)}">{run.Folder}</a></td><td class="when">{Start(day, run)}</td><td class="n">{head.Laps}</td>
            <td class="{(head.Health == "good" ? "good" : head.Health == "doubtful" ? "warn" : "stop")}">{head.Health}</td>
            {Number(day, "aero_front_load", "front", number)}{Number(day, "aero_rear_load", "rear", number)}{Number(day, "aero_balance", "front share", number)}
            {(head.Peak is { } peak ? Html.Of($"<td class=\"n\">{(peak.IsLowerBound ? "over " : "")}{Kn(peak.LoadN)}{PartLine($"{(peak.IsTension ? "pull" : "push")}, {peak.Part}")}</td>") : Html.Of($"<td class=\"n muted\">{Missing}</td>"))}
            {Strikes(head)}
            {(most is null ? Html.Of($"<td class=\"n muted\">{Missing}</td>") : Html.Of($"<td class=\"n {(most.Verdict is "retire" ? "stop" : most.Verdict is "inspect" ? "warn" : "")}\">{Small(most.UsedPct!.Value)}{PartLine($"{most.Part}, {most.Verdict}")}</td>"))}</tr>
            """);
    }

    /// <summary>The part below its number: on one line, unless its name is longer than a column should be.</summary>
    private static Html PartLine(string text) => Html.Of($"<span class=\"unit{(text.Length > LongPart ? " wraps" : "")}\">{text}</span>");

    private static Html Strikes(DayHeadline head) => head.Strikes is not int strikes
        ? Html.Of($"<td class=\"n warn\">withheld</td>")
        : Html.Of($"<td class=\"n {(head.Exceedances > 0 ? "stop" : "")}\">{strikes}<span class=\"unit\">{head.Exceedances ?? 0} past</span></td>");

    private static Html Number(DayResult day, string trend, string series, int run)
    {
        DayPoint? point = day.Trends.FirstOrDefault(one => one.Name == trend)?.Series.FirstOrDefault(line => line.Name == series)?.Points.FirstOrDefault(at => at.Run == run);
        if (point is not { Low95: double low, High95: double high })
        {
            return Html.Of($"<td class=\"n muted\">{Missing}</td>");
        }

        int decimals = Decimals((high - low) / 2);
        return Html.Of($"<td class=\"n\">{Fixed(point.Value, decimals)}<span class=\"unit\">{Fixed(low, decimals)} to {Fixed(high, decimals)}</span></td>");
    }

    /// <summary>The time alone where all runs are of one day; the heading has the day.</summary>
    private static string Start(DayResult day, DayRun run)
    {
        string form = day.Runs.All(other => other.PlacedAtUtc[..10] == run.PlacedAtUtc[..10]) ? "HH:mm" : "yyyy-MM-dd HH:mm";
        string text = DateTimeOffset.Parse(run.PlacedAtUtc, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal).UtcDateTime.ToString(form, CultureInfo.InvariantCulture);
        return run.IsPlacedByFile ? $"({text})" : text;
    }

    /// <summary>A way to the report that stays in the day's folder: the name is of our own making, and every character that means something in an address is escaped.</summary>
    private static string LinkOf(DayRun run) => "./" + Uri.EscapeDataString(run.Folder) + "/report.html";

    private static Html Trends(DayResult day) => day.Trends.IsEmpty
        ? Html.None
        : Html.Of($"<h2>How the answers moved</h2><p class=\"muted small\">Bars are 95 % intervals. Two intervals that part are no proof of a change by themselves: 'pushrod compare' tells a change from the scatter. The numbers stand in the table above.</p><div class=\"trends\">{Html.Join(day.Trends.Select(trend => TrendPicture.Of(trend, day.Runs.Length)))}</div>");

    private static Html Changes(DayResult day) => day.Changes.IsEmpty
        ? Html.Of($"<h2>What changed between the runs</h2><p>All runs were analysed with the same car file. What it does not hold (a wing, tyres) is not seen here.</p>")
        : Html.Of($"<h2>What changed between the runs</h2><p class=\"muted small\">Fields of the car file; what it does not hold (a wing, tyres) is not seen here.</p>{Html.Join(day.Changes.Select(Change))}");

    private static Html Change(DayChange change)
    {
        string title = $"Run {change.FromRun} to run {change.ToRun}";
        if (change.Fields.IsEmpty)
        {
            return Html.Of($"<h3>{title}</h3><p class=\"muted\">Only comments or layout.</p>");
        }

        Html rows = Html.Join(change.Fields.Take(MostFields).Select(field => Html.Of($"<tr><th scope=\"row\">{field.Field}</th><td class=\"text\">{field.From ?? Missing}</td><td class=\"text\">{field.To ?? Missing}</td></tr>")));
        Html rest = change.Fields.Length > MostFields ? Html.Of($"<p class=\"muted small\">and {change.Fields.Length - MostFields} more; all of them are in {DayFile.Name}.</p>") : Html.None;
        return Html.Of($"""
            <h3>{title}</h3>
            <div class="scroll" tabindex="0" role="region" aria-label="Changes, {title}"><table><thead><tr><th scope="col">Field</th><th scope="col">Run {change.FromRun}</th><th scope="col">Run {change.ToRun}</th></tr></thead><tbody>{rows}</tbody></table></div>{rest}
            """);
    }
}
