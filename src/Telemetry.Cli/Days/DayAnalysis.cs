using System.Collections.Immutable;
using Telemetry.Output;
using Telemetry.Output.Days;

namespace Telemetry.Cli.Days;

/// <summary>A day after its logs were analysed.</summary>
/// <param name="Day">All of the day's runs, those of earlier calls too.</param>
/// <param name="Told">What a person has to know besides.</param>
/// <param name="Code">The first failure's exit code in order of start, or 0.</param>
/// <param name="NeedsPerson">True when a run of this call has something that needs a person.</param>
internal sealed record DayOutcome(DayResult Day, ImmutableArray<string> Told, int Code, bool NeedsPerson);

/// <summary>Analyses several logs into one folder.</summary>
internal static class DayAnalysis
{
    /// <summary>Analyses the logs, in parallel within memory; one after the other where each needs what the one before has left.</summary>
    /// <param name="pipeline">The stages.</param>
    /// <param name="wish">What is asked.</param>
    /// <param name="logs">The logs in order of start.</param>
    /// <param name="needsPerson">Whether a review has something that needs a person.</param>
    /// <param name="progress">Told of each run that begins, its steps and its end.</param>
    /// <param name="budget">Memory for all runs together, bytes.</param>
    /// <param name="atATime">Most runs at a time.</param>
    /// <exception cref="OperationCanceledException">Somebody stopped the work; runs that were done by then stand in the day.</exception>
    public static DayOutcome Run(
        Pipeline pipeline, DayWish wish, IReadOnlyList<LogToDo> logs, Func<Review.RunReview, bool> needsPerson, Progress progress, long budget, int atATime)
    {
        ImmutableArray<DayRun> runs = DayFile.ReadRuns(wish.Folder);
        List<string> told = [];
        LogToDo[] once = [.. logs.DistinctBy(log => log.Hash, StringComparer.Ordinal)];
        told.AddRange(logs.Except(once).Select(twin => $"{twin.Path} has the same content as {once.First(log => log.Hash == twin.Hash).Path}; it is taken once."));
        string[] folders = Folders(once, runs);
        foreach (string folder in folders)
        {
            ResultFolder.RequireReplaceable(Path.Combine(wish.Folder, folder));
        }

        Lock gate = new();
        RunOutcome?[] outcomes = new RunOutcome?[once.Length];
        bool[] needs = new bool[once.Length];
        OutputError? unwritten = null;
        Exception? stopped = null;
        progress.Expect(once.Length);
        SideBySide.Run([.. once.Select(log => MemoryBudget.NeedOf(log.Numbers))], budget, wish.IsInTurn ? 1 : atATime, i =>
        {
            using Progress.LogProgress watched = progress.Begin(folders[i]);
            RunOutcome outcome;
            try
            {
                outcome = OneRun.Analyse(pipeline, wish, once[i], folders[i], keepReview: true, watched.Step);
            }
            catch (LogMovedOn moved)
            {
                outcome = Moved(wish, once[i], folders[i], moved);
            }
            catch (Exception thrown) when (PushrodCommand.Innermost(thrown) is OperationCanceledException)
            {
                // On a thread of its own it would end the program; the runs that wait end at their first step in the same way.
                lock (gate)
                {
                    stopped ??= PushrodCommand.Innermost(thrown);
                }

                return;
            }

            needs[i] = outcome.Review is { } review && needsPerson(review);
            outcomes[i] = outcome with { Review = null };
            lock (gate)
            {
                runs = DayResults.With(runs, outcome.Run);
                try
                {
                    DayResults.Write(DayResults.Of(wish.Folder, runs), wish.Folder);
                }
                catch (OutputError error)
                {
                    unwritten = error;
                }
            }
        });
        if (unwritten is not null)
        {
            throw unwritten;
        }

        if (stopped is not null)
        {
            throw stopped;
        }

        foreach (RunOutcome outcome in outcomes.OfType<RunOutcome>())
        {
            told.AddRange(new[] { outcome.Run.IsDone ? null : $"{outcome.Run.Log}: not analysed. {outcome.Run.Error}", outcome.Told }.OfType<string>());
        }

        return new(
            DayResults.Of(wish.Folder, runs), [.. told],
            outcomes.Select(outcome => outcome!.Code).FirstOrDefault(code => code != ExitCode.Done), needs.Any(need => need));
    }

    /// <summary>A folder for each log: the one that it had, or a new one.</summary>
    public static string[] Folders(IReadOnlyList<LogToDo> logs, IReadOnlyCollection<DayRun> known)
    {
        List<string> taken = [.. known.Select(run => run.Folder)];
        string[] folders = new string[logs.Count];
        for (int i = 0; i < folders.Length; i++)
        {
            folders[i] = known.FirstOrDefault(run => run.LogSha256 == logs[i].Hash || (!run.IsDone && run.Log == Path.GetFileName(logs[i].Path)))?.Folder ?? DayOrder.Folder(logs[i].RunName, taken);
            taken.Add(folders[i]);
        }

        return folders;
    }

    private static RunOutcome Moved(DayWish wish, LogToDo log, string folder, LogMovedOn moved) => new(
        new()
        {
            Status = "failed",
            Log = Path.GetFileName(log.Path),
            LogSha256 = log.Hash,
            Folder = folder,
            CarSha256 = "",
            PlacedAtUtc = DayOrder.Text(log.PlacedAtUtc),
            IsPlacedByFile = log.IsPlacedByFile,
            HasLedger = wish.Ledger is not null,
            Error = moved.Message,
        },
        null, null, ExitCode.BadInput);
}
