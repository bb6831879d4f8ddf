using System.Collections.Immutable;
using System.Diagnostics;
using Telemetry.Car;
using Telemetry.Cli.Days;
using Telemetry.Ledgers;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Output.Days;

namespace Telemetry.Cli.Watching;

/// <summary>How a folder is watched.</summary>
/// <param name="Folder">The folder that logs arrive in.</param>
/// <param name="Car">The car file.</param>
/// <param name="Every">Time between two polls while a file is on its way.</param>
/// <param name="EndAfter">Ends when nothing has come for so long; null never.</param>
/// <param name="IsQuiet">Say nothing about progress.</param>
internal sealed record WatchWish(string Folder, string Car, TimeSpan Every, TimeSpan? EndAfter, bool IsQuiet)
{
    /// <summary>Polls that a file has to rest: three, so that at two seconds a copy that pauses for a busy disk is not taken for done.</summary>
    public const int Polls = 3;

    /// <summary>Polls are so many times rarer while nothing is on its way; the system's hint, where it comes, shortens the wait.</summary>
    public const int IdleTimes = 5;
}

/// <summary>Watches a folder and analyses each log that has arrived.</summary>
internal sealed class WatchLoop(Screen screen, Pipeline pipeline, DayWish wish, WatchWish watch)
{
    private LandingBook book = LandingBook.Empty;
    private ImmutableArray<DayRun> runs = [];
    private string? carHash;
    private string carText = "";
    private string? carFault;
    private int analysed, failed, known;

    /// <summary>Name of the run that is being analysed; null between runs.</summary>
    public string? Busy { get; private set; }

    /// <summary>Watches until it is told to stop.</summary>
    /// <param name="stop">Set to end after the current run.</param>
    public int Run(CancellationToken stop)
    {
        using DayLock held = DayLock.Take(wish.Folder);
        runs = DayFile.ReadRuns(wish.Folder);
        LastCar();
        using WatchHint hint = new(watch.Folder);
        Tell($"Watching {watch.Folder} for logs; results go to {wish.Folder}. Ctrl+C ends after the current run.");
        if (runs.Length > 0)
        {
            Tell($"{(runs.Length == 1 ? "1 log is" : FormattableString.Invariant($"{runs.Length} logs are"))} in {DayFile.Name} from before and will not be analysed again.");
            // A kill may have come between the last run and its page.
            DayResults.Write(DayResults.Of(wish.Folder, runs), wish.Folder);
        }

        Stopwatch idle = Stopwatch.StartNew();
        while (!stop.IsCancellationRequested)
        {
            if (Listing() is { } listing)
            {
                book = book.After(listing, WatchWish.Polls);
                int before = analysed + failed;
                LookInto(stop);
                // A log that waits for the car file to be mended is not on its way.
                if (analysed + failed > before || book.Files.Values.Any(landing => landing.State == LandingState.Arriving))
                {
                    idle.Restart();
                }
            }

            if (watch.EndAfter is TimeSpan end && idle.Elapsed >= end)
            {
                break;
            }

            bool isBusy = book.Files.Values.Any(landing => landing.State != LandingState.Taken);
            hint.Wait(isBusy ? watch.Every : watch.Every * WatchWish.IdleTimes, heedHint: !isBusy, stop);
        }

        Tell(EndText());
        return ExitCode.Done;
    }

    /// <summary>Settled files in order of start: a backlog is booked in the order in which it was driven.</summary>
    private void LookInto(CancellationToken stop)
    {
        List<(Landing Landing, LogToDo Log)> whole = [];
        foreach (Landing landing in book.Settled.ToArray())
        {
            if (LogEnd.WhyNotWhole(landing.File.Path) is string why)
            {
                if (WatchSteps.Of(landing, why, null, "") == WatchStep.TellHalf)
                {
                    Tell($"{Path.GetFileName(landing.File.Path)}: still being copied ({why}). It is analysed once it is whole; if it is whole as it is, analyse it with 'pushrod analyse'.");
                }

                book = book.With(landing.File.Path, LandingState.Half);
                continue;
            }

            try
            {
                whole.Add((landing, LogsAsked.Look(landing.File.Path, watch.Car)));
            }
            catch (Exception error) when (error is InputError or IOException or UnauthorizedAccessException)
            {
                // Gone or locked since the listing: the next poll shows what became of it.
                book = book.With(landing.File.Path, LandingState.Arriving);
            }
        }

        foreach (LogToDo log in LogsAsked.InOrder(whole.Select(one => one.Log)))
        {
            if (stop.IsCancellationRequested)
            {
                return;
            }

            Take(whole.First(one => ReferenceEquals(one.Log, log)).Landing, log);
        }
    }

