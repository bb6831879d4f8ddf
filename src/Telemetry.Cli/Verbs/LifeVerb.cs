using System.Collections.Immutable;
using System.CommandLine;
using System.Globalization;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs;

/// <summary>What the life ledger knows of each part.</summary>
internal static class LifeVerb
{
    public static Command Create(Screen screen)
    {
        Option<string> ledger = new("--ledger") { Description = "The life ledger that 'analyse --ledger' keeps.", HelpName = "FILE", Required = true };
        Option<string?> car = new("--car") { Description = "The car file: its critical damage turns the sum into life used. Without it, a sum of 1 is a whole life.", HelpName = "CAR" };
        HelpExamples.Verb verb = new(
            "life",
            "Show the life ledger: damage, life used, largest loads and runs of each part.",
            "pushrod life --ledger parts.jsonl --car car.toml")
        {
            ledger, car,
        };
        verb.SetAction(parsed => Run(screen, parsed.GetRequiredValue(ledger), parsed.GetValue(car)));
        return verb;
    }

    private static int Run(Screen screen, string path, string? carPath)
    {
        if (!File.Exists(path))
        {
            throw new InputError(path, "There is no such ledger.", "Analyse a run with --ledger to start one.");
        }

        LifeLedger ledger = LifeLedger.Read(path);
        Dictionary<string, double> critical = carPath is null
            ? []
            : Car.CarFile.Read(carPath).Components.Where(part => part.Fatigue is not null).ToDictionary(part => part.Id, part => part.Fatigue!.CriticalDamage);
        ImmutableArray<SheetLine>.Builder lines = ImmutableArray.CreateBuilder<SheetLine>();
        lines.Add(new($"{path}: {ledger.Runs.Length} {(ledger.Runs.Length == 1 ? "run" : "runs")}", Tone.Heading));
        lines.Add(new(string.Create(CultureInfo.InvariantCulture, $"{"Component",-24}{"runs",5}{"damage",11}{"life %",9}{"push kN",9}{"pull kN",9}  last verdict"), Tone.Heading));
        foreach (string id in ledger.Runs.SelectMany(run => run.Components).Select(part => part.Id).Distinct().Order(StringComparer.Ordinal))
        {
            lines.Add(Part(ledger, id, critical.GetValueOrDefault(id, 1)));
        }

        lines.Add(new("Estimates, not a clearance: only runs that were analysed are counted.", Tone.Muted));
        SheetPrinter.Print(lines.Select(line => line with { Text = SheetPrinter.Plain(line.Text) }), screen);
        return ExitCode.Done;
    }

    private static SheetLine Part(LifeLedger ledger, string id, double critical)
    {
        ComponentEntry[] entries = [.. ledger.Runs.SelectMany(run => run.Components).Where(part => part.Id == id)];
        double damage = ledger.Before(id).Damage;
        // A run whose damage is not known makes the sum a lower bound.
        string bound = entries.Any(entry => entry.Damage is null) ? ">" : "";
        double? push = entries.Max(entry => entry.PeakCompressionN);
        double? pull = entries.Max(entry => entry.PeakTensionN);
        bool isUsedUp = damage >= critical;
        ComponentVerdict verdict = entries[^1].Verdict;
        string text = string.Create(CultureInfo.InvariantCulture,
            $"{id,-24}{entries.Length,5}{bound + damage.ToString("0.00e+0", CultureInfo.InvariantCulture),11}{bound + Percent(100 * damage / critical),9}{Kilonewtons(push),9}{Kilonewtons(pull),9}  {(isUsedUp ? "life used up" : verdict.ToString().ToLowerInvariant())}");
        Tone tone = isUsedUp || verdict == ComponentVerdict.Retire ? Tone.Alarm : verdict == ComponentVerdict.Run ? Tone.Plain : Tone.Warning;
        return new(text, tone);
    }

    private static string Percent(double pct) => pct is > 0 and < 0.1 ? "<0.1" : pct.ToString("F1", CultureInfo.InvariantCulture);

    private static string Kilonewtons(double? newtons) => newtons is double known ? (known / 1000).ToString("F2", CultureInfo.InvariantCulture) : "-";
}
