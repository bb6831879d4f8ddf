using System.Collections.Immutable;
using System.Globalization;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Days;

/// <summary>A day on a screen of text: what needs a person, then a line a run.</summary>
public static class DaySheet
{
    private const int MostActions = 6;

    /// <summary>The lines, each at most 80 characters.</summary>
    public static ImmutableArray<SheetLine> From(DayResult day)
    {
        ArgumentNullException.ThrowIfNull(day);
        SheetLines lines = new();
        lines.Add(DayPage.TitleOf(day), Tone.Heading);
        for (int i = 0; i < day.Runs.Length; i++)
        {
            if (!day.Runs[i].IsDone)
            {
                lines.Wrapped("FAILED ", $"run {i + 1}, {day.Runs[i].Error}", Tone.Alarm, 3);
            }
        }

        Actions(day, lines);
        lines.Add(Row("run", "", "log", day.SpeedKmh is double speed ? $"load kN, {Fixed(speed, 0)} km/h" : "", "% front", "strikes", "life %"), Tone.Heading);
        for (int i = 0; i < day.Runs.Length; i++)
        {
            DayRun run = day.Runs[i];
            if (run.Headline is not { } head)
            {
                lines.Add(Row(Number(i + 1), run.Log, "failed", "", "", "", ""), Tone.Alarm);
                continue;
            }

            double? life = head.Life.Max(part => part.UsedPct);
            lines.Add(
                Row(Number(i + 1), run.Folder, head.Health, Load(day, i + 1), Of(day, "aero_balance", "front share", i + 1) is { } balance ? Fixed(balance.Value, 1) : Missing,
                    head.Strikes is int strikes ? $"{Number(strikes)}{(head.Exceedances > 0 ? $" ({Number(head.Exceedances.Value)})" : "")}" : Missing, life is double used ? Small(used) : Missing),
                head.Health == "unusable" ? Tone.Alarm : head.Health == "doubtful" || head.Exceedances > 0 ? Tone.Warning : Tone.Plain);
        }

        lines.Add("Strikes in brackets are past a limit. Estimates, not a clearance.", Tone.Muted);
        return lines.Done();
    }

    private static void Actions(DayResult day, SheetLines lines)
    {
        (int Run, SummaryAction Action)[] now =
        [
            .. day.Runs.Select((run, i) => (Number: i + 1, run)).Reverse()
                .SelectMany(one => (one.run.Headline?.Actions ?? []).Where(action => action.Urgency == "before_next_run").Select(action => (one.Number, action)))
                .DistinctBy(one => (one.action.Subject, one.action.Instruction)),
        ];
        foreach ((int run, SummaryAction action) in now.Take(MostActions))
        {
            lines.Wrapped("NOW  ", $"run {run}: {action.Instruction} {action.Because}", Tone.Alarm, 3);
        }

        if (now.Length > MostActions)
        {
            lines.Add($"  and {Number(now.Length - MostActions)} more: see index.html", Tone.Muted);
        }

        if (now.Length == 0 && day.Runs.Any(run => run.IsDone))
        {
            lines.Add("Nothing found that needs a person before the next run.", Tone.Good);
        }
    }

    /// <summary>Front and rear together is what a row has room for; its interval stands in the page.</summary>
    private static string Load(DayResult day, int run) =>
        Of(day, "aero_front_load", "front", run) is { } front && Of(day, "aero_rear_load", "rear", run) is { } rear
            ? $"{Fixed(front.Value, 2)} + {Fixed(rear.Value, 2)}"
            : Missing;

    private static DayPoint? Of(DayResult day, string trend, string series, int run) =>
        day.Trends.FirstOrDefault(one => one.Name == trend)?.Series.FirstOrDefault(line => line.Name == series)?.Points.FirstOrDefault(at => at.Run == run);

    private static string Number(int value) => value.ToString(CultureInfo.InvariantCulture);

    private static string Row(string number, string name, string log, string load, string balance, string strikes, string life) =>
        string.Create(CultureInfo.InvariantCulture, $"{number,3}  {SheetLines.Cut(name, 20),-20}  {log,-8} {load,19}{balance,8}{strikes,9}{life,8}");
}
