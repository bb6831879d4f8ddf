using System.Collections.Immutable;
using Telemetry.Fatigue;

namespace Telemetry.Ledger;

/// <summary>The lives of a car's parts, run by run, in the order in which the runs were added.</summary>
/// <remarks>
/// The order matters: open turning points at the end of one run are joined with the next. Parts are known by their serial number, so a part may move
/// between corners and cars that share a ledger.
/// </remarks>
/// <param name="Runs">Runs, oldest first; log hashes are unique.</param>
public sealed record LifeLedger(ImmutableArray<RunEntry> Runs)
{
    /// <summary>No run.</summary>
    public static LifeLedger Empty { get; } = new(ImmutableArray<RunEntry>.Empty);

    /// <summary>Reads a ledger file.</summary>
    /// <param name="path">The file; one that does not exist is an empty ledger.</param>
    /// <exception cref="InputError">The file cannot be read or a line is no entry of a ledger; names every such line.</exception>
    public static LifeLedger Read(string path) => LedgerFile.Read(path);

    /// <summary>True when the log was added before.</summary>
    /// <param name="logHash">Hash of its content.</param>
    public bool Contains(string logHash) => IndexOf(logHash) >= 0;

    /// <summary>The ledger with one more run.</summary>
    /// <param name="entry">The run.</param>
    /// <returns>This same ledger when the log was added before, whatever its name is now: a log counts once (see <see cref="Contains"/>).</returns>
    public LifeLedger With(RunEntry entry)
    {
        ArgumentNullException.ThrowIfNull(entry);
        return Contains(entry.LogHash) ? this : new(Runs.Add(entry));
    }

    /// <summary>What is known of a part after all runs.</summary>
    /// <param name="componentId">Its serial number.</param>
    public ComponentHistory Before(string componentId) => HistoryOfFirst(Runs.Length).Of(componentId);

    /// <summary>What the parts had gone through before a log: all runs, or those before it when it was added already, so that looking at a log again tells the same story.</summary>
    /// <param name="logHash">Hash of the log's content.</param>
    public DamageHistory HistoryBefore(string logHash)
    {
        int index = IndexOf(logHash);
        return HistoryOfFirst(index < 0 ? Runs.Length : index);
    }

    private int IndexOf(string logHash)
    {
        for (int i = 0; i < Runs.Length; i++)
        {
            if (string.Equals(Runs[i].LogHash, logHash, StringComparison.Ordinal))
            {
                return i;
            }
        }

        return -1;
    }

    private DamageHistory HistoryOfFirst(int count)
    {
        Dictionary<string, ComponentHistory> parts = new(StringComparer.Ordinal);
        foreach (RunEntry run in Runs.AsSpan()[..count])
        {
            foreach (ComponentEntry part in run.Components)
            {
                ComponentHistory before = parts.GetValueOrDefault(part.Id, ComponentHistory.New);

                // A run whose damage is not known leaves sum and open turning points as they were.
                parts[part.Id] = part.Damage is { } damage
                    ? new(before.Damage + damage, part.ResidueDamage ?? 0, part.ResidueN)
                    : before with { ResidueN = part.ResidueN.IsDefaultOrEmpty ? before.ResidueN : part.ResidueN };
            }
        }

        return new(parts.ToImmutableDictionary(StringComparer.Ordinal));
    }
}
