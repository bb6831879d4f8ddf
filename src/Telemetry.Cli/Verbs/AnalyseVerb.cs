using System.CommandLine;
using System.Text;
using Telemetry.Car;
using Telemetry.Cli.Days;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Cli.Verbs;

/// <summary>The main job: a run's log in, answers out.</summary>
internal static class AnalyseVerb
{
    public static Command Create(Screen screen, Pipeline pipeline)
    {
        Argument<string[]> log = new("LOG") { Description = "The run's log: CSV or Parquet, plain or gzip. Several logs, or a folder of them, make a day with an index page.", Arity = ArgumentArity.OneOrMore };
        Option<string[]> car = new("--car") { Description = "The car file (TOML) that says what the channels mean; with several logs once for all, or once for each.", HelpName = "CAR", Required = true, Arity = ArgumentArity.OneOrMore };
        Option<string?> folder = new("--out") { Description = "Folder for the results. Default for one log: beside it, named after the run.", HelpName = "DIR" };
        Option<string?> archive = Ask.Archive();
        Option<string?> ledger = new("--ledger") { Description = "Life ledger of the car's parts, a file or the address of a PostgreSQL database: read for the life used before, and kept up with this run.", HelpName = "LEDGER" };
        Option<string?> zeros = Ask.Zeros("Zero file of the load cells: a run without a standstill borrows from it, and it is kept up with this run.");
        Option<DateTimeOffset?> date = Ask.Date("Day of the run, when the log has none or a wrong one: 2026-03-31 or 2026-03-31T14:05+02:00.");
        Option<double?> at = Ask.ForQuantity("--at", "SPEED", "Air speed of the aero headline, with its unit: \"250 km/h\".", Quantity.ReadSpeed);
        Option<bool> json = new("--json") { Description = "Print summary.json instead of the run sheet." };
        Option<bool> failOnFinding = new("--fail-on-finding") { Description = "End with exit code 1 when a limit was exceeded or a life is used up." };
        ResultsAsked results = new();
        Option<bool> quiet = Ask.Quiet();
        CleaningAsked cleaning = new();
        HelpExamples.Verb verb = new(
            "analyse",
            "Analyse a run's log: health, aero load, platform, kerb strikes, fatigue. Prints a run sheet and writes tables, plots and a report.",
            "pushrod analyse run7.csv --car car.toml",
            "pushrod analyse run7.csv --car car.toml --at \"250 km/h\" --ledger parts.db",
            "pushrod analyse run7.csv --car car.toml --json --fail-on-finding",
            "pushrod analyse logs/ --car car.toml --out friday --ledger parts.db")
        {
            log, car, folder, archive, ledger, zeros, date, at, cleaning.Spikes, cleaning.BridgeGaps, json, failOnFinding, results.NoPlots, results.StrikeHistories, quiet,
        };
        car.AllowMultipleArgumentsPerToken = false;
        verb.SetAction(parsed =>
        {
            AnalyseRequest request = new(
                [.. parsed.GetRequiredValue(log)],
                [.. parsed.GetRequiredValue(car)],
                parsed.GetValue(folder),
                parsed.GetValue(archive),
                parsed.GetValue(ledger),
                parsed.GetValue(zeros),
                parsed.GetValue(date),
                parsed.GetValue(at),
                parsed.GetValue(json),
                parsed.GetValue(failOnFinding),
                results.Of(parsed),
                parsed.GetValue(quiet),
                cleaning.Of(parsed));
            if (request.Logs.Length > 1 || Directory.Exists(request.Logs[0]))
            {
                return DayVerb.Run(screen, pipeline, request);
            }

            return request.Cars.Length == 1
                ? Run(screen, pipeline, request)
                : throw new UsageError($"{request.Cars.Length} car files are given for one log. Give one --car.");
        });
        return verb;
    }

