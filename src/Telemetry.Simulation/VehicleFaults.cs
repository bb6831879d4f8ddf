using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>What a car file and a scenario must say before the car can be simulated.</summary>
internal static class VehicleFaults
{
    /// <exception cref="InputError">Something that the equations need is missing; all of it in one go.</exception>
    public static void Check(Scenario scenario, CarDefinition car)
    {
        List<InputFault> faults = [];
        string file = car.Source.Length > 0 ? car.Source : "the car";
        void Missing(string field, string why) =>
            faults.Add(new InputFault($"{file}, {field}", $"is missing, and {why}.", "Add it to the car file."));

        if (scenario.TrueCar.RideHeightM is null && car.Setup.RideHeightM is null)
        {
            Missing("setup.ride_height", "the aero load depends on it");
        }

        foreach ((string name, AxleSuspension axle) in new[] { ("front", car.Suspension.Front), ("rear", car.Suspension.Rear) })
        {
            if (axle.SpringRateNpm is null)
            {
                Missing($"suspension.{name}.spring_rate", "the simulated car stands on its springs");
            }

            if (axle.TyreRateNpm is null)
            {
                Missing($"suspension.{name}.tyre_rate", "the simulated car stands on its tyres");
            }
        }

        int step = scenario.StepRateHz;
        SensorDefinition sensors = scenario.Sensors;
        if (step <= 0 || step % Drive.RateHz != 0 || step % sensors.FastRateHz != 0)
        {
            faults.Add(new InputFault($"{scenario.Name}, step rate", $"{step} Hz does not divide evenly.", $"Use a whole multiple of {Drive.RateHz} Hz and of the logging rate {sensors.FastRateHz} Hz."));
        }

        foreach (int rate in new[] { sensors.MediumRateHz, sensors.SlowRateHz, sensors.WeatherRateHz })
        {
            if (rate <= 0 || sensors.FastRateHz % rate != 0)
            {
                faults.Add(new InputFault($"{scenario.Name}, sensor rate", $"{rate} Hz does not divide {sensors.FastRateHz} Hz.", "Use a rate that divides the fast rate."));
            }
        }

        if (scenario.Laps < 1)
        {
            faults.Add(new InputFault($"{scenario.Name}, laps", $"{scenario.Laps} laps.", "Drive at least one lap."));
        }

        if (faults.Count > 0)
        {
            throw new InputError(faults);
        }
    }
}
