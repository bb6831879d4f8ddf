using System.Text;
using Telemetry.Cleaning;
using Telemetry.Cli.Days;
using Telemetry.Output;
using Telemetry.Output.Days;

namespace Telemetry.Cli.Verbs;

/// <summary>'analyse' with several logs: each run in a folder of its own, an index page and an archive for all.</summary>
internal static class DayVerb
{
    public static int Run(Screen screen, Pipeline pipeline, AnalyseRequest request)
    {
        string folder = request.Folder ?? throw new UsageError("Several logs need a folder for their results. Name it with --out.");
        if (request.Date is not null)
        {
            throw new UsageError("Option '--date' is for one log. Analyse the logs that have no date or a wrong one alone.");
        }

        DayWish wish = Wish(pipeline, folder, request.Archive, request.AtSpeedMps, request.Ledger, request.Zeros, request.Cleaning, request.Results);
        DayOutcome outcome;
        using (DayLock held = DayLock.Take(folder))
        using (Progress progress = new(screen, request.IsQuiet))
        {
            progress.Step("looking at the logs");
            List<LogToDo> logs = LogsAsked.Of(request.Logs, request.Cars);
            outcome = DayAnalysis.Run(pipeline, wish, logs, AnalyseVerb.NeedsPerson, progress, MemoryBudget.OfMachine(), Environment.ProcessorCount);
        }

        foreach (string told in outcome.Told)
        {
            screen.Error.WriteLine(SheetPrinter.Plain(told));
        }

        if (request.Json)
        {
            screen.Out.Write(Encoding.UTF8.GetString(DayFile.ToJson(outcome.Day, DayResults.Version)));
        }
        else
        {
            SheetPrinter.Print(DaySheet.From(outcome.Day), screen);
        }

        return outcome.Code != ExitCode.Done ? outcome.Code : request.FailOnFinding && outcome.NeedsPerson ? ExitCode.Finding : ExitCode.Done;
    }

    /// <summary>What is asked, once all that can be told before anybody waits has been checked.</summary>
    public static DayWish Wish(
        Pipeline pipeline, string folder, string? archive, double? atSpeedMps, string? ledger, string? zeros, CleaningOptions cleaning, ResultOptions results)
    {
        if (atSpeedMps is double speed && !(speed > 0))
        {
            throw new UsageError("Option '--at': an air speed is above 0.");
        }

        DayResults.RequireUsable(folder);
        DayFile.ReadRuns(folder);
        if (ledger is not null)
        {
            pipeline.RequireLedger(ledger);
        }

        if (zeros is not null)
        {
            pipeline.RequireZeros(zeros);
        }

        return new(folder, archive ?? DayWish.ArchiveIn(folder), atSpeedMps, ledger, zeros, cleaning, results);
    }
}