    /// <summary>The review of a log, as 'compare' needs it as well.</summary>
    /// <param name="pipeline">The stages.</param>
    /// <param name="carPath">The car file.</param>
    /// <param name="request">What is asked.</param>
    /// <param name="step">Told of each step that begins.</param>
    /// <param name="onRead">Called with the log and the completed request once it is read and before the work: what cannot be written is told now.</param>
    public static RunReview Review(Pipeline pipeline, string carPath, ReviewRequest request, Action<string> step, Action<RunLog, ReviewRequest>? onRead = null)
    {
        CarDefinition car = CarFile.Read(carPath, out string carText);
        step("reading the log");
        LogOptions options = RunAssembly.ReadingFor(car);
        MemoryBudget.RequireFits(request.LogPath, options);
        (RunLog log, string? hash) = request.LedgerPath is null && request.ZerosPath is null && !request.NeedsHash ? (pipeline.ReadLog(request.LogPath, options), null) : pipeline.ReadLogHashed(request.LogPath, options);
        request = request with { LogHash = hash, CarText = carText };
        onRead?.Invoke(log, request);
        return pipeline.Review(log, car, request, what =>
        {
            Memory.GiveBackBetweenSteps();
            step(what);
        });
    }

    private static int Run(Screen screen, Pipeline pipeline, AnalyseRequest request)
    {
        if (request.AtSpeedMps is double speed && !(speed > 0))
        {
            throw new UsageError("Option '--at': an air speed is above 0.");
        }

        if (request.Folder is not null)
        {
            ResultFolder.RequireReplaceable(request.Folder);
        }

        if (request.Ledger is not null)
        {
            pipeline.RequireLedger(request.Ledger);
        }

        if (request.Zeros is not null)
        {
            pipeline.RequireZeros(request.Zeros);
        }

        string log = request.Logs[0];
        RunReview review;
        string? notice = null;
        string? kept = null;
        string folder = request.Folder ?? "";
        using (Progress progress = new(screen, request.IsQuiet))
        {
            ReviewRequest wish = new(log, request.AtSpeedMps, request.Ledger) { Cleaning = request.Cleaning, ZerosPath = request.Zeros, TakenAtUtc = request.Date, NeedsHash = request.Archive is not null };
            review = Review(pipeline, request.Cars[0], wish, progress.Step, (readLog, read) =>
            {
                wish = read;
                folder = request.Folder ?? DefaultFolder(log, readLog.Name, out notice);
                ResultFolder.RequireReplaceable(folder);
            });
            kept = KeptRun.Write(pipeline, review, wish, new(folder, request.Results, request.Archive, review.Run.Name), progress.Step);
        }

        foreach (string told in new[] { notice, kept }.OfType<string>())
        {
            screen.Error.WriteLine(SheetPrinter.Plain(told));
        }

        if (request.Json)
        {
            screen.Out.Write(Encoding.UTF8.GetString(SummaryFile.ToJson(SummaryFile.From(review))));
        }
        else
        {
            SheetPrinter.Print(RunSheet.From(review), screen);
        }

        return request.FailOnFinding && NeedsPerson(review) ? ExitCode.Finding : ExitCode.Done;
    }

    private static string DefaultFolder(string logPath, string runName, out string? notice)
    {
        string beside = Path.GetDirectoryName(Path.GetFullPath(logPath))!;
        string folder = Path.Combine(beside, RunFileName.Of(runName));
        notice = null;
        if (File.Exists(folder))
        {
            // A log without an ending has the run's own name.
            folder += "-results";
            notice = $"'{runName}' is a file, so the results are in '{Path.GetFileName(folder)}' beside it. Choose another folder with --out.";
        }

        return folder;
    }

    /// <summary>A limit exceeded, a life used up, a part to inspect, or a log that cannot be trusted at all.</summary>
    internal static bool NeedsPerson(RunReview review) =>
        review.Fatigue.Components.Any(part => part.Verdict is ComponentVerdict.Retire or ComponentVerdict.Inspect)
        || review.Kerbs.Strikes.Any(strike => strike.ExceedsLimit)
        || review.Health.Verdict == HealthVerdict.Unusable
        || review.Actions.Any(action => action.Urgency == ActionUrgency.BeforeNextRun);
}
