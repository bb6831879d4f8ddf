using System.CommandLine;
using System.Globalization;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Runs;

namespace Telemetry.Cli.Verbs;

/// <summary>A log of many hours into one log for each run.</summary>
internal static class CutVerb
{
    private const double KmhPerMps = 3.6;

    public static Command Create(Screen screen)
    {
        Argument<string> log = new("LOG") { Description = "The log: CSV of any length, plain or gzip." };
        Option<string> car = Ask.Car();
        Option<string?> folder = new("--out") { Description = "Folder for the runs. Default: beside the log, named as it is with -runs.", HelpName = "DIR" };
        Option<double?> stop = Ask.ForQuantity("--stop", "TIME", "Shortest stop to cut at: \"20 s\" (default).", Quantity.ReadTime);
        Option<bool> force = new("--force") { Description = "Replace runs that are already there." };
        Option<bool> quiet = Ask.Quiet();
        HelpExamples.Verb verb = new(
            "cut",
            "Cut a log of many hours, larger than memory if need be, into one log for each run: at the stops between driven stretches. Row for row the log's own text; nothing is left out.",
            "pushrod cut race.csv --car car.toml",
            "pushrod cut race.csv --car car.toml --stop \"60 s\" --out stints")
        {
            log, car, folder, stop, force, quiet,
        };
        verb.SetAction(parsed => Run(
            screen,
            parsed.GetRequiredValue(log),
            CarFile.Read(parsed.GetRequiredValue(car)),
            parsed.GetValue(folder),
            CutOptions.Default with { ShortestStopS = parsed.GetValue(stop) ?? CutOptions.Default.ShortestStopS },
            parsed.GetValue(force),
            parsed.GetValue(quiet)));
        return verb;
    }

    /// <summary>What a speed in a unit is multiplied by; one that is no speed's unit is taken for m/s here, and refused when the run is analysed.</summary>
    private static double MpsOf(string unit) => ChannelUnits.Read(ChannelRole.Speed, unit, out UnitConversion conversion) is null ? conversion.Scale : 1;

    private static int Run(Screen screen, string logPath, CarDefinition car, string? wanted, CutOptions options, bool force, bool isQuiet)
    {
        if (car.Mapping(ChannelRole.Speed) is not { } speed)
        {
            throw new InputError(car.Name, "The car file names no speed, and a log is cut where the car stands.", "Write channels.speed in the car file.");
        }

        string folder;
        List<(string Path, CutRun Run)> written = [];
        using (Progress progress = new(screen, isQuiet))
        {
            progress.Step("looking for stops");
            CutPlan plan = LogCutter.Plan(logPath, RunAssembly.ReadingFor(car) with { OnlyColumns = [speed.Name] }, options with { MpsOfUnit = unit => MpsOf(speed.Unit ?? unit) });
            if (plan.Runs.Length < 2)
            {
                throw new InputError(
                    Path.GetFileName(logPath),
                    string.Create(CultureInfo.InvariantCulture, $"There is nowhere to cut: between stretches driven at {options.DrivenSpeedMps * KmhPerMps:0} km/h or more the car never stands for {options.ShortestStopS:0.#} s."),
                    "Analyse it as it is, or allow a shorter stop with --stop.");
            }

            string name = RunFileName.Of(plan.Name);
            folder = wanted ?? Path.Combine(Path.GetDirectoryName(logPath) ?? "", name + "-runs");
            int digits = Math.Max(2, plan.Runs.Length.ToString(CultureInfo.InvariantCulture).Length);
            foreach (CutRun run in plan.Runs)
            {
                string number = (written.Count + 1).ToString(CultureInfo.InvariantCulture).PadLeft(digits, '0');
                written.Add((Path.Combine(folder, $"{name}-{number}.csv"), run));
            }

            if (!force && written.Find(file => File.Exists(file.Path)) is { Path: { } taken })
            {
                throw new OutputError(taken, "The file is already there.", "Name another folder with --out, or replace the runs with --force.");
            }

            DateTime recorded = File.GetLastWriteTimeUtc(logPath);
            int done = 0;
            LogCutter.Copy(plan, (run, write) =>
            {
                string path = written[done].Path;
                progress.Step(string.Create(CultureInfo.InvariantCulture, $"writing run {++done} of {written.Count}"));
                WholeFiles.Write((path, write));

                // A log without dates is put in order by the time of its file: that of a run is when its last row was recorded, if the long log's is.
                File.SetLastWriteTimeUtc(path, recorded.AddSeconds(run.EndS - plan.Runs[^1].EndS));
            });
        }

        SheetPrinter.Print([.. Lines(logPath, folder, written)], screen);
        return ExitCode.Done;
    }

    private static IEnumerable<SheetLine> Lines(string logPath, string folder, List<(string Path, CutRun Run)> written)
    {
        yield return new(SheetPrinter.Plain($"{logPath}: cut into {written.Count} runs, in {folder}"), Tone.Heading);
        double startS = written[0].Run.StartS;
        foreach ((string path, CutRun run) in written)
        {
            yield return new(
                SheetPrinter.Plain(string.Create(
                    CultureInfo.InvariantCulture,
                    $"  {Path.GetFileName(path)}  {Clock(run.StartS - startS)} to {Clock(run.EndS - startS)} from the log's start, up to {run.TopSpeedMps * KmhPerMps:0} km/h, {(run.ToByte - run.FromByte) / 1e6:0.0} MB")),
                Tone.Plain);
        }
    }

    private static string Clock(double seconds)
    {
        long whole = (long)Math.Round(seconds);
        return string.Create(CultureInfo.InvariantCulture, $"{whole / 3600}:{whole / 60 % 60:00}:{whole % 60:00}");
    }
}
