using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Review;
using Telemetry.Zero;

namespace Telemetry.Cli;

/// <summary>Joins the verbs to the library.</summary>
internal static class RealStages
{
    public static Pipeline Make() => new()
    {
        ReadLog = (path, options) =>
        {
            FreshMemory.Ask();
            return LogReader.Read(path, options);
        },
        ReadLogHashed = (path, options) =>
        {
            FreshMemory.Ask();
            return (LogReader.Read(path, options, out string hash), hash);
        },
        RequireLedger = LedgerKeeping.Require,
        RequireZeros = path => RequireKept(path, "zero file", "--zeros", () => _ = ZeroFile.Read(path), ZeroFile.RequireWritable),
        Review = Review,
        WriteResults = ReviewResults.Write,
        WriteLog = ParquetLogWriter.Write,
        KeepLife = LedgerKeeping.Keep,
        KeepZeros = KeepZeros,
    };

    private static RunReview Review(RunLog log, CarDefinition car, ReviewRequest request, Action<string> step)
    {
        (DamageHistory before, PartHistory readings) = request.LedgerPath is null
            ? (DamageHistory.Empty, PartHistory.Empty)
            : LedgerKeeping.HistoryBefore(request.LedgerPath, car, HashOf(request), request.TakenAtUtc ?? log.StartedAtUtc);
        ReviewOptions options = ReviewOptions.Default with { DamageBefore = before, History = readings, Cleaning = request.Cleaning };
        options = options with { Zero = options.Zero with { TakenAtUtc = request.TakenAtUtc } };
        if (request.ZerosPath is not null)
        {
            options = options with { Zero = options.Zero with { History = ZeroFile.Read(request.ZerosPath), LogHash = HashOf(request) } };
        }

        if (request.AtSpeedMps is double speed)
        {
            options = options with { Aero = options.Aero with { AtSpeedMps = speed } };
        }

        return RunAnalysis.Review(log, car, options, step);
    }

    private static string HashOf(ReviewRequest request) =>
        request.LogHash ?? throw new InvalidOperationException("A ledger and a zero file know a log by the hash of its bytes, and none was formed.");

    /// <summary>A kept file that cannot be read is bad input; one that cannot be written is told before anybody waits for results that it should hold.</summary>
    private static void RequireKept(string path, string what, string option, Action read, Action<string> requireWritable)
    {
        read();
        try
        {
            requireWritable(path);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new OutputError(path, $"The {what} cannot be written ({FileSystemWords.Of(error)}).", $"Name a file that you may write to with {option}; nothing was analysed or changed.", error);
        }
    }

    private static void KeepZeros(RunReview review, ReviewRequest request)
    {
        if (request.ZerosPath is not string path || ZeroRun.Of(review.Wheels.Pushrods, HashOf(request)) is not { } run)
        {
            return;
        }

        try
        {
            ZeroFile.Write(path, ZeroFile.Read(path).With(run));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new OutputError(path, $"The zero file could not be kept ({FileSystemWords.Of(error)}).", "Choose a file that you may write to; the results themselves are complete.", error);
        }
    }
}
