using Telemetry.Car;
using Telemetry.Cleaning;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Cli;

/// <summary>What a person asks of a review beside log and car.</summary>
/// <param name="LogPath">The log's file; its content is what a ledger knows a run by.</param>
/// <param name="AtSpeedMps">Reference speed, m/s, or null for the default.</param>
/// <param name="LedgerPath">The life ledger, a file or the address of a database; or null.</param>
internal sealed record ReviewRequest(string LogPath, double? AtSpeedMps, string? LedgerPath)
{
    /// <summary>What is repaired before the loads are formed; nothing by default.</summary>
    public CleaningOptions Cleaning { get; init; } = CleaningOptions.Default;

    /// <summary>SHA-256 of the log's bytes as they were read: what a ledger and a zero file know a run by, so that a log counts once under whatever name. Null without either.</summary>
    public string? LogHash { get; init; }

    /// <summary>True when the hash is wanted without a ledger or a zero file: an archive names its files by it.</summary>
    public bool NeedsHash { get; init; }

    /// <summary>Text of the car file as it was read: what a ledger keeps beside the figures. Null before it is read.</summary>
    public string? CarText { get; init; }

    /// <summary>The zero file, or null.</summary>
    public string? ZerosPath { get; init; }

    /// <summary>Date and time of the run as the person states it, or null.</summary>
    public DateTimeOffset? TakenAtUtc { get; init; }
}

/// <summary>The stages that the verbs call, in one place, so that a test can put a known review in place of them.</summary>
internal sealed record Pipeline
{
    /// <summary>Reads a log.</summary>
    public required Func<string, LogOptions, RunLog> ReadLog { get; init; }

    /// <summary>Reads a log, and the SHA-256 of the bytes that were read.</summary>
    public required Func<string, LogOptions, (RunLog Log, string Hash)> ReadLogHashed { get; init; }

    /// <summary>Makes sure before the work that a ledger can be read and written.</summary>
    public required Action<string> RequireLedger { get; init; }

    /// <summary>Makes sure that a zero file can be read and written, before anybody waits.</summary>
    public required Action<string> RequireZeros { get; init; }

    /// <summary>Forms the review of a log; tells each step that begins.</summary>
    public required Func<RunLog, CarDefinition, ReviewRequest, Action<string>, RunReview> Review { get; init; }

    /// <summary>Writes the results of a review into a folder.</summary>
    public required Action<RunReview, string, ResultOptions> WriteResults { get; init; }

    /// <summary>Writes a log as Parquet.</summary>
    public required Action<RunLog, Stream> WriteLog { get; init; }

    /// <summary>Adds a review to the ledger of its request; returns what a person has to know of it, or null.</summary>
    public required Func<RunReview, ReviewRequest, string?> KeepLife { get; init; }

    /// <summary>Adds the zeros of a review to the zero file of its request.</summary>
    public Action<RunReview, ReviewRequest> KeepZeros { get; init; } = (_, _) => { };

    /// <summary>The real ones.</summary>
    public static Pipeline Real { get; } = RealStages.Make();
}
