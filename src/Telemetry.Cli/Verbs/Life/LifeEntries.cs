using System.CommandLine;
using System.Globalization;
using Telemetry.Car;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs.Life;

/// <summary>What people enter: fits, removals, inspections, retirements, limits, corrections.</summary>
internal static class LifeEntries
{
    public static IEnumerable<Command> Create(LifeAsk ask)
    {
        yield return Fit(ask);
        yield return Plain(ask, "remove", EntryKind.Remove, "Say that a part was taken off.", "--reason", false, "Why.", "pushrod life remove P12 --date 2026-03-31 --ledger parts.db");
        yield return Plain(ask, "inspect", EntryKind.Inspect, "Say that a part was looked at, and with what result.", "--result", true, "What was found.", "pushrod life inspect P12 --result \"no crack\" --ledger parts.db");
        yield return Plain(ask, "retire", EntryKind.Retire, "Say that a part is not to run again. Its history stays.", "--reason", false, "Why.", "pushrod life retire P12 --reason \"bent\" --ledger parts.db");
        yield return Plain(ask, "limit", EntryKind.Limit, "Note that the designer changed what a part is allowed. The figure itself belongs into the car file.", "--change", true, "What changed, from what to what.", "pushrod life limit P12 --change \"14 kN to 13.5 kN\" --ledger parts.db");
        yield return Correct(ask);
    }

    private static HelpExamples.Verb Fit(LifeAsk ask)
    {
        Argument<string> part = LifeAsk.Part();
        Option<string> car = new("--car") { Description = "The car: its car file, or the name that stands in it.", HelpName = "CAR", Required = true };
        Option<string?> corner = new("--corner") { Description = "FL, FR, RL or RR; leave out for a part of no single corner.", HelpName = "CORNER" };
        Option<string?> fromRun = new("--from-run") { Description = "The run from which on it was fitted, by name: its start is the date.", HelpName = "RUN" };
        Option<DateTimeOffset?> date = Date();
        Option<string?> by = By();
        HelpExamples.Verb verb = new(
            "fit",
            "Say that a part was fitted. Runs count for the part that their car file names; where both disagree, 'life' says so.",
            "pushrod life fit P13 --car car.toml --corner FL --ledger parts.db",
            "pushrod life fit P13 --car \"car 7\" --from-run run12 --ledger parts.db")
        {
            part, car, corner, fromRun, date, by,
        };
        verb.SetAction(parsed =>
        {
            DateTimeOffset? at = parsed.GetValue(date);
            if (parsed.GetValue(fromRun) is { } run)
            {
                at = at is null ? StartOf(ask.Open(parsed), run) : throw new UsageError("Give --from-run or --date, not both.");
            }

            return Enter(ask, parsed, at, new()
            {
                Kind = EntryKind.Fit,
                Part = parsed.GetRequiredValue(part),
                Car = NameOf(parsed.GetRequiredValue(car)),
                Corner = parsed.GetValue(corner),
                By = parsed.GetValue(by),
                AtUtc = default,
                EnteredAtUtc = default,
            });
        });
        return verb;
    }

    private static string NameOf(string car) => File.Exists(car) ? CarFile.Read(car).Name : car;

    private static HelpExamples.Verb Plain(LifeAsk ask, string name, EntryKind kind, string description, string option, bool isRequired, string optionDescription, string example)
    {
        Argument<string> part = LifeAsk.Part();
        Option<string?> text = new(option) { Description = optionDescription, HelpName = "TEXT", Required = isRequired };
        Option<DateTimeOffset?> date = Date();
        Option<string?> by = By();
        HelpExamples.Verb verb = new(name, description, example) { part, text, date, by };
        verb.SetAction(parsed => Enter(ask, parsed, parsed.GetValue(date), new()
        {
            Kind = kind,
            Part = parsed.GetRequiredValue(part),
            Text = parsed.GetValue(text),
            By = parsed.GetValue(by),
            AtUtc = default,
            EnteredAtUtc = default,
        }));
        return verb;
    }