    private void Take(Landing landing, LogToDo log)
    {
        DayRun? entry = runs.FirstOrDefault(run => run.LogSha256 == log.Hash);
        if (entry is { IsDone: true })
        {
            known++;
            book = book.With(log.Path, LandingState.Taken);
            return;
        }

        if (!CarIsUsable())
        {
            // The log stays settled; the next poll looks at the car file again.
            return;
        }

        if (WatchSteps.Of(landing, null, entry, carHash!) == WatchStep.Skip)
        {
            known++;
            Tell($"{Path.GetFileName(log.Path)}: failed before with this car file and is not tried again. {entry!.Error}");
            book = book.With(log.Path, LandingState.Taken);
            return;
        }

        if (landing.WasTaken)
        {
            Tell($"{Path.GetFileName(log.Path)} has changed since it was analysed and is analysed again.{(wish.Ledger is null ? "" : " The ledger holds both: strike out the shorter one with 'pushrod life correct'.")}");
        }

        Analyse(log);
    }

    private void Analyse(LogToDo log)
    {
        string folder = DayAnalysis.Folders([log], runs)[0];
        Busy = folder;
        Tell($"{log.RunName}: whole, and being analysed.");
        RunOutcome outcome;
        try
        {
            using Progress progress = new(screen, watch.IsQuiet, stopsAtNextStep: false);
            ResultFolder.RequireReplaceable(Path.Combine(wish.Folder, folder));
            outcome = OneRun.Analyse(pipeline, wish, log, folder, keepReview: true, progress.Step);
        }
        catch (LogMovedOn)
        {
            book = book.With(log.Path, LandingState.Arriving);
            return;
        }
        finally
        {
            Busy = null;
        }

        runs = DayResults.With(runs, outcome.Run);
        DayResults.Write(DayResults.Of(wish.Folder, runs), wish.Folder);
        book = book.With(log.Path, LandingState.Taken);
        if (outcome.Review is { } review)
        {
            analysed++;
            SheetPrinter.Print(RunSheet.From(review), screen);
            Tell($"{log.RunName}: done, {Path.Combine(wish.Folder, folder, "report.html")}.{(outcome.Told is null ? "" : " " + outcome.Told)}");
        }
        else
        {
            failed++;
            Tell($"{Path.GetFileName(log.Path)}: not analysed. {outcome.Run.Error}");
        }

        Memory.GiveBack();
    }

    /// <summary>Reads the car file as it is now; says what changed in it, or, once, what is wrong with it.</summary>
    private bool CarIsUsable()
    {
        string text;
        try
        {
            CarFile.Read(watch.Car, out text);
        }
        catch (InputError error)
        {
            if (carFault != error.Message)
            {
                carFault = error.Message;
                Tell($"The car file cannot be used, so logs wait until it is mended. {string.Join(" ", error.Faults)}");
            }

            return false;
        }

        carFault = null;
        string hash = LedgerDatabase.HashOf(text);
        if (carHash is not null && hash != carHash)
        {
            ImmutableArray<CarTextChange> changes = CarTextChanges.Between(carText, text);
            string what = changes.IsEmpty ? "only comments or layout" : string.Join("; ", changes.Take(4).Select(change => $"{change.Field} {change.From ?? "-"} to {change.To ?? "-"}")) + (changes.Length > 4 ? $"; and {changes.Length - 4} more" : "");
            Tell($"The car file has changed ({what}). Runs from now on use it; those before stay as they are.");
        }

        (carHash, carText) = (hash, text);
        return true;
    }

    /// <summary>After a restart the car file is held against the one that the last run was analysed with.</summary>
    private void LastCar()
    {
        if (DayOrder.Of(runs).LastOrDefault(run => run.CarSha256.Length > 0) is { } last && DayResults.CarText(wish.Folder, last.CarSha256) is string text)
        {
            (carHash, carText) = (last.CarSha256, text);
        }
    }

    /// <summary>The logs in the folder; null when it cannot be listed, as when a share has gone away.</summary>
    private SeenFile[]? Listing()
    {
        try
        {
            return
            [
                .. LogsAsked.In(watch.Folder).Select(path => new FileInfo(path)).Where(file => file.Exists)
                    .Select(file => new SeenFile(file.FullName, file.Length, file.LastWriteTimeUtc)),
            ];
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    private string EndText()
    {
        string half = string.Join(", ", book.Files.Values.Where(landing => landing.State == LandingState.Half).Select(landing => Path.GetFileName(landing.File.Path)));
        return $"Ended: {analysed} analysed, {failed} failed, {known} known from before."
            + (half.Length > 0 ? $" Not whole and not analysed: {half}." : "")
            + (runs.IsEmpty ? "" : $" The day is in {Path.Combine(wish.Folder, "index.html")}; the same command goes on from here.");
    }

    private void Tell(string text) => screen.Error.WriteLine(SheetPrinter.Plain(text));
}
