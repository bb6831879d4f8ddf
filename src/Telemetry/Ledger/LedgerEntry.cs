namespace Telemetry.Ledger;

/// <summary>What an entry of the ledger says.</summary>
public enum EntryKind
{
    /// <summary>A log was analysed.</summary>
    Run,

    /// <summary>A part was fitted to a corner of a car.</summary>
    Fit,

    /// <summary>A part was taken off.</summary>
    Remove,

    /// <summary>A part was looked at, and with what result.</summary>
    Inspect,

    /// <summary>A part is not to run again.</summary>
    Retire,

    /// <summary>The designer changed what a part is allowed.</summary>
    Limit,

    /// <summary>Damage that no log holds was put to a part's account, or taken off it, by a person.</summary>
    Charge,

    /// <summary>An earlier entry was wrong and no longer counts; it stays readable.</summary>
    Correct,
}

/// <summary>One entry of the ledger. Entries are only ever added: what is known of a part is what all entries together say (see <see cref="LedgerState"/>).</summary>
public sealed record LedgerEntry
{
    /// <summary>Place in the ledger from 1, in the order of entering; 0 while it is not entered yet.</summary>
    public long Number { get; init; }

    /// <summary>What it says.</summary>
    public required EntryKind Kind { get; init; }

    /// <summary>Serial number of the part it is about; null for a run and for a correction.</summary>
    public string? Part { get; init; }

    /// <summary>When what it says happened; the run's start for a run that knows it, else the time of entering.</summary>
    public required DateTimeOffset AtUtc { get; init; }

    /// <summary>When it was entered.</summary>
    public required DateTimeOffset EnteredAtUtc { get; init; }

    /// <summary>Who entered it, or null.</summary>
    public string? By { get; init; }

    /// <summary>The car a part was fitted to, or null.</summary>
    public string? Car { get; init; }

    /// <summary>The corner it was fitted to: FL, FR, RL or RR; null for a part of no single corner.</summary>
    public string? Corner { get; init; }

    /// <summary>Result of an inspection, the reason of a retirement, a correction or a charge, what changed about a limit; null when not given.</summary>
    public string? Text { get; init; }

    /// <summary>The damage of a charge (Miner sum, below 0 when it is taken off); null otherwise.</summary>
    public double? Damage { get; init; }

    /// <summary>The entry that a correction strikes out; null otherwise.</summary>
    public long? Corrects { get; init; }

    /// <summary>The run's figures; null for all other kinds.</summary>
    public RunFigures? Run { get; init; }
}
