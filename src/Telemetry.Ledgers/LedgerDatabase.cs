using System.Collections.Immutable;
using System.Data.Common;
using System.Security.Cryptography;
using System.Text;
using Telemetry.Ledger;

namespace Telemetry.Ledgers;

/// <summary>A ledger in a database: read as a whole, added to one entry at a time. Public entry of this project.</summary>
/// <remarks>
/// Every call is one transaction of its own: it happened wholly or not at all, whenever the process ends. Writers come one after the other. A run counts once, by its
/// log's hash, whoever enters it and how often.
/// </remarks>
public sealed class LedgerDatabase
{
    private readonly LedgerGate gate;

    private LedgerDatabase(LedgerGate gate) => this.gate = gate;

    /// <summary>Where it is.</summary>
    public LedgerAddress Address => gate.Address;

    /// <summary>Opens a ledger: brings its tables to this program's version, or makes them.</summary>
    /// <param name="address">Where it is.</param>
    /// <param name="nowUtc">Time to note where tables are made.</param>
    /// <param name="mayMake">False: a ledger that is not there is an error.</param>
    /// <exception cref="InputError">There is none, it is no ledger, or a newer program wrote it; or the database does not answer.</exception>
    public static LedgerDatabase Open(LedgerAddress address, DateTimeOffset nowUtc, bool mayMake = true)
    {
        ArgumentNullException.ThrowIfNull(address);
        LedgerGate gate = new(address);
        gate.Prepare(nowUtc, mayMake);
        return new(gate);
    }

    /// <summary>Everything in it, as one state of the whole.</summary>
    /// <exception cref="InputError">It cannot be read.</exception>
    public LedgerContent Read() => gate.Read((connection, transaction) => Content(connection, transaction, LedgerSchema.Content));

    /// <summary>Enters an analysis of a log. The same analysis again changes nothing; another one of the same log replaces its figures, and the old ones stay readable.</summary>
    /// <param name="run">What was found.</param>
    /// <param name="carText">Text of the car file, to be kept under <see cref="RunFigures.CarHash"/>; null where it is not known.</param>
    /// <param name="enteredAtUtc">Now.</param>
    /// <param name="by">Who, or null.</param>
    /// <exception cref="InputError">A text holds what a database cannot keep, or the ledger cannot be read.</exception>
    /// <exception cref="IOException">It could not be written; nothing was entered.</exception>
    public RecordedRun Record(RunFigures run, string? carText, DateTimeOffset enteredAtUtc, string? by = null)
    {
        ArgumentNullException.ThrowIfNull(run);
        if (carText is not null && run.CarHash != HashOf(carText))
        {
            throw new ArgumentException("The car file's hash is not the hash of its text.", nameof(carText));
        }

        return gate.Write((connection, transaction) => Record(connection, transaction, run, carText, enteredAtUtc, by));
    }

    /// <summary>Enters several runs at once, all or none: what another form of the ledger held.</summary>
    /// <param name="runs">Runs, in the order in which they were entered there.</param>
    /// <param name="enteredAtUtc">Now.</param>
    /// <param name="by">Who, or null.</param>
    /// <returns>How many were new.</returns>
    /// <exception cref="InputError">As <see cref="Record(RunFigures, string?, DateTimeOffset, string?)"/>.</exception>
    /// <exception cref="IOException">It could not be written; nothing was entered.</exception>
    public int TakeOver(IReadOnlyList<RunFigures> runs, DateTimeOffset enteredAtUtc, string? by = null)
    {
        ArgumentNullException.ThrowIfNull(runs);
        return gate.Write((connection, transaction) =>
        {
            // A log that is known already stays as it is: the old form knows less of it.
            HashSet<string> known = [.. Content(connection, transaction).Entries.Where(entry => entry.Run is not null).Select(entry => entry.Run!.LogHash)];
            return runs.Where(run => known.Add(run.LogHash)).Count(run => Record(connection, transaction, run, null, enteredAtUtc, by).Outcome == RecordOutcome.Added);
        });
    }

