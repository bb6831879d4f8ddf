using Telemetry.Car;
using Telemetry.Ledgers;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Output.Days;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Cli.Days;

/// <summary>What became of a log of the day.</summary>
/// <param name="Run">What day.json keeps of it.</param>
/// <param name="Review">Its review; null when it failed, or when nobody asked to keep it.</param>
/// <param name="Told">What a person has to know of the ledger; null for nothing.</param>
/// <param name="Code">Exit code of it alone, without --fail-on-finding.</param>
internal sealed record RunOutcome(DayRun Run, RunReview? Review, string? Told, int Code);

/// <summary>Analyses one log of a day.</summary>
internal static class OneRun
{
    /// <summary>Analyses, writes the run's folder, archives, and books in ledger and zero file, in this order; what goes wrong becomes the run's error.</summary>
    /// <remarks>
    /// Every step may be repeated: the folder is replaced, the archive's files too, and the ledger knows the log. So a day that was ended anywhere is completed by doing the run again.
    /// </remarks>
    /// <param name="pipeline">The stages.</param>
    /// <param name="wish">What is asked for the day.</param>
    /// <param name="todo">The log.</param>
    /// <param name="folder">Name of the run's folder in the day's.</param>
    /// <param name="keepReview">True to hand out the review.</param>
    /// <param name="step">Told of each step.</param>
    /// <exception cref="LogMovedOn">The file has other bytes than it had.</exception>
    /// <exception cref="OperationCanceledException">Somebody stopped the work, which is no failure of the log; it may come wrapped.</exception>
    public static RunOutcome Analyse(Pipeline pipeline, DayWish wish, LogToDo todo, string folder, bool keepReview, Action<string> step)
    {
        string carHash = "";
        try
        {
            CarDefinition car = CarFile.Read(todo.CarPath, out string carText);
            carHash = LedgerDatabase.HashOf(carText);
            DayResults.KeepCar(wish.Folder, carText, carHash);
            step("reading the log");
            (RunLog log, string hash) = pipeline.ReadLogHashed(todo.Path, RunAssembly.ReadingFor(car));
            if (hash != todo.Hash)
            {
                throw new LogMovedOn(todo.Path);
            }

            ReviewRequest request = new(todo.Path, wish.AtSpeedMps, wish.Ledger) { Cleaning = wish.Cleaning, ZerosPath = wish.Zeros, LogHash = hash, CarText = carText };
            RunReview review = pipeline.Review(log, car, request, what =>
            {
                Memory.GiveBack();
                step(what);
            });
            string? told = KeptRun.Write(pipeline, review, request, new(Path.Combine(wish.Folder, folder), wish.Results, wish.Archive, folder), step);
            DayRun run = Entry(wish, todo, folder, carHash) with
            {
                PlacedAtUtc = DayOrder.Text(review.Run.StartedAtUtc ?? todo.PlacedAtUtc),
                IsPlacedByFile = review.Run.StartedAtUtc is null && todo.IsPlacedByFile,
                Headline = DayHeadlines.Of(SummaryFile.From(review)),
            };
            return new(run, keepReview ? review : null, told, ExitCode.Done);
        }
        catch (Exception thrown) when (thrown is not LogMovedOn && PushrodCommand.Innermost(thrown) is not OperationCanceledException)
        {
            (string text, int code) = Failure(PushrodCommand.Innermost(thrown));
            return new(Entry(wish, todo, folder, carHash) with { Status = "failed", Error = text }, null, null, code);
        }
    }

    private static DayRun Entry(DayWish wish, LogToDo todo, string folder, string carHash) => new()
    {
        Status = "done",
        Log = Path.GetFileName(todo.Path),
        LogSha256 = todo.Hash,
        Folder = folder,
        CarSha256 = carHash,
        PlacedAtUtc = DayOrder.Text(todo.PlacedAtUtc),
        IsPlacedByFile = todo.IsPlacedByFile,
        HasLedger = wish.Ledger is not null,
        Error = null,
    };

    private static (string Text, int Code) Failure(Exception thrown) => thrown switch
    {
        InputError input => (string.Join(" ", input.Faults), ExitCode.BadInput),
        OutputError output => (output.Message, ExitCode.NotWritten),
        OutOfMemoryException => ("The log does not fit into the memory that is free. Analyse it alone, or on a larger machine.", ExitCode.BadInput),
        _ => ($"This is a fault of the program, not of your input ({thrown.GetType().Name}). Please report it; analyse the log alone with {PushrodCommand.DetailsVariable}=1 to see the details.", ExitCode.ProgramFault),
    };
}
