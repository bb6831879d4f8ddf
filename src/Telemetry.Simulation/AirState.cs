using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>Density of moist air.</summary>
internal static class AirState
{
    /// <summary>Density, kg/m3, by CIPM-2007 (Picard, Davis, Glaeser, Fujii, Metrologia 45 (2008) 149), CO2 400 ppm.</summary>
    public static double DensityKgpm3(Weather weather)
    {
        double t = weather.TemperatureK;
        double p = weather.PressurePa;
        double c = t - 273.15;
        double saturation = PortableMath.Exp((1.2378847e-5 * t * t) - (1.9121316e-2 * t) + 33.93711047 - (6.3431645e3 / t));
        double enhancement = 1.00062 + (3.14e-8 * p) + (5.6e-7 * c * c);
        double x = weather.RelativeHumidity * enhancement * saturation / p;
        double z = 1
            - (p / t * (1.58123e-6 + (-2.9331e-8 * c) + (1.1043e-10 * c * c) + ((5.707e-6 + (-2.051e-8 * c)) * x) + ((1.9898e-4 + (-2.376e-6 * c)) * x * x)))
            + (p * p / (t * t) * (1.83e-11 + (-0.765e-8 * x * x)));
        return p * 28.96546e-3 / (z * 8.314472 * t) * (1 - (x * (1 - (18.01528 / 28.96546))));
    }
}
