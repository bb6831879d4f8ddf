using System.CommandLine;
using System.Globalization;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs.Life;

/// <summary>All parts on one sheet.</summary>
internal static class LifeShow
{
    public static int Run(LifeAsk ask, ParseResult parsed, string? carPath)
    {
        LedgerDatabase database = ask.Open(parsed);
        LedgerState state = database.Read().State;
        Dictionary<string, double> critical = carPath is null
            ? []
            : CarFile.Read(carPath).Components.Where(part => part.Fatigue is not null).ToDictionary(part => part.Id, part => part.Fatigue!.CriticalDamage);
        List<SheetLine> lines =
        [
            new($"{database.Address}: {LifeAsk.Number(state.Runs.Length)} {(state.Runs.Length == 1 ? "run" : "runs")}", Tone.Heading),
            Row(Tone.Heading, "Component", "runs", "damage", "life %", "push kN", "pull kN", "last verdict"),
        ];
        foreach (PartLife part in state.Parts)
        {
            lines.Add(Line(part, part.CriticalDamage ?? (critical.TryGetValue(part.Part, out double stated) ? stated : null)));
        }

        lines.AddRange(state.Parts.Select(part => part.PastLimitSentence(part.Part)).OfType<string>().Select(past => new SheetLine(past, Tone.Alarm)));
        foreach (PartLife part in state.Parts.Where(part => !part.Doubts.IsEmpty))
        {
            lines.Add(new($"{part.Part}: {part.Doubts[0]}{(part.Doubts.Length > 1 ? $" And {LifeAsk.Number(part.Doubts.Length - 1)} more: see its history." : "")}", Tone.Warning));
        }

        lines.Add(new("Estimates, not a clearance: only runs that were analysed are counted.", Tone.Muted));
        return ask.Print(lines);
    }

    private static SheetLine Line(PartLife part, double? critical)
    {
        // A run whose damage is not known makes the sum a lower bound.
        string bound = part.IsLowerBound ? ">" : "";
        double? used = critical is { } whole ? 100 * part.Damage / whole : null;
        bool isUsedUp = used >= 100;
        ComponentVerdict verdict = part.Runs.IsEmpty ? ComponentVerdict.Unknown : part.Runs[^1].Figures.Verdict;
        string state = part.Retired is { } retired ? $"retired {LifeAsk.Day(retired.AtUtc)[..10]}"
            : isUsedUp ? "life used up"
            : part.PastLimit is not null ? "past a limit"
            : part.Runs.IsEmpty ? "no run"
            : verdict.ToString().ToLowerInvariant();
        string fitted = part.Fitted is { } fit ? $", on {fit.Car}{(fit.Corner is null ? "" : " " + fit.Corner)}" : "";
        Tone tone = part.Retired is not null ? Tone.Muted
            : isUsedUp || part.PastLimit is not null || verdict == ComponentVerdict.Retire ? Tone.Alarm
            : verdict == ComponentVerdict.Run ? Tone.Plain : Tone.Warning;
        return Row(
            tone,
            part.Part,
            LifeAsk.Number(part.Runs.Length),
            bound + part.Damage.ToString("0.00e+0", CultureInfo.InvariantCulture),
            used is { } pct ? bound + LifeAsk.Percent(pct) : "-",
            LifeAsk.Kilonewtons(part.Runs.Max(run => run.Figures.PeakCompressionN)),
            LifeAsk.Kilonewtons(part.Runs.Max(run => run.Figures.PeakTensionN)),
            state + fitted);
    }

    private static SheetLine Row(Tone tone, string name, string runs, string damage, string life, string push, string pull, string verdict) =>
        new($"{name,-24}{runs,5}{damage,11}{life,9}{push,9}{pull,9}  {verdict}", tone) { Cells = [name, runs, damage, life, push, pull, verdict] };
}
