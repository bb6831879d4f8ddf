using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>Reads [sensors] of a scenario file.</summary>
internal static class ScenarioSensors
{
    public static SensorDefinition Read(ScenarioTable table)
    {
        SensorDefinition defaults = new();
        SensorDefinition sensors = new()
        {
            IsPerfect = table.Flag("perfect", false),
            FastRateHz = (int)table.Quantity("fast_rate", ScenarioUnit.Frequency, defaults.FastRateHz),
            MediumRateHz = (int)table.Quantity("medium_rate", ScenarioUnit.Frequency, defaults.MediumRateHz),
            SlowRateHz = (int)table.Quantity("slow_rate", ScenarioUnit.Frequency, defaults.SlowRateHz),
            WeatherRateHz = (int)table.Quantity("weather_rate", ScenarioUnit.Frequency, defaults.WeatherRateHz),
            TravelNoiseM = table.Quantity("travel_noise", ScenarioUnit.Length, defaults.TravelNoiseM),
            TravelZeroM = table.Corners("travel_zero", ScenarioUnit.Length),
            SpeedNoiseMps = table.Quantity("speed_noise", ScenarioUnit.Speed, defaults.SpeedNoiseMps),
            SpeedScaleError = table.Quantity("speed_scale_error", ScenarioUnit.Share, 0),
            AccelerationNoiseMps2 = table.Quantity("acceleration_noise", ScenarioUnit.Acceleration, defaults.AccelerationNoiseMps2),
            AccelerationOffsetMps2 = (
                table.Quantity("acceleration_x_offset", ScenarioUnit.Acceleration, 0),
                table.Quantity("acceleration_y_offset", ScenarioUnit.Acceleration, 0),
                table.Quantity("acceleration_z_offset", ScenarioUnit.Acceleration, 0)),
            RideHeightNoiseM = table.Quantity("ride_height_noise", ScenarioUnit.Length, defaults.RideHeightNoiseM),
            LoadCell = LoadCell(table.Table("load_cells"), defaults.LoadCell),
            Dropouts = [.. table.Tables("dropouts").Select(Dropout)],
        };
        table.Done();
        return sensors;
    }

    private static LoadCellDefinition LoadCell(ScenarioTable table, LoadCellDefinition defaults)
    {
        LoadCellDefinition cell = new()
        {
            ZeroN = table.Corners("zero", ScenarioUnit.Force),
            ZeroScatterN = table.Quantity("zero_scatter", ScenarioUnit.Force, 0),
            DriftNps = table.Corners("drift", ScenarioUnit.ForcePerTime),
            TemperatureShiftNpK = table.Corners("temperature_shift", ScenarioUnit.ForcePerTemperature),
            WarmUpK = table.Quantity("warm_up", ScenarioUnit.TemperatureRise, defaults.WarmUpK),
            GainError = table.Corners("gain_error", ScenarioUnit.Share),
            CrossTalk = table.Corners("cross_talk", ScenarioUnit.Share),
            NoiseN = table.Quantity("noise", ScenarioUnit.Force, defaults.NoiseN),
            RangeN = table.Range("range", ScenarioUnit.Force),
            ResolutionN = table.Optional("resolution", ScenarioUnit.Force),
            LowPassHz = table.Optional("low_pass", ScenarioUnit.Frequency),
        };
        table.Done();
        return cell;
    }

    private static DropoutDefinition Dropout(ScenarioTable table)
    {
        string name = table.Text("channel");
        ChannelRole? role = null;
        foreach (ChannelRole candidate in Enum.GetValues<ChannelRole>())
        {
            role = candidate.Key() == name ? candidate : role;
        }

        if (role is null && name.Length > 0)
        {
            table.Fault("channel", $"\"{name}\" is no role of a channel.", "Write it as the car file does, for example \"pushrod_load_fl\".");
        }

        DropoutDefinition dropout = new(
            role ?? ChannelRole.Speed,
            60 * table.Quantity("rate", ScenarioUnit.Frequency),
            table.Quantity("length", ScenarioUnit.Duration));
        table.Done();
        return dropout;
    }
}