    /// <summary>Enters what a person says: a fit, an inspection, a correction...</summary>
    /// <param name="entry">The entry; its number is given by the ledger.</param>
    /// <returns>The entry with its number.</returns>
    /// <exception cref="InputError">It does not fit what the ledger knows; or it cannot be read.</exception>
    /// <exception cref="IOException">It could not be written; nothing was entered.</exception>
    public LedgerEntry Enter(LedgerEntry entry)
    {
        ArgumentNullException.ThrowIfNull(entry);
        return gate.Write((connection, transaction) =>
        {
            LedgerContent content = Content(connection, transaction);
            EntryRules.Require(entry, content.Entries);
            LedgerEntry numbered = entry with { Number = content.NextNumber };
            LedgerEntry? corrected = content.Entries.FirstOrDefault(earlier => earlier.Number == entry.Corrects);
            IEnumerable<string> moved = entry.Part is { } part ? [part] : PartsMovedBy(corrected, content);
            Append(connection, transaction, content, numbered, 0, null, [.. moved]);
            return numbered;
        });
    }

    /// <summary>Puts a whole exported ledger into this one, which must be empty.</summary>
    /// <exception cref="InputError">This ledger has entries, or the rows are no whole ledger.</exception>
    /// <exception cref="IOException">It could not be written; nothing was entered.</exception>
    internal void PutAll(LedgerRows rows, string from) => gate.Write((connection, transaction) =>
    {
        if (!Content(connection, transaction).Entries.IsEmpty)
        {
            throw new InputError(Address.Display, "has entries already, and two ledgers cannot be mixed.", "Import into a new ledger; analyse the logs of the other one again to join them.");
        }

        LedgerContent incoming = LedgerContent.Of(rows, from);
        if (incoming.Faults([]) is { IsEmpty: false } faults)
        {
            throw new InputError([.. faults.Select(fault => new InputFault(from, fault, "Export the ledger again; an export must not be edited."))]);
        }

        foreach (LedgerTable table in LedgerSchema.Content)
        {
            LedgerSql.Insert(connection, transaction, table, rows.Of(table));
        }

        return true;
    });

    /// <summary>Adds every entry up again and compares with the stored sums; checks hashes, numbering and the database's own storage.</summary>
    /// <returns>What is wrong, as sentences; empty when all agrees.</returns>
    /// <exception cref="InputError">It cannot be read.</exception>
    public ImmutableArray<string> Verify() => gate.Read((connection, transaction) =>
        Content(connection, transaction, LedgerSchema.Content).Faults(gate.Dialect.CheckStorage(connection)));

