using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Aero;

/// <summary>Air density of a run: from the log, else from the car file, else the standard atmosphere at sea level.</summary>
internal static class AirOfRun
{
    /// <summary>Standard uncertainties of a circuit's weather station and of a car's own sensors: 1 K, 100 Pa, 5 % relative humidity (common practice, no source).</summary>
    private const double TemperatureUncertaintyK = 1;
    private const double PressureUncertaintyPa = 100;
    private const double HumidityUncertainty = 0.05;

    /// <summary>Humidity where none is given, and its standard uncertainty: the middle of 0 to 1, and a rectangle that wide (GUM 4.3.7).</summary>
    private const double AssumedHumidity = 0.5;
    private const double AssumedHumidityUncertainty = 0.29;

    /// <summary>Standard uncertainty of the standard atmosphere as a guess at a circuit's air, share: 15 K of season, 30 hPa of weather, 400 m of altitude together.</summary>
    private const double StandardAtmosphereShare = 0.07;

    public static AirState Of(Run run)
    {
        double temperature = Mean(run, ChannelRole.AirTemperature);
        double pressure = Mean(run, ChannelRole.AirPressure);
        double humidity = Mean(run, ChannelRole.AirHumidity);
        Weather? day = run.Car.Weather;
        bool fromLog = double.IsFinite(temperature) && double.IsFinite(pressure);
        List<string> lacking = [];
        if (!fromLog && day is null)
        {
            double density = StandardAtmosphere.At(0).DensityKgM3;
            return new AirState(
                density,
                density * StandardAtmosphereShare,
                "standard atmosphere at sea level: neither the log nor the car file gives temperature and pressure",
                IsAssumed: true);
        }

        string source = fromLog ? "log" : "car file";
        if (!fromLog)
        {
            // One of the two may still be logged: it is nearer to the air than the day's sheet.
            temperature = Filled(temperature, day!.TemperatureK, "temperature", lacking);
            pressure = Filled(pressure, day.PressurePa, "pressure", lacking);
            source = lacking.Count == 1 ? $"log, with {lacking[0]} from the car file" : source;
        }

        double humidityUncertainty = HumidityUncertainty;
        if (!double.IsFinite(humidity))
        {
            humidity = day?.RelativeHumidity ?? AssumedHumidity;
            humidityUncertainty = day is null ? AssumedHumidityUncertainty : HumidityUncertainty;
            source += day is null ? ", humidity assumed 50 %" : fromLog ? ", humidity from the car file" : "";
        }

        double value = MoistAir.DensityKgM3(temperature, pressure, humidity);
        double uncertainty = Root(
            MoistAir.DensityKgM3(temperature + TemperatureUncertaintyK, pressure, humidity) - value,
            MoistAir.DensityKgM3(temperature, pressure + PressureUncertaintyPa, humidity) - value,
            MoistAir.DensityKgM3(temperature, pressure, humidity + humidityUncertainty) - value,
            MoistAir.FormulaUncertainty(temperature, pressure) * value);
        if (!MoistAir.IsInRange(temperature, pressure))
        {
            source += FormattableString.Invariant($" ({temperature - 273.15:0.0} degC and {pressure / 100:0} hPa lie outside the 15 to 27 degC and 600 to 1100 hPa of the density formula, which is then good to 0.01 %)");
        }

        return new AirState(value, uncertainty, source, IsAssumed: false);
    }

    private static double Filled(double logged, double ofDay, string name, List<string> lacking)
    {
        if (double.IsFinite(logged))
        {
            return logged;
        }

        lacking.Add(name);
        return ofDay;
    }

    private static double Mean(Run run, ChannelRole role) => run.Find(role) is { } channel ? channel.Samples.MeanOfFinite(0, channel.Samples.Length) : double.NaN;

    private static double Root(params ReadOnlySpan<double> parts)
    {
        double sum = 0;
        foreach (double part in parts)
        {
            sum += part * part;
        }

        return Math.Sqrt(sum);
    }
}
