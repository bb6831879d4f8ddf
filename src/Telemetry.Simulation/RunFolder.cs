using Telemetry.Logs;

namespace Telemetry.Simulation;

/// <summary>Simulates a scenario file into log and truth files.</summary>
public static class RunFolder
{
    /// <summary>Name of the log's file.</summary>
    public const string LogName = "log.parquet";

    /// <summary>Name of the truth's file.</summary>
    public const string TruthName = "truth.json";

    /// <summary>Reads a scenario and its car, simulates, and writes <see cref="LogName"/> and <see cref="TruthName"/>.</summary>
    /// <param name="scenarioPath">Path of the scenario file.</param>
    /// <param name="folder">Where to write; must exist. Null means the scenario's own folder.</param>
    /// <returns>The run that was written.</returns>
    /// <exception cref="InputError">Scenario, circuit or car have faults; nothing is written then.</exception>
    /// <exception cref="IOException">A file cannot be written.</exception>
    /// <exception cref="UnauthorizedAccessException">The folder may not be written to.</exception>
    public static SimulatedRun Write(string scenarioPath, string? folder = null)
    {
        Scenario scenario = ScenarioFile.Read(scenarioPath);
        SimulatedRun run = Simulator.Run(scenario, ScenarioFile.ReadCar(scenario));
        string target = folder ?? Path.GetDirectoryName(scenarioPath) ?? "";

        // The truth goes last: a log without a truth is still a log, a truth without its log misleads.
        ParquetLogWriter.Write(run.Log, Path.Combine(target, LogName));
        TruthFile.Write(run.Truth, Path.Combine(target, TruthName));
        return run;
    }
}
