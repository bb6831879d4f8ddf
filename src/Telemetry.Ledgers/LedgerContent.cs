using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Ledger;

namespace Telemetry.Ledgers;

/// <summary>Everything that a ledger holds, read at one moment.</summary>
public sealed class LedgerContent
{
    private LedgerContent(LedgerRows rows, ImmutableArray<LedgerEntry> entries)
    {
        Rows = rows;
        Entries = entries;
        CarTexts = rows.CarTexts();
        Strengths = new(CarTexts);
        State = LedgerState.From(entries, Strengths);
    }

    /// <summary>All entries, by number.</summary>
    public ImmutableArray<LedgerEntry> Entries { get; }

    /// <summary>What they say together.</summary>
    public LedgerState State { get; }

    /// <summary>Strengths of the parts, by the car files that the ledger keeps.</summary>
    public PartStrengths Strengths { get; }

    /// <summary>Texts of the car files by their hash.</summary>
    public IReadOnlyDictionary<string, string> CarTexts { get; }

    internal LedgerRows Rows { get; }

    internal long NextNumber => Entries.IsEmpty ? 1 : Entries[^1].Number + 1;

    internal static LedgerContent Of(LedgerRows rows, string from)
    {
        try
        {
            rows.RequireValues();
            return new(rows, rows.Entries());
        }
        catch (Exception error) when (error is FormatException or ArgumentException or InvalidCastException or OverflowException)
        {
            throw new InputError(from, $"a row of the ledger cannot be read: {error.Message}", "Restore the ledger from a copy or from an export.");
        }
    }

    /// <summary>What does not agree; the storage's own findings come first.</summary>
    internal ImmutableArray<string> Faults(IReadOnlyList<string> storage) => [.. storage, .. Numbering(), .. Hashes(), .. Sums()];

    private IEnumerable<string> Numbering()
    {
        for (int i = 0; i < Entries.Length; i++)
        {
            if (Entries[i].Number != i + 1)
            {
                yield return Invariant($"Entry {i + 1} is missing: entries are numbered without gaps, so one was taken out.");
                yield break;
            }
        }

        foreach (LedgerEntry entry in Entries.Where(entry => entry.Kind == EntryKind.Run != entry.Run is not null))
        {
            yield return Invariant($"Entry {entry.Number} is a run without figures, or has figures and is no run.");
        }

        foreach (IGrouping<string, object?[]> log in Rows.Of(LedgerSchema.Runs).GroupBy(row => (string)row[2]!))
        {
            if (!log.Select(row => (long)row[3]!).Order().SequenceEqual(Enumerable.Range(1, log.Count()).Select(i => (long)i)))
            {
                yield return $"An analysis of the log {log.Key} is missing: its revisions have a gap.";
            }
        }
    }

    private IEnumerable<string> Hashes()
    {
        foreach ((string hash, string text) in CarTexts)
        {
            if (LedgerDatabase.HashOf(text) != hash)
            {
                yield return $"The car file {hash} was changed: its text has another hash.";
            }
        }

        Dictionary<long, string> stored = Rows.Of(LedgerSchema.Runs).ToDictionary(row => (long)row[0]!, row => (string)row[9]!);
        foreach (LedgerEntry entry in Entries)
        {
            if (entry.Run is { } run && stored[entry.Number] != LedgerRows.FiguresHash(run))
            {
                yield return Invariant($"Entry {entry.Number} (run '{run.Run}') was changed: its figures have another hash.");
            }
        }
    }

    private IEnumerable<string> Sums()
    {
        Dictionary<string, object?[]> last = [];
        foreach (object?[] row in Rows.Of(LedgerSchema.Sums).OrderBy(row => (long)row[0]!))
        {
            last[(string)row[1]!] = row;
        }

        foreach (PartLife part in State.Parts)
        {
            if (!last.Remove(part.Part, out object?[]? row))
            {
                yield return $"'{part.Part}' has entries and no stored sum.";
            }
            else if (!IsSame(part.Damage, (double)row[2]!) || !IsSame(part.OpenDamage, (double)row[3]!))
            {
                yield return Invariant($"'{part.Part}': the entries add up to a damage of {part.Damage:R} ({part.OpenDamage:R} open), and {row[2]:R} ({row[3]:R} open) is stored with entry {row[0]}.");
            }
        }

        foreach ((string part, object?[] row) in last)
        {
            if ((double)row[2]! != 0)
            {
                yield return Invariant($"'{part}' has a stored sum of {row[2]:R} and no entry that makes it.");
            }
        }
    }

    /// <summary>Sums are added in the same order, so they agree to the last bit on one machine; another processor's power function may differ in the last digits.</summary>
    private static bool IsSame(double added, double stored) => Math.Abs(added - stored) <= 1e-9 * Math.Max(Math.Abs(added), Math.Abs(stored));

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
