using System.Collections.Immutable;
using Telemetry.Output.Tables;
using Telemetry.Review;

namespace Telemetry.Output.Archive;

/// <summary>Which run the rows of an archive's file belong to.</summary>
/// <param name="Car">Name of the car, as the car file has it.</param>
/// <param name="Run">Name of the run.</param>
/// <param name="StartedAtUtc">Start of the run, or null when the log has no dates.</param>
/// <param name="LogHash">SHA-256 of the log's bytes, 64 lower-case hexadecimal digits.</param>
public sealed record ArchiveKey(string Car, string Run, DateTimeOffset? StartedAtUtc, string LogHash);

/// <summary>All results of many runs as Parquet that other programs query in place: public entry of this folder.</summary>
/// <remarks>
/// One folder a table, one file a run in it, named by the hash of the run's log: a log that is analysed again replaces its own rows, under whatever name it came, and no text
/// from a log or a car file ever becomes part of a path. Car and run are columns. README of this folder says why, with queries.
/// </remarks>
public static class ResultArchive
{
    /// <summary>Digits of the hash in a file's name: 64 bits, so that two of a million logs meet with a chance of 3e-8.</summary>
    private const int NameDigits = 16;

    /// <summary>The columns that stand before those of every table.</summary>
    public static ImmutableArray<string> KeyColumns { get; } = ["car", "run", "started_at_utc", "log_sha256"];

    /// <summary>Puts a run's tables into an archive; all of them take their places only once all are written.</summary>
    /// <param name="review">The review.</param>
    /// <param name="logHash">SHA-256 of the log's bytes in hexadecimal digits.</param>
    /// <param name="runName">Name of the run in the archive.</param>
    /// <param name="folder">The archive's folder, made when it is not there.</param>
    /// <exception cref="ArgumentException">The hash is none.</exception>
    /// <exception cref="OutputError">The file system refuses.</exception>
    public static void Put(RunReview review, string logHash, string runName, string folder)
    {
        ArgumentNullException.ThrowIfNull(review);
        ArgumentException.ThrowIfNullOrEmpty(logHash);
        ArgumentException.ThrowIfNullOrEmpty(folder);
        if (logHash.Length != 64 || !logHash.All(char.IsAsciiHexDigitLower))
        {
            throw new ArgumentException("The hash is not 64 lower-case hexadecimal digits.", nameof(logHash));
        }

        ArchiveKey key = new(review.Run.Car.Name, runName, review.Run.StartedAtUtc, logHash);
        WholeFiles.Write([.. Tables(review).Select(table => (
            Path.Combine(folder, table.Name, logHash[..NameDigits] + ".parquet"),
            (Action<Stream>)(stream => ArchiveFile.Write(table, key, stream))))]);
    }

    /// <summary>The tables of a review and, before them, its headline in one row.</summary>
    internal static ImmutableArray<ResultTable> Tables(RunReview review) => [RunsTable.From(SummaryFile.From(review)), .. ReviewTables.From(review)];
}
