using System.CommandLine;
using Telemetry.Ledgers;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs.Life;

/// <summary>Whole ledgers out and in.</summary>
internal static class LifeCopies
{
    public static Command CreateExport(LifeAsk ask)
    {
        Argument<string> folder = new("DIR") { Description = "Folder for the tables; new or empty." };
        Option<bool> parquet = new("--parquet") { Description = "Parquet instead of CSV." };
        HelpExamples.Verb verb = new(
            "export",
            "Write all tables of the ledger into a folder, as CSV or Parquet.",
            "pushrod life export parts-csv --ledger parts.db")
        {
            folder, parquet,
        };
        verb.SetAction(parsed =>
        {
            LedgerContent content = ask.Open(parsed).Read();
            string target = parsed.GetRequiredValue(folder);
            LifeAsk.Writing(target, () =>
            {
                LedgerExport.Write(content, target, parsed.GetValue(parquet) ? ExportForm.Parquet : ExportForm.Csv);
                return true;
            });
            return ask.Print([new($"{target}: {LifeAsk.Number(content.Entries.Length)} entries written.", Tone.Plain)]);
        });
        return verb;
    }

    public static Command CreateImport(LifeAsk ask)
    {
        Argument<string> source = new("SOURCE") { Description = "A folder that 'life export' wrote, or a ledger of the old form (lines of text)." };
        HelpExamples.Verb verb = new(
            "import",
            "Take a ledger over: an exported folder into a new ledger, or the runs of a ledger of the old form.",
            "pushrod life import parts.jsonl --ledger parts.db",
            "pushrod life import parts-csv --ledger copy.db")
        {
            source,
        };
        verb.SetAction(parsed => Import(ask, parsed, parsed.GetRequiredValue(source)));
        return verb;
    }

    private static int Import(LifeAsk ask, ParseResult parsed, string from)
    {
        if (!File.Exists(from) && !Directory.Exists(from))
        {
            throw new InputError(from, "There is no such file or folder.", "Check the path.");
        }

        LedgerDatabase database = ask.Open(parsed, mayMake: true);
        if (Directory.Exists(from))
        {
            int entries = LifeAsk.Writing(database.Address.Display, () => LedgerImport.Folder(from, database));
            return ask.Print([new($"{database.Address}: {LifeAsk.Number(entries)} entries taken over from {from}.", Tone.Plain)]);
        }

        (int taken, int held) = LifeAsk.Writing(database.Address.Display, () => LedgerImport.OldForm(from, database, DateTimeOffset.UtcNow));
        return ask.Print(
        [
            new($"{database.Address}: {LifeAsk.Number(taken)} of the {LifeAsk.Number(held)} runs of {from} taken over{(taken == held ? "" : "; the others were known already")}.", Tone.Plain),
            new("They keep their damage as it was told; car file and program were not kept. Analyse their logs again where you have them.", Tone.Muted),
        ]);
    }
}
