using System.CommandLine;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Cli.Days;
using Telemetry.Cli.Watching;

namespace Telemetry.Cli.Verbs;

/// <summary>Analyses logs as they arrive.</summary>
internal static class WatchVerb
{
    private const double DefaultEveryS = 2;

    public static Command Create(Screen screen, Pipeline pipeline)
    {
        Argument<string> logs = new("FOLDER") { Description = "The folder that logs are copied into; folders below it are not watched." };
        Option<string> car = Ask.Car();
        Option<string> folder = new("--out") { Description = "Folder of the day: results of each run, index.html, day.json, archive.", HelpName = "DIR", Required = true };
        Option<string?> archive = Ask.Archive();
        Option<string?> ledger = new("--ledger") { Description = "Life ledger of the car's parts, kept up with each run.", HelpName = "LEDGER" };
        Option<string?> zeros = Ask.Zeros("Zero file of the load cells: read and kept up with each run.");
        Option<double?> at = Ask.ForQuantity("--at", "SPEED", "Air speed of the aero headline: \"250 km/h\".", Quantity.ReadSpeed);
        Option<double?> every = Ask.ForQuantity("--every", "TIME", "Time between two looks while a file is on its way: \"2 s\" (default). A log is taken after three looks without a change.", Quantity.ReadTime);
        Option<double?> endAfter = Ask.ForQuantity("--end-after", "TIME", "End when nothing has come for so long: \"30 min\". Default: only Ctrl+C ends.", Quantity.ReadTime);
        ResultsAsked results = new();
        Option<bool> quiet = Ask.Quiet();
        CleaningAsked cleaning = new();
        HelpExamples.Verb verb = new(
            "watch",
            "Analyse each log that arrives in a folder, once it is whole; keep ledger, index page and archive up. Can be ended and started again at any time.",
            "pushrod watch logs/ --car car.toml --out friday --ledger parts.db")
        {
            logs, car, folder, archive, ledger, zeros, at, every, endAfter, cleaning.Spikes, cleaning.BridgeGaps, results.NoPlots, results.StrikeHistories, quiet,
        };
        verb.SetAction(parsed =>
        {
            string source = parsed.GetRequiredValue(logs), day = parsed.GetRequiredValue(folder);
            if (!Directory.Exists(source))
            {
                throw new InputError(source, "There is no such folder.", "Name the folder that the logs are copied into; make it first when nothing was copied yet.");
            }

            if (Path.TrimEndingDirectorySeparator(Path.GetFullPath(source)) == Path.TrimEndingDirectorySeparator(Path.GetFullPath(day)))
            {
                throw new UsageError("The results would lie among the logs. Name another folder with --out.");
            }

            double everyS = Positive("--every", parsed.GetValue(every)) ?? DefaultEveryS;
            WatchWish wish = new(
                source, parsed.GetRequiredValue(car), TimeSpan.FromSeconds(everyS),
                Positive("--end-after", parsed.GetValue(endAfter)) is double end ? TimeSpan.FromSeconds(end) : null, parsed.GetValue(quiet));
            CarFile.Read(wish.Car);
            DayWish asked = DayVerb.Wish(
                pipeline, day, parsed.GetValue(archive), parsed.GetValue(at), parsed.GetValue(ledger), parsed.GetValue(zeros), cleaning.Of(parsed), results.Of(parsed));
            return UntilStopped(screen, new WatchLoop(screen, pipeline, asked, wish));
        });
        return verb;
    }

    private static double? Positive(string option, double? seconds) => seconds is double time && !(time >= 0.01 && time <= 1e6)
        ? throw new UsageError($"Option '{option}': a time between 0.01 s and 11 days.")
        : seconds;

    /// <summary>Ctrl+C, or a polite request of the system to end, ends after the current run; a second one ends at once, which is safe as well.</summary>
    private static int UntilStopped(Screen screen, WatchLoop loop)
    {
        using CancellationTokenSource stop = new();
        void Stop(PosixSignalContext context)
        {
            if (stop.IsCancellationRequested)
            {
                return;
            }

            context.Cancel = true;
            screen.Error.WriteLine(loop.Busy is string run ? SheetPrinter.Plain($"Ending after {run}. Once more ends at once; the next start then does this run again.") : "Ending.");
            stop.Cancel();
        }

        using PosixSignalRegistration interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Stop);
        using PosixSignalRegistration terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Stop);
        return loop.Run(stop.Token);
    }
}
