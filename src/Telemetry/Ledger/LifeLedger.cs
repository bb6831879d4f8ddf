using System.Collections.Immutable;

namespace Telemetry.Ledger;

/// <summary>A ledger of the old form: run by run, in the order in which the runs were added, each joined with those before it. It is only read, to be taken over.</summary>
/// <param name="Runs">Runs, oldest first; log hashes are unique.</param>
public sealed record LifeLedger(ImmutableArray<RunEntry> Runs)
{
    /// <summary>No run.</summary>
    public static LifeLedger Empty { get; } = new(ImmutableArray<RunEntry>.Empty);

    /// <summary>Reads a ledger file.</summary>
    /// <param name="path">The file; one that does not exist is an empty ledger.</param>
    /// <exception cref="InputError">The file cannot be read or a line is no entry of a ledger; names every such line.</exception>
    public static LifeLedger Read(string path) => LedgerFile.Read(path);
}
