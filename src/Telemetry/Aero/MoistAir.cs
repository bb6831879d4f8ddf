namespace Telemetry.Aero;

/// <summary>Density of moist air.</summary>
/// <remarks>
/// CIPM-2007: Picard, Davis, Glaeser, Fujii, Revised formula for the density of moist air, Metrologia 45 (2008) 149, equations A1.1 to A1.4.
/// Stated for 600 to 1100 hPa and 15 to 27 C. Outside, the ideal-gas part still holds to far better than a log's sensors:
/// what grows is the error of the vapour terms, for which <see cref="FormulaUncertainty"/> allows.
/// </remarks>
internal static class MoistAir
{
    /// <summary>Mole fraction of carbon dioxide that the formula takes as its reference.</summary>
    public const double ReferenceCarbonDioxide = 400e-6;

    /// <summary>Molar gas constant of CODATA 2006, which the formula was fitted with, J/(mol K).</summary>
    private const double GasConstant = 8.314472;

    /// <summary>Molar mass of water, kg/mol.</summary>
    private const double WaterMolarMass = 18.01528e-3;

    private const double ZeroCelsiusK = 273.15;

    /// <summary>Density, kg/m3.</summary>
    /// <param name="temperatureK">Temperature, K.</param>
    /// <param name="pressurePa">Static pressure, Pa.</param>
    /// <param name="relativeHumidity">0 to 1.</param>
    /// <param name="carbonDioxide">Mole fraction of carbon dioxide.</param>
    public static double DensityKgM3(double temperatureK, double pressurePa, double relativeHumidity, double carbonDioxide = ReferenceCarbonDioxide)
    {
        double vapour = VapourMoleFraction(temperatureK, pressurePa, relativeHumidity);
        double dryMolarMass = (28.96546 + (12.011 * (carbonDioxide - ReferenceCarbonDioxide))) * 1e-3;
        return pressurePa * dryMolarMass * (1 - (vapour * (1 - (WaterMolarMass / dryMolarMass))))
            / (Compressibility(temperatureK, pressurePa, vapour) * GasConstant * temperatureK);
    }

    /// <summary>Saturation vapour pressure, Pa.</summary>
    public static double SaturationVapourPressurePa(double temperatureK) =>
        Math.Exp((1.2378847e-5 * temperatureK * temperatureK) - (1.9121316e-2 * temperatureK) + 33.93711047 - (6.3431645e3 / temperatureK));

    /// <summary>By how much real moist air takes up more vapour than the ideal gas.</summary>
    public static double EnhancementFactor(double temperatureK, double pressurePa)
    {
        double celsius = temperatureK - ZeroCelsiusK;
        return 1.00062 + (3.14e-8 * pressurePa) + (5.6e-7 * celsius * celsius);
    }

    /// <summary>Mole fraction of water vapour.</summary>
    public static double VapourMoleFraction(double temperatureK, double pressurePa, double relativeHumidity) =>
        relativeHumidity * EnhancementFactor(temperatureK, pressurePa) * SaturationVapourPressurePa(temperatureK) / pressurePa;

    /// <summary>Compressibility factor.</summary>
    public static double Compressibility(double temperatureK, double pressurePa, double vapour)
    {
        double celsius = temperatureK - ZeroCelsiusK;
        double ratio = pressurePa / temperatureK;
        double linear = 1.58123e-6 + (-2.9331e-8 * celsius) + (1.1043e-10 * celsius * celsius)
            + ((5.707e-6 + (-2.051e-8 * celsius)) * vapour)
            + ((1.9898e-4 + (-2.376e-6 * celsius)) * vapour * vapour);
        return 1 - (ratio * linear) + (ratio * ratio * (1.83e-11 + (-0.765e-8 * vapour * vapour)));
    }

    /// <summary>True where the formula is stated to hold.</summary>
    public static bool IsInRange(double temperatureK, double pressurePa) =>
        pressurePa is >= 60000 and <= 110000 && temperatureK is >= 288.15 and <= 300.15;

    /// <summary>Standard uncertainty of the formula as a share of the density.</summary>
    /// <remarks>
    /// 22e-6 in its range (Metrologia 45 (2008) 149, table 2). Outside, 1e-4: a mass-metrology handbook's value at 40 C,
    /// 13 K beyond the range, lies 0.6e-4 from the formula.
    /// </remarks>
    public static double FormulaUncertainty(double temperatureK, double pressurePa) =>
        IsInRange(temperatureK, pressurePa) ? 22e-6 : 1e-4;
}
