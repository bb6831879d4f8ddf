using System.Globalization;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Cli;

/// <summary>What 'analyse' does with a life ledger: before, between and after.</summary>
internal static class LedgerKeeping
{
    /// <summary>Makes sure before anybody waits that the ledger can be read, and that its place can be written to.</summary>
    public static void Require(string text)
    {
        LedgerAddress address = LedgerAddress.Read(text);
        if (address.Path is { } path && !File.Exists(path) && !Directory.Exists(path))
        {
            // A new ledger: it is made when there is something to keep.
            RequireFolder(path);
            return;
        }

        LedgerDatabase.Open(address, DateTimeOffset.UtcNow).Read();
        if (address.Path is { } file)
        {
            RequireFolder(file);
        }
    }

    /// <summary>What the parts had gone through before a log, and the readings of earlier runs that it may be held against.</summary>
    public static (DamageHistory Damage, PartHistory Readings) HistoryBefore(string text, CarDefinition car, string logHash, DateTimeOffset? startedAtUtc)
    {
        LedgerAddress address = LedgerAddress.Read(text);
        if (address.Path is { } path && !File.Exists(path))
        {
            return (DamageHistory.Empty, PartHistory.Empty);
        }

        LedgerContent content = LedgerDatabase.Open(address, DateTimeOffset.UtcNow).Read();
        return (
            LedgerState.HistoryBefore(content.Entries, content.Strengths, logHash, startedAtUtc),
            EarlierReadings.Before(content.Entries, content.CarTexts, car, logHash, startedAtUtc));
    }

    /// <summary>Enters a review; returns what a person has to know of it, or null when it is simply in.</summary>
    public static string? Keep(RunReview review, ReviewRequest request)
    {
        if (request.LedgerPath is not string text)
        {
            return null;
        }

        LedgerAddress address = LedgerAddress.Read(text);
        string carText = request.CarText ?? throw new InvalidOperationException("A ledger keeps the text of the car file, and none was read.");
        string logHash = request.LogHash ?? throw new InvalidOperationException("A ledger knows a log by the hash of its bytes, and none was formed.");
        RunFigures figures = ReviewFigures.Of(review, logHash, LedgerDatabase.HashOf(carText), Settings(request), request.TakenAtUtc);
        try
        {
            DateTimeOffset now = DateTimeOffset.UtcNow;
            LedgerDatabase ledger = LedgerDatabase.Open(address, now);
            string? told = Told(ledger.Record(figures, carText, now), figures.Run);
            string[] all = [.. told is null ? [] : new[] { told }, .. PastLimits(ledger.Read().State, review, figures.LogHash)];
            return all.Length == 0 ? null : string.Join(Environment.NewLine, all);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new OutputError(address.Display, $"The ledger could not be kept ({FileSystemWords.Of(error)}).", "Choose a ledger that you may write to; the results themselves are complete.", error);
        }
    }

    /// <summary>Parts of this run that went past a limit in a later one, with no inspection since: the sheet of this run says nothing of them.</summary>
    private static IEnumerable<string> PastLimits(LedgerState state, RunReview review, string logHash) =>
        from part in review.Fatigue.Components
        where part.PastLimitBefore is null
        let life = state.Of(part.Component.Id)
        where life?.PastLimit is { } run && run.Place.Entry.Run!.LogHash != logHash
        let past = life.PastLimitSentence(life.Part)
        where past is not null
        select "Ledger: " + past;

    private static string? Told(RecordedRun recorded, string run)
    {
        string later = recorded.LaterRuns.IsEmpty
            ? ""
            : string.Create(CultureInfo.InvariantCulture, $" {recorded.LaterRuns.Length} later {(recorded.LaterRuns.Length == 1 ? "run" : "runs")} of its parts ({Few(recorded)}) stood behind it: the sums were added again, and the reports of those runs show the life without it.");
        return recorded.Outcome switch
        {
            RecordOutcome.Unchanged => $"Ledger: '{run}' was counted before with the same figures (entry {recorded.Entry.ToString(CultureInfo.InvariantCulture)}); nothing was added.",
            RecordOutcome.Replaced => $"Ledger: '{run}' was counted before; its figures are replaced by these, and the old ones stay in the history.{later}",
            _ => later.Length > 0 ? $"Ledger: '{run}' came late.{later}" : null,
        };
    }

    private static string Few(RecordedRun recorded) =>
        string.Join(", ", recorded.LaterRuns.Take(3)) + (recorded.LaterRuns.Length > 3 ? ", ..." : "");

    /// <summary>The settings that damage hangs on. The reference speed is not one of them.</summary>
    private static string Settings(ReviewRequest request) => string.Create(
        CultureInfo.InvariantCulture,
        $"spikes {(request.Cleaning.RemoveSpikes ? "removed" : "kept")}; gaps bridged up to {request.Cleaning.BridgeGapsS:R} s; zeros {(request.ZerosPath is null ? "of the run only" : "may be borrowed")}");

    /// <summary>The database writes its journal beside the file.</summary>
    private static void RequireFolder(string path)
    {
        string probe = path + ".part";
        try
        {
            new FileStream(probe, FileMode.Create, FileAccess.Write).Dispose();
            File.Delete(probe);
            if (File.Exists(path))
            {
                new FileStream(path, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite | FileShare.Delete).Dispose();
            }
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new OutputError(path, $"The ledger cannot be written ({FileSystemWords.Of(error)}).", "Name a file that you may write to with --ledger; nothing was analysed or changed.", error);
        }
    }
}
