using System.Security.Cryptography;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Cli;

/// <summary>Joins the verbs to the library.</summary>
internal static class RealStages
{
    public static Pipeline Make() => new()
    {
        ReadLog = LogReader.Read,
        Review = Review,
        WriteResults = (review, folder, withPlots) => ReviewResults.Write(review, folder, new ResultOptions { WithPlots = withPlots }),
        WriteLog = ParquetLogWriter.Write,
        KeepLife = KeepLife,
    };

    private static RunReview Review(RunLog log, CarDefinition car, ReviewRequest request, Action<string> step)
    {
        DamageHistory before = request.LedgerPath is null
            ? DamageHistory.Empty
            : LifeLedger.Read(request.LedgerPath).HistoryBefore(HashOf(request.LogPath));
        ReviewOptions options = ReviewOptions.Default with { DamageBefore = before, Cleaning = request.Cleaning };
        if (request.AtSpeedMps is double speed)
        {
            options = options with { Aero = options.Aero with { AtSpeedMps = speed } };
        }

        return RunAnalysis.Review(log, car, options, step);
    }

    private static void KeepLife(RunReview review, ReviewRequest request)
    {
        if (request.LedgerPath is not string path)
        {
            return;
        }

        RunEntry entry = RunEntry.Of(review.Run.Name, HashOf(request.LogPath), review.Run.StartedAtUtc, review.Fatigue);
        try
        {
            LedgerFile.Write(path, LifeLedger.Read(path).With(entry));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new OutputError(path, $"The ledger could not be kept ({error.Message.TrimEnd('.')}).", "Choose a file that you may write to; the results themselves are complete.", error);
        }
    }

    /// <summary>SHA-256 of the log's bytes: what a ledger knows a run by, so that a log counts once under whatever name.</summary>
    private static string HashOf(string path)
    {
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 20);
            return Convert.ToHexStringLower(SHA256.HashData(stream));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new InputError(path, "The log cannot be read again for the ledger.", "Check the path and the disk.");
        }
    }
}
