using System.CommandLine;
using System.Globalization;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs.Life;

/// <summary>One part's life, entry by entry, with what each figure was made from.</summary>
internal static class LifeHistory
{
    public static Command Create(LifeAsk ask)
    {
        Argument<string> part = LifeAsk.Part();
        HelpExamples.Verb verb = new(
            "history",
            "One part's life by date: runs with damage and what they were made from (log hash, car file hash, program, settings), fits, inspections, corrections.",
            "pushrod life history P12 --ledger parts.db")
        {
            part,
        };
        verb.SetAction(parsed => Run(ask, parsed, parsed.GetRequiredValue(part)));
        return verb;
    }

    private static int Run(LifeAsk ask, ParseResult parsed, string name)
    {
        LedgerDatabase database = ask.Open(parsed);
        LedgerContent content = database.Read();
        PartLife part = LifeAsk.Require(content, name, database.Address.Display);
        List<SheetLine> lines = [new($"{part.Part}{(part.Description is null ? "" : ": " + part.Description)}", Tone.Heading)];
        string bound = part.IsLowerBound ? "more than " : "";
        lines.Add(new(
            $"damage {bound}{LifeAsk.Damage(part.Damage)}, of it {LifeAsk.Damage(part.OpenDamage)} open as half cycles{(part.DamageByHand == 0 ? "" : $" and {LifeAsk.Damage(part.DamageByHand)} by hand")}"
            + (part.LifeUsedPct is { } pct ? $"; {bound}{LifeAsk.Percent(pct)} % of its life" : "; no S-N line, so no life"), Tone.Plain));
        if (part.PastLimitSentence(part.Part) is { } past)
        {
            lines.Add(new(past, Tone.Alarm));
        }

        List<(DateTimeOffset At, long Number, SheetLine Line)> events = [];
        foreach (PartRun run in part.Runs)
        {
            events.AddRange(OfRun(run));
        }

        foreach (LedgerEntry mark in part.Marks)
        {
            events.Add((mark.AtUtc, mark.Number, OfMark(mark, null)));
        }

        foreach (LedgerEntry mark in content.Entries.Where(entry => entry.Part == name && content.State.StruckOut.Contains(entry.Number)))
        {
            LedgerEntry why = content.Entries.Last(entry => entry.Corrects == mark.Number);
            events.Add((mark.AtUtc, mark.Number, OfMark(mark, why)));
        }

        lines.AddRange(events.OrderBy(at => at.At).ThenBy(at => at.Number).Select(at => at.Line));
        lines.AddRange(LimitChanges(part));
        lines.AddRange(part.Doubts.Select(doubt => new SheetLine("doubtful: " + doubt, Tone.Warning)));
        lines.Add(new("Estimates, not a clearance: only runs that were analysed are counted.", Tone.Muted));
        return ask.Print(lines);
    }

    private static IEnumerable<(DateTimeOffset At, long Number, SheetLine Line)> OfRun(PartRun run)
    {
        RunFigures made = run.Place.Entry.Run!;
        DateTimeOffset at = run.Place.PlaceUtc;
        string told = run.Added is { } added && run.Figures.DamageTold is { } then && Math.Abs(added - then) > 1e-6 * Math.Abs(added) ? $" (told {LifeAsk.Damage(then)} when it was analysed)" : "";
        yield return (at, run.Place.FirstNumber, new(
            $"{LifeAsk.Day(made.StartedAtUtc)}  entry {LifeAsk.Number(run.Place.Entry.Number)}  run '{made.Run}'{(run.Place.CameLate ? ", came late" : "")}: damage +{LifeAsk.Damage(run.Added)}{told}, sum {LifeAsk.Damage(run.DamageAfter)}; push {LifeAsk.Kilonewtons(run.Figures.PeakCompressionN)} kN, pull {LifeAsk.Kilonewtons(run.Figures.PeakTensionN)} kN{(run.Figures.PeakIsLowerBound ? " or more" : "")}; {run.Figures.Verdict.ToString().ToLowerInvariant()}",
            run.Figures.ExceededLimit ? Tone.Alarm : Tone.Plain));
        yield return (at, run.Place.FirstNumber, new(
            $"    car {made.Car ?? "not kept"}{(run.Figures.Corner is null ? "" : " " + run.Figures.Corner)}; program {made.Program ?? "not kept"}; {made.Settings ?? "settings not kept"}", Tone.Muted));
        yield return (at, run.Place.FirstNumber, new($"    log {made.LogHash}", Tone.Muted));
        yield return (at, run.Place.FirstNumber, new($"    car file {made.CarHash ?? "not kept"}", Tone.Muted));
        foreach (LedgerEntry earlier in run.Place.Earlier)
        {
            PartFigures? before = earlier.Run!.Parts.FirstOrDefault(part => part.Part == run.Figures.Part);
            yield return (at, run.Place.FirstNumber, new(
                $"    replaces entry {LifeAsk.Number(earlier.Number)} of {LifeAsk.Day(earlier.EnteredAtUtc)}: damage {LifeAsk.Damage(before?.DamageTold)}; program {earlier.Run.Program ?? "not kept"}; {earlier.Run.Settings}; car file {earlier.Run.CarHash ?? "not kept"}", Tone.Muted));
        }
    }

    private static SheetLine OfMark(LedgerEntry mark, LedgerEntry? struckOut)
    {
        string what = mark.Kind switch
        {
            EntryKind.Fit => $"fitted to {mark.Car}{(mark.Corner is null ? "" : " " + mark.Corner)}",
            EntryKind.Remove => "taken off",
            EntryKind.Inspect => "inspected",
            EntryKind.Retire => "retired",
            EntryKind.Limit => "limit changed",
            _ => string.Create(CultureInfo.InvariantCulture, $"damage {mark.Damage:+0.000e+0;-0.000e+0} by hand"),
        };
        string text = $"{LifeAsk.Day(mark.AtUtc)}  entry {LifeAsk.Number(mark.Number)}  {what}{(mark.Text is null ? "" : ": " + mark.Text)}{(mark.By is null ? "" : " (" + mark.By + ")")}";
        return struckOut is null ? new(text, Tone.Plain) : new($"{text}  -- struck out by entry {LifeAsk.Number(struckOut.Number)}{(struckOut.Text is null ? "" : ": " + struckOut.Text)}", Tone.Muted);
    }

    /// <summary>Where the car files of two runs in a row allow something different.</summary>
    private static IEnumerable<SheetLine> LimitChanges(PartLife part)
    {
        PartRun? before = null;
        foreach (PartRun run in part.Runs.Where(run => !run.Figures.IsOldForm))
        {
            if (before is not null)
            {
                string[] changes =
                [
                    .. new[]
                    {
                        Change("compression limit", before.Figures.CompressionLimitN, run.Figures.CompressionLimitN),
                        Change("tension limit", before.Figures.TensionLimitN, run.Figures.TensionLimitN),
                        Change("inspection threshold", before.Figures.InspectionThresholdN, run.Figures.InspectionThresholdN),
                    }.OfType<string>(),
                ];
                if (changes.Length > 0)
                {
                    yield return new($"the car file of run '{run.Place.Entry.Run!.Run}' changed what is allowed: {string.Join(", ", changes)}", Tone.Warning);
                }
            }

            before = run;
        }
    }

    private static string? Change(string what, double? before, double? after) =>
        before == after ? null : $"{what} {LifeAsk.Kilonewtons(before)} to {LifeAsk.Kilonewtons(after)} kN";
}