    private static HelpExamples.Verb Correct(LifeAsk ask)
    {
        Argument<string?> part = new("PART") { Description = "The part whose account a damage is charged to; none to strike an entry out.", Arity = ArgumentArity.ZeroOrOne };
        Option<long?> entry = new("--entry") { Description = "Number of the entry to strike out. It stays readable and no longer counts.", HelpName = "NUMBER" };
        Option<double?> damage = new("--damage") { Description = "Damage (Miner sum) to charge, for a run without a log; below 0 takes it off.", HelpName = "SUM" };
        Option<string> reason = new("--reason") { Description = "Why.", HelpName = "TEXT", Required = true };
        Option<DateTimeOffset?> date = Date();
        Option<string?> by = By();
        HelpExamples.Verb verb = new(
            "correct",
            "Correct the ledger by a new entry: strike an earlier entry out, or charge damage that no log holds. Nothing is ever deleted.",
            "pushrod life correct --entry 12 --reason \"other car\" --ledger parts.db",
            "pushrod life correct P12 --damage 0.012 --reason \"no log\" --ledger parts.db")
        {
            part, entry, damage, reason, date, by,
        };
        verb.SetAction(parsed =>
        {
            long? number = parsed.GetValue(entry);
            double? sum = parsed.GetValue(damage);
            string? name = parsed.GetValue(part);
            if (number is null == sum is null || sum is null == name is not null)
            {
                throw new UsageError("Give either --entry alone, or PART with --damage.");
            }

            return Enter(ask, parsed, parsed.GetValue(date), new()
            {
                Kind = number is null ? EntryKind.Charge : EntryKind.Correct,
                Part = name,
                Corrects = number,
                Damage = sum,
                Text = parsed.GetValue(reason),
                By = parsed.GetValue(by),
                AtUtc = default,
                EnteredAtUtc = default,
            });
        });
        return verb;
    }

    private static int Enter(LifeAsk ask, ParseResult parsed, DateTimeOffset? at, LedgerEntry entry)
    {
        DateTimeOffset now = DateTimeOffset.UtcNow;
        LedgerDatabase database = ask.Open(parsed, mayMake: true);
        LedgerEntry entered = LifeAsk.Writing(database.Address.Display, () => database.Enter(entry with { AtUtc = at ?? now, EnteredAtUtc = now }));
        string what = entered.Kind switch
        {
            EntryKind.Fit => $"'{entered.Part}' fitted to {entered.Car}{(entered.Corner is null ? "" : " " + entered.Corner)}",
            EntryKind.Remove => $"'{entered.Part}' taken off",
            EntryKind.Inspect => $"'{entered.Part}' inspected: {entered.Text}",
            EntryKind.Retire => $"'{entered.Part}' retired",
            EntryKind.Limit => $"limit of '{entered.Part}': {entered.Text}",
            EntryKind.Charge => string.Create(CultureInfo.InvariantCulture, $"'{entered.Part}' charged with a damage of {entered.Damage:0.000e+0}"),
            _ => $"entry {LifeAsk.Number(entered.Corrects!.Value)} struck out",
        };
        List<SheetLine> lines = [new($"Entry {LifeAsk.Number(entered.Number)}, {LifeAsk.Day(entered.AtUtc)}: {what}.", Tone.Plain)];
        if (entered.Part is { } part && database.Read().State.Of(part) is { } life)
        {
            if (life.Runs.IsEmpty && entered.Kind != EntryKind.Fit)
            {
                lines.Add(new($"'{part}' has no run in this ledger: check the serial number; strike the entry out with 'life correct' if it is wrong.", Tone.Warning));
            }

            lines.AddRange(life.Doubts.Select(doubt => new SheetLine($"'{part}': {doubt}", Tone.Warning)));
        }

        return ask.Print(lines);
    }

    private static DateTimeOffset StartOf(LedgerDatabase database, string run)
    {
        RunPlace[] found = [.. database.Read().State.Runs.Where(place => place.Entry.Run!.Run == run)];
        return found.Length switch
        {
            0 => throw new InputError(database.Address.Display, $"has no run '{run}'.", "Give the run's name as 'life history' shows it, or --date."),
            1 => found[0].Entry.Run!.StartedAtUtc ?? throw new InputError(database.Address.Display, $"does not know when run '{run}' started.", "Give --date."),
            _ => throw new InputError(database.Address.Display, $"has {LifeAsk.Number(found.Length)} runs named '{run}'.", "Give --date."),
        };
    }

    private static Option<DateTimeOffset?> Date() => Ask.Date("When: 2026-03-31 or 2026-03-31T14:05+02:00. Default: now.");

    private static Option<string?> By() => new("--by") { Description = "Who says so.", HelpName = "NAME" };
}
