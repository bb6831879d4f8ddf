namespace Telemetry.Aero;

/// <summary>The standard atmosphere below 11 km (ISO 2533:1975; the same layer as the US Standard Atmosphere 1976).</summary>
internal static class StandardAtmosphere
{
    private const double SeaLevelTemperatureK = 288.15;
    private const double SeaLevelPressurePa = 101325;
    private const double LapseKPerM = 0.0065;
    private const double GasConstant = 287.05287;
    private const double EarthRadiusM = 6356766;
    private const double TropopauseM = 11000;

    /// <summary>Temperature, K, pressure, Pa, and density, kg/m3, at a geometric altitude.</summary>
    /// <param name="altitudeM">Metres above sea level, at most 11 km (geopotential).</param>
    /// <exception cref="ArgumentOutOfRangeException">The altitude is above the layer or not a number.</exception>
    public static (double TemperatureK, double PressurePa, double DensityKgM3) At(double altitudeM)
    {
        double geopotential = EarthRadiusM * altitudeM / (EarthRadiusM + altitudeM);
        if (!(geopotential <= TropopauseM))
        {
            throw new ArgumentOutOfRangeException(nameof(altitudeM), altitudeM, "The standard atmosphere is given up to 11 km.");
        }

        double temperature = SeaLevelTemperatureK - (LapseKPerM * geopotential);
        double pressure = SeaLevelPressurePa * Math.Pow(temperature / SeaLevelTemperatureK, StandardGravity.Mps2 / (GasConstant * LapseKPerM));
        return (temperature, pressure, pressure / (GasConstant * temperature));
    }
}
