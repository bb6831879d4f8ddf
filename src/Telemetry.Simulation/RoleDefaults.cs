using Telemetry.Car;

namespace Telemetry.Simulation;

/// <remarks>Steps are the power-of-two fractions that an analogue-to-digital converter makes; they also keep the file small.</remarks>
/// <summary>Unit, noise and resolution (SI) of a role where nothing else is said.</summary>
/// <param name="Unit">Unit in the log.</param>
/// <param name="Noise">Standard deviation, SI.</param>
/// <param name="Resolution">One step, SI; 0 means none.</param>
internal readonly record struct RoleDefaults(string Unit, double Noise, double Resolution)
{
    private const double Degree = Math.PI / 180;

    public static RoleDefaults Of(ChannelRole role, SensorDefinition sensors) => role switch
    {
        <= ChannelRole.PushrodLoadRR => new("N", sensors.LoadCell.NoiseN, 1),
        <= ChannelRole.DamperTravelRR => new("mm", sensors.TravelNoiseM, 1e-3 / 64),
        <= ChannelRole.CellTemperatureRR => new("degC", 0.05, 0.1),
        <= ChannelRole.WheelSpeedRR => new("km/h", sensors.SpeedNoiseMps * 2, 0.1 / 3.6),
        ChannelRole.Speed => new("km/h", sensors.SpeedNoiseMps, 1 / 3.6 / 16),
        ChannelRole.AccelerationX or ChannelRole.AccelerationY or ChannelRole.AccelerationZ => new("g", sensors.AccelerationNoiseMps2, Vehicle.GravityMps2 / 512),
        ChannelRole.Brake => new("bar", 5000, 1e4),
        ChannelRole.Throttle => new("%", 0, 0.002),
        ChannelRole.SteerAngle => new("deg", 0.1 * Degree, Degree / 8),
        ChannelRole.RideHeightFront or ChannelRole.RideHeightRear => new("mm", sensors.RideHeightNoiseM, 1e-3 / 16),
        ChannelRole.YawRate => new("deg/s", 0.05 * Degree, Degree / 16),
        ChannelRole.Course => new("deg", 0.02 * Degree, Degree / 32),
        ChannelRole.LapNumber => new("", 0, 1),
        ChannelRole.LapDistance => new("m", 0, 1.0 / 16),
        ChannelRole.PositionEast or ChannelRole.PositionNorth => new("m", 0.05, 0.05),
        ChannelRole.AirSpeed => new("km/h", 0.2, 0.1 / 3.6),
        ChannelRole.AirTemperature => new("degC", 0.02, 0.1),
        ChannelRole.AirPressure => new("hPa", 2, 10),
        ChannelRole.AirHumidity => new("%", 0.002, 0.005),
        ChannelRole.FuelMass => new("kg", 0, 0.01),
        ChannelRole.WindSpeed => new("m/s", 0.1, 0.1),
        ChannelRole.WindDirection => new("deg", 2 * Degree, Degree),
        ChannelRole.EngineSpeed => new("rpm", 0.5, Math.PI / 30),
        _ => throw new ArgumentOutOfRangeException(nameof(role), role, "A role without a sensor."),
    };
}