    /// <summary>SHA-256 of a text's UTF-8 bytes, as the ledger knows a car file.</summary>
    /// <param name="text">The text.</param>
    public static string HashOf(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    /// <summary>What a writer has to know; laps and readings, the bulk of the rows, move no sum.</summary>
    private LedgerContent Content(DbConnection connection, DbTransaction transaction) =>
        Content(connection, transaction, [LedgerSchema.CarFiles, LedgerSchema.Entries, LedgerSchema.Runs, LedgerSchema.Parts]);

    private LedgerContent Content(DbConnection connection, DbTransaction transaction, ImmutableArray<LedgerTable> tables)
    {
        LedgerRows rows = new();
        foreach (LedgerTable table in tables)
        {
            LedgerSql.Read(connection, transaction, table, rows.Of(table));
        }

        return LedgerContent.Of(rows, Address.Display);
    }

    private RecordedRun Record(DbConnection connection, DbTransaction transaction, RunFigures run, string? carText, DateTimeOffset enteredAtUtc, string? by)
    {
        LedgerContent content = Content(connection, transaction);
        LedgerEntry entry = new()
        {
            Kind = EntryKind.Run,
            AtUtc = run.StartedAtUtc ?? enteredAtUtc,
            EnteredAtUtc = enteredAtUtc,
            By = by,
            Run = run,
        };
        EntryRules.Require(entry, content.Entries);
        ImmutableArray<LedgerEntry> analyses = [.. content.Entries.Where(earlier => earlier.Run?.LogHash == run.LogHash)];
        LedgerEntry? counts = analyses.LastOrDefault(earlier => !content.State.StruckOut.Contains(earlier.Number));
        if (counts is { Run: { } same } && same.CarHash == run.CarHash && same.Program == run.Program && same.Settings == run.Settings
            && same.StartedAtUtc == run.StartedAtUtc && LedgerRows.FiguresHash(same) == LedgerRows.FiguresHash(run))
        {
            return new(RecordOutcome.Unchanged, counts.Number, []);
        }

        LedgerEntry numbered = entry with { Number = content.NextNumber };
        HashSet<string> moved = [.. run.Parts.Concat(counts?.Run?.Parts ?? []).Select(part => part.Part)];
        LedgerState state = Append(connection, transaction, content, numbered, analyses.Length + 1, carText, moved);
        int place = state.Runs.TakeWhile(at => at.Entry.Number != numbered.Number).Count();
        ImmutableArray<string> later = [.. state.Runs.Skip(place + 1).Where(at => at.Entry.Run!.Parts.Any(part => moved.Contains(part.Part))).Select(at => at.Entry.Run!.Run)];
        return new(analyses.IsEmpty ? RecordOutcome.Added : RecordOutcome.Replaced, numbered.Number, later);
    }

    /// <summary>Adds an entry and the sums that it moved.</summary>
    private static LedgerState Append(
        DbConnection connection, DbTransaction transaction, LedgerContent content, LedgerEntry entry, int revision, string? carText, HashSet<string> moved)
    {
        LedgerRows rows = new();
        if (carText is not null && !content.CarTexts.ContainsKey(entry.Run!.CarHash!))
        {
            rows.Of(LedgerSchema.CarFiles).Add([entry.Run.CarHash, carText]);
        }

        rows.Add(entry, revision);
        Dictionary<string, string> texts = new(content.CarTexts, StringComparer.Ordinal);
        if (carText is not null)
        {
            texts.TryAdd(entry.Run!.CarHash!, carText);
        }

        LedgerState state = LedgerState.From(content.Entries.Add(entry), new PartStrengths(texts));
        foreach (string part in moved.Order(StringComparer.Ordinal))
        {
            rows.Of(LedgerSchema.Sums).Add(state.Of(part) is { } life
                ? [entry.Number, part, life.Damage, life.OpenDamage, RowText.Of(life.OpenPointsN)]
                : [entry.Number, part, 0.0, 0.0, null]);
        }

        foreach (LedgerTable table in LedgerSchema.Content)
        {
            LedgerSql.Insert(connection, transaction, table, rows.Of(table));
        }

        return state;
    }

    /// <summary>A correction moves the parts of all analyses of the corrected run's log, because an earlier analysis may count again; striking out a correction moves what that one moved.</summary>
    private static IEnumerable<string> PartsMovedBy(LedgerEntry? corrected, LedgerContent content) => corrected switch
    {
        null => [],
        { Run: { } run } => content.Entries.Where(entry => entry.Run?.LogHash == run.LogHash).SelectMany(entry => entry.Run!.Parts).Select(part => part.Part).Distinct(),
        { Part: { } part } => [part],
        _ => PartsMovedBy(content.Entries.FirstOrDefault(entry => entry.Number == corrected.Corrects), content),
    };
}

/// <summary>What became of a run that was entered.</summary>
public enum RecordOutcome
{
    /// <summary>The log was new.</summary>
    Added,

    /// <summary>The same analysis was in the ledger already.</summary>
    Unchanged,

    /// <summary>The log was in the ledger with other figures, which are now history.</summary>
    Replaced,
}

/// <summary>What became of a run that was entered.</summary>
/// <param name="Outcome">What.</param>
/// <param name="Entry">Number of the entry that counts.</param>
/// <param name="LaterRuns">Names of runs of the same parts that stand behind it: their sums were joined with it again, and what was told of them on the day is no longer the whole.</param>
public sealed record RecordedRun(RecordOutcome Outcome, long Entry, ImmutableArray<string> LaterRuns);
