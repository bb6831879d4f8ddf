using System.Collections.Immutable;
using System.CommandLine;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs.Life;

/// <summary>Adds everything up again.</summary>
internal static class LifeVerify
{
    public static Command Create(LifeAsk ask)
    {
        HelpExamples.Verb verb = new(
            "verify",
            "Add every entry up again and compare with the stored sums; check hashes, numbering and the file itself. Ends with exit code 1 when something does not agree.",
            "pushrod life verify --ledger parts.db");
        verb.SetAction(parsed => Run(ask, parsed));
        return verb;
    }

    private static int Run(LifeAsk ask, ParseResult parsed)
    {
        LedgerDatabase database = ask.Open(parsed);
        ImmutableArray<string> faults = database.Verify();
        LedgerState state = database.Read().State;
        List<SheetLine> lines = [.. faults.Select(fault => new SheetLine(fault, Tone.Alarm))];
        foreach (PartLife part in state.Parts)
        {
            lines.AddRange(part.Doubts.Select(doubt => new SheetLine($"'{part.Part}': {doubt}", Tone.Warning)));
        }

        lines.Add(faults.IsEmpty
            ? new($"{database.Address}: {LifeAsk.Number(state.Entries.Length)} entries, {LifeAsk.Number(state.Runs.Length)} runs and {LifeAsk.Number(state.Parts.Length)} parts agree with the stored sums.", Tone.Good)
            : new($"{database.Address}: {LifeAsk.Number(faults.Length)} {(faults.Length == 1 ? "thing does" : "things do")} not agree. Trust no life from it before that is settled: restore a copy, or export it and compare.", Tone.Alarm));
        return ask.Print(lines, faults.IsEmpty ? ExitCode.Done : ExitCode.Finding);
    }
}
