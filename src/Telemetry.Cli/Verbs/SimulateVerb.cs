using System.CommandLine;
using System.Text;
using Telemetry.Car;
using Telemetry.Output;
using Telemetry.Simulation;

namespace Telemetry.Cli.Verbs;

/// <summary>A log with a known truth.</summary>
internal static class SimulateVerb
{
    private const string LogName = "log.parquet";
    private const string TruthName = "truth.json";
    private const string CarName = "car.toml";

    public static Command Create(Screen screen, Pipeline pipeline)
    {
        Argument<string> scenario = new("SCENARIO") { Description = "The scenario (TOML): circuit, weather, driver, true car, sensors." };
        Option<string?> folder = new("--out") { Description = "Folder for log, truth and car file. Default: beside the scenario, named after it.", HelpName = "DIR" };
        Option<ulong?> seed = new("--seed") { Description = "Seed of everything random, in place of the scenario's. The same seed gives the same bytes.", HelpName = "N" };
        Option<bool> quiet = Ask.Quiet();
        HelpExamples.Verb verb = new(
            "simulate",
            "Simulate a run of a car with seven degrees of freedom: writes a log and, beside it, what was really so.",
            "pushrod simulate scenario.toml --out practice --seed 7",
            "pushrod analyse practice/log.parquet --car practice/car.toml")
        {
            scenario, folder, seed, quiet,
        };
        verb.SetAction(parsed => Run(
            screen, pipeline, parsed.GetRequiredValue(scenario), parsed.GetValue(folder), parsed.GetValue(seed), parsed.GetValue(quiet)));
        return verb;
    }

    private static int Run(Screen screen, Pipeline pipeline, string scenarioPath, string? wanted, ulong? seed, bool quiet)
    {
        Scenario scenario = ScenarioFile.Read(scenarioPath);
        if (seed is ulong number)
        {
            scenario = scenario with { Seed = number };
        }

        CarDefinition car = ScenarioFile.ReadCar(scenario);
        string folder = wanted ?? Path.Combine(Path.GetDirectoryName(Path.GetFullPath(scenarioPath))!, Path.GetFileNameWithoutExtension(scenarioPath));
        string log = Path.Combine(folder, LogName);
        string truth = Path.Combine(folder, TruthName);
        if (File.Exists(log) && !File.Exists(truth))
        {
            throw new OutputError(log, $"The folder holds a log without {TruthName}, so it was not simulated.", "Name another folder with --out; nothing was changed.");
        }

        SimulatedRun run;
        using (Progress progress = new(screen, quiet))
        {
            progress.Step("simulating");
            run = Simulator.Run(scenario, car);
            progress.Step("writing the log");
            List<(string Path, Action<Stream> Write)> files =
            [
                (log, stream => pipeline.WriteLog(run.Log, stream)),
                (truth, stream => stream.Write(Encoding.UTF8.GetBytes(TruthFile.ToJson(run.Truth)))),
            ];
            // A car file that is there may be the very one that the scenario names, or a person's own: it stays.
            string carCopy = Path.Combine(folder, CarName);
            if (!File.Exists(carCopy) && car.Source.Length > 0)
            {
                byte[] text = File.ReadAllBytes(car.Source);
                files.Add((carCopy, stream => stream.Write(text)));
            }

            WholeFiles.Write(files);
        }

        SheetPrinter.Print([new(SheetPrinter.Plain($"{log}: {run.Log.Channels.Length} channels, seed {scenario.Seed}; the truth is in {TruthName}."), Tone.Plain)], screen);
        return ExitCode.Done;
    }
}
