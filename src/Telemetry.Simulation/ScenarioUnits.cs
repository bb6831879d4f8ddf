using System.Globalization;
using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>What a quantity of a scenario measures.</summary>
internal enum ScenarioUnit
{
    Length,
    Mass,
    Force,
    Pressure,
    Temperature,
    Share,
    Angle,
    Speed,
    Acceleration,
    Frequency,
    Duration,
    Damping,
    Inertia,
    Area,
    AreaPerLength,
    AreaPerSquare,
    Spectrum,
    Power,
    ForcePerTime,
    ForcePerTemperature,
    TemperatureRise,
}

/// <summary>The units of a scenario file: those of the car file, and some that a car file has no use for.</summary>
internal static class ScenarioUnits
{
    private static readonly Dictionary<ScenarioUnit, (string Unit, double Scale)[]> Own = new()
    {
        [ScenarioUnit.Duration] = [("s", 1), ("ms", 1e-3), ("min", 60)],
        [ScenarioUnit.Damping] = [("N s/m", 1), ("kN s/m", 1e3), ("N s/mm", 1e3)],
        [ScenarioUnit.Inertia] = [("kg m2", 1)],
        [ScenarioUnit.Area] = [("m2", 1)],
        [ScenarioUnit.AreaPerLength] = [("m2/m", 1), ("m2/mm", 1e3)],
        [ScenarioUnit.AreaPerSquare] = [("m2/m2", 1), ("m2/mm2", 1e6)],
        [ScenarioUnit.Spectrum] = [("m3", 1)],
        [ScenarioUnit.Power] = [("kW", 1e3), ("W", 1)],
        [ScenarioUnit.ForcePerTime] = [("N/s", 1), ("N/min", 1.0 / 60)],
        [ScenarioUnit.ForcePerTemperature] = [("N/K", 1)],
        [ScenarioUnit.TemperatureRise] = [("K", 1)],
    };

    /// <summary>The allowed units, for a message.</summary>
    public static string Allowed(ScenarioUnit unit) =>
        Own.TryGetValue(unit, out (string Unit, double Scale)[]? own) ? string.Join(", ", own.Select(o => o.Unit)) : Units.Allowed(Of(unit));

    /// <summary>A text as a quantity in SI; null when it is none.</summary>
    public static double? Read(string text, ScenarioUnit unit)
    {
        if (!Own.TryGetValue(unit, out (string Unit, double Scale)[]? own))
        {
            return QuantityText.Read(text, Of(unit), out QuantityText.Reading reading) is null ? reading.Value.Value : null;
        }

        int blank = text.IndexOf(' ', StringComparison.Ordinal);
        if (blank < 0 || !double.TryParse(text.AsSpan(0, blank), NumberStyles.Float, CultureInfo.InvariantCulture, out double value) || !double.IsFinite(value))
        {
            return null;
        }

        foreach ((string name, double scale) in own)
        {
            if (name == text[(blank + 1)..].Trim())
            {
                return value * scale;
            }
        }

        return null;
    }

    private static Dimension Of(ScenarioUnit unit) => unit switch
    {
        ScenarioUnit.Length => Dimension.Length,
        ScenarioUnit.Mass => Dimension.Mass,
        ScenarioUnit.Force => Dimension.Force,
        ScenarioUnit.Pressure => Dimension.Pressure,
        ScenarioUnit.Temperature => Dimension.Temperature,
        ScenarioUnit.Share => Dimension.Share,
        ScenarioUnit.Angle => Dimension.Angle,
        ScenarioUnit.Speed => Dimension.Speed,
        ScenarioUnit.Acceleration => Dimension.Acceleration,
        ScenarioUnit.Frequency => Dimension.Frequency,
        _ => throw new ArgumentOutOfRangeException(nameof(unit)),
    };
}
