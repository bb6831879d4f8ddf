using Telemetry.Car;
using Telemetry.Logs;

namespace Telemetry.Simulation;

/// <summary>A simulated run: the log as the logger wrote it, and what was really so.</summary>
/// <param name="Log">The log, with one channel for every role that the car file maps.</param>
/// <param name="Truth">The truth.</param>
public sealed record SimulatedRun(RunLog Log, SimulationTruth Truth);

/// <summary>Drives a simulated car over an invented circuit and logs it.</summary>
/// <remarks>
/// Seven degrees of freedom (heave, pitch, roll of the body; four wheels) along a prescribed line and speed; README.md in this folder has the equations.
/// The same scenario gives the same numbers on every machine.
/// </remarks>
public static class Simulator
{
    /// <summary>Simulates a run.</summary>
    /// <param name="scenario">Circuit, weather, driver, true car, sensors.</param>
    /// <param name="car">The car file: what the team believes about the car, and which channels the logger has.</param>
    /// <returns>The log and its truth.</returns>
    /// <exception cref="InputError">The car file lacks what the equations need, a wheel travels past its ratio table, or the car cannot stand.</exception>
    public static SimulatedRun Run(Scenario scenario, CarDefinition car)
    {
        ArgumentNullException.ThrowIfNull(scenario);
        ArgumentNullException.ThrowIfNull(car);
        Vehicle vehicle = new(scenario, car);
        CircuitPath path = new(scenario.Circuit);
        Drive drive = Drive.Of(scenario, vehicle, path);
        TrueSignals signals = new Solver(scenario, vehicle, drive, path).Run();
        LoadCellErrors cells = new(scenario);
        SimulationTruth truth = TruthBuilder.Of(scenario, vehicle, path, signals, cells);
        RunLog log = LogBuilder.Of(scenario, car, new TrueChannels(scenario, car, vehicle, path, signals, cells));
        return new SimulatedRun(log, truth);
    }
}
