using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Logs;

namespace Telemetry.Simulation;

/// <summary>Noise, range, resolution, dropouts, sign and unit: from the true signals to what the logger wrote.</summary>
internal static class LogBuilder
{
    /// <summary>One channel for every role that the car file maps, in the order of the car file.</summary>
    public static RunLog Of(Scenario scenario, CarDefinition car, TrueChannels truth)
    {
        ImmutableArray<LoggedChannel>.Builder channels = ImmutableArray.CreateBuilder<LoggedChannel>(car.Channels.Length);
        foreach (ChannelMapping mapping in car.Channels)
        {
            channels.Add(Channel(scenario, mapping, truth));
        }

        return new RunLog(scenario.Name, scenario.Source, channels.MoveToImmutable(), []);
    }

    private static LoggedChannel Channel(Scenario scenario, ChannelMapping mapping, TrueChannels truth)
    {
        SensorDefinition sensors = scenario.Sensors;
        ChannelRole role = mapping.Role;
        double[] values = truth.Of(role);
        int rate = truth.RateHz(role);
        RoleDefaults defaults = RoleDefaults.Of(role, sensors);
        LogUnit unit = LogUnit.Of(mapping.Unit ?? defaults.Unit);
        SeededRandom random = new(scenario.Seed, "sensor " + role);
        bool isLoad = role <= ChannelRole.PushrodLoadRR;
        double resolution = sensors.IsPerfect ? 0 : (isLoad ? sensors.LoadCell.ResolutionN : null) ?? mapping.Resolution ?? defaults.Resolution;
        (double low, double high) = sensors.IsPerfect ? (double.NegativeInfinity, double.PositiveInfinity)
            : (isLoad ? sensors.LoadCell.RangeN : null) ?? mapping.Range ?? (double.NegativeInfinity, double.PositiveInfinity);
        double noise = sensors.IsPerfect ? 0 : defaults.Noise;
        double stepInUnit = LogUnit.Clean(resolution / unit.Scale);
        for (int i = 0; i < values.Length; i++)
        {
            double value = values[i];
            if (noise > 0)
            {
                value += noise * random.Normal();
            }

            value = Math.Clamp(value, low, high);

            // Whole steps of a clean decimal step in the log's own unit, so that the log's numbers are as short as a logger writes them.
            double logged = (value - unit.Offset) / unit.Scale;
            values[i] = mapping.Sign * (stepInUnit > 0 ? Math.Round(logged / stepInUnit, MidpointRounding.ToEven) * stepInUnit : logged);
        }

        Drop(scenario, role, rate, values);
        return new LoggedChannel(mapping.Name, unit.Name, TimeBase.Even(0, 1.0 / rate, values.Length), ImmutableCollectionsMarshal.AsImmutableArray(values));
    }

    private static void Drop(Scenario scenario, ChannelRole role, int rate, double[] values)
    {
        if (scenario.Sensors.IsPerfect)
        {
            return;
        }

        foreach (DropoutDefinition dropout in scenario.Sensors.Dropouts)
        {
            if (dropout.Role != role)
            {
                continue;
            }

            SeededRandom random = new(scenario.Seed, "dropout " + role);
            int count = (int)Math.Round(dropout.PerMinute * values.Length / rate / 60);
            int length = Math.Max(1, (int)Math.Round(dropout.LengthS * rate));
            for (int k = 0; k < count; k++)
            {
                int from = (int)(random.Uniform() * values.Length);
                values.AsSpan(from, Math.Min(length, values.Length - from)).Fill(double.NaN);
            }
        }
    }
}

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
        <= ChannelRole.DamperTravelRR => new("mm", sensors.TravelNoiseM, 1e-5),
        <= ChannelRole.CellTemperatureRR => new("C", 0.05, 0.1),
        <= ChannelRole.WheelSpeedRR => new("km/h", sensors.SpeedNoiseMps * 2, 0.1 / 3.6),
        ChannelRole.Speed => new("km/h", sensors.SpeedNoiseMps, 0.05 / 3.6),
        ChannelRole.AccelerationX or ChannelRole.AccelerationY or ChannelRole.AccelerationZ => new("m/s2", sensors.AccelerationNoiseMps2, 0.01),
        ChannelRole.Brake => new("bar", 5000, 1e4),
        ChannelRole.Throttle => new("%", 0, 0.002),
        ChannelRole.SteerAngle => new("deg", 0.1 * Degree, 0.1 * Degree),
        ChannelRole.RideHeightFront or ChannelRole.RideHeightRear => new("mm", sensors.RideHeightNoiseM, 5e-5),
        ChannelRole.YawRate => new("deg/s", 0.05 * Degree, 0.05 * Degree),
        ChannelRole.Course => new("deg", 0.02 * Degree, 0.02 * Degree),
        ChannelRole.LapNumber => new("", 0, 1),
        ChannelRole.LapDistance => new("m", 0, 0.05),
        ChannelRole.PositionEast or ChannelRole.PositionNorth => new("m", 0.05, 0.05),
        ChannelRole.AirSpeed => new("km/h", 0.2, 0.1 / 3.6),
        ChannelRole.AirTemperature => new("C", 0.02, 0.1),
        ChannelRole.AirPressure => new("hPa", 2, 10),
        ChannelRole.AirHumidity => new("%", 0.002, 0.005),
        ChannelRole.FuelMass => new("kg", 0, 0.01),
        _ => throw new ArgumentOutOfRangeException(nameof(role), role, "A role without a sensor."),
    };
}
