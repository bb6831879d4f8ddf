using UnitsNet;
using UnitsNet.Units;

namespace Telemetry.Car;

/// <summary>What a quantity measures; each has one SI unit inside.</summary>
internal enum Dimension
{
    Length,
    Mass,
    Force,
    Stiffness,
    Pressure,
    Temperature,
    Share,
    Angle,
    AngularSpeed,
    Speed,
    Acceleration,
    Frequency,
    StressPerLoad,
    Time,
    Plain,
}

/// <summary>From a unit to SI: value * Scale + Offset.</summary>
/// <param name="Scale">SI units per unit, above 0.</param>
/// <param name="Offset">SI value of 0 in that unit; 0 for all but temperatures.</param>
public readonly record struct UnitConversion(double Scale, double Offset)
{
    /// <summary>A value in the unit, as SI. NaN stays NaN.</summary>
    public double ToSi(double value) => (value * Scale) + Offset;

    /// <summary>An SI value in the unit. NaN stays NaN.</summary>
    public double FromSi(double value) => (value - Offset) / Scale;
}

/// <summary>The spellings of units that are understood, and their sizes by UnitsNet.</summary>
/// <remarks>
/// The spellings are listed here and not left to UnitsNet's own parser for three reasons: logs and setup sheets write units in ways
/// that it does not know ("kph", "m/s2", "degC"), it has meanings that would be wrong here ("g" as gram for an acceleration), and its
/// table of all abbreviations costs a third of a second to build. The sizes are UnitsNet's, of the one unit that is asked for.
/// </remarks>
internal static class Units
{
    private sealed record Entry(string[] Spellings, Func<UnitConversion> Size);

    private static Entry Of(Func<double> scale, params string[] spellings) => new(spellings, () => new(scale(), 0));

    /// <summary>The units of a dimension; made when asked for, since a first reading must be short and a car file needs few of them.</summary>
    private static Entry[] Table(Dimension dimension) => dimension switch
    {
        Dimension.Length =>
        [
            Of(() => Length.From(1, LengthUnit.Meter).Meters, "m", "metre", "metres", "meter", "meters"),
            Of(() => Length.From(1, LengthUnit.Millimeter).Meters, "mm"),
            Of(() => Length.From(1, LengthUnit.Centimeter).Meters, "cm"),
            Of(() => Length.From(1, LengthUnit.Micrometer).Meters, "um", "µm"),
            Of(() => Length.From(1, LengthUnit.Kilometer).Meters, "km"),
            Of(() => Length.From(1, LengthUnit.Inch).Meters, "in", "inch"),
            Of(() => Length.From(1, LengthUnit.Foot).Meters, "ft"),
            Of(() => Length.From(1, LengthUnit.Mile).Meters, "mi", "mile", "miles"),
        ],
        Dimension.Mass =>
        [
            Of(() => Mass.From(1, MassUnit.Kilogram).Kilograms, "kg"),
            Of(() => Mass.From(1, MassUnit.Gram).Kilograms, "g"),
            Of(() => Mass.From(1, MassUnit.Pound).Kilograms, "lb", "lbs", "lbm"),
        ],
        Dimension.Force =>
        [
            Of(() => Force.From(1, ForceUnit.Newton).Newtons, "N", "newton"),
            Of(() => Force.From(1, ForceUnit.Kilonewton).Newtons, "kN", "KN"),
            Of(() => Force.From(1, ForceUnit.Decanewton).Newtons, "daN"),
            Of(() => Force.From(1, ForceUnit.KilogramForce).Newtons, "kgf", "kp"),
            Of(() => Force.From(1, ForceUnit.PoundForce).Newtons, "lbf"),
        ],
        Dimension.Stiffness =>
        [
            Of(() => ForcePerLength.From(1, ForcePerLengthUnit.NewtonPerMillimeter).NewtonsPerMeter, "N/mm"),
            Of(() => ForcePerLength.From(1, ForcePerLengthUnit.KilonewtonPerMillimeter).NewtonsPerMeter, "kN/mm"),
            Of(() => ForcePerLength.From(1, ForcePerLengthUnit.NewtonPerMeter).NewtonsPerMeter, "N/m"),
            Of(() => ForcePerLength.From(1, ForcePerLengthUnit.KilonewtonPerMeter).NewtonsPerMeter, "kN/m"),
            Of(() => ForcePerLength.From(1, ForcePerLengthUnit.PoundForcePerInch).NewtonsPerMeter, "lbf/in"),
            Of(() => ForcePerLength.From(1, ForcePerLengthUnit.KilogramForcePerMillimeter).NewtonsPerMeter, "kgf/mm"),
        ],
        Dimension.Pressure =>
        [
            Of(() => Pressure.From(1, PressureUnit.Megapascal).Pascals, "MPa", "N/mm2"),
            Of(() => Pressure.From(1, PressureUnit.Pascal).Pascals, "Pa", "N/m2"),
            Of(() => Pressure.From(1, PressureUnit.Hectopascal).Pascals, "hPa"),
            Of(() => Pressure.From(1, PressureUnit.Kilopascal).Pascals, "kPa"),
            Of(() => Pressure.From(1, PressureUnit.Gigapascal).Pascals, "GPa"),
            Of(() => Pressure.From(1, PressureUnit.Bar).Pascals, "bar"),
            Of(() => Pressure.From(1, PressureUnit.Millibar).Pascals, "mbar"),
            Of(() => Pressure.From(1, PressureUnit.PoundForcePerSquareInch).Pascals, "psi"),
        ],
        Dimension.Temperature =>
        [
            new(["degC", "°C", "C", "celsius", "deg C"], () => new(1, Temperature.From(0, TemperatureUnit.DegreeCelsius).Kelvins)),
            new(["K", "kelvin"], () => new(1, 0)),
            new(["degF", "°F", "F", "fahrenheit", "deg F"], () => new(5.0 / 9, Temperature.From(0, TemperatureUnit.DegreeFahrenheit).Kelvins)),
        ],
        Dimension.Share =>
        [
            Of(() => 0.01, "%", "pct", "percent"),
            Of(() => 1, "1", "-", "share", "ratio"),
        ],
        Dimension.Angle =>
        [
            Of(() => Angle.From(1, AngleUnit.Degree).Radians, "deg", "°", "degree", "degrees"),
            Of(() => Angle.From(1, AngleUnit.Radian).Radians, "rad"),
        ],
        Dimension.AngularSpeed =>
        [
            Of(() => RotationalSpeed.From(1, RotationalSpeedUnit.DegreePerSecond).RadiansPerSecond, "deg/s", "°/s", "dps"),
            Of(() => RotationalSpeed.From(1, RotationalSpeedUnit.RadianPerSecond).RadiansPerSecond, "rad/s"),

            // By definition, since UnitsNet 5.75 cuts pi off after ten digits in this one.
            Of(() => 2 * Math.PI / 60, "rpm", "1/min"),
        ],
        Dimension.Speed =>
        [
            Of(() => Speed.From(1, SpeedUnit.KilometerPerHour).MetersPerSecond, "km/h", "kph", "kmh", "kmph"),
            Of(() => Speed.From(1, SpeedUnit.MeterPerSecond).MetersPerSecond, "m/s", "mps"),
            Of(() => Speed.From(1, SpeedUnit.MilePerHour).MetersPerSecond, "mph"),
            Of(() => Speed.From(1, SpeedUnit.Knot).MetersPerSecond, "kn", "kt", "knots"),
        ],
        Dimension.Acceleration =>
        [
            Of(() => Acceleration.From(1, AccelerationUnit.MeterPerSecondSquared).MetersPerSecondSquared, "m/s2", "m/s/s", "ms-2"),
            Of(() => Acceleration.From(1, AccelerationUnit.StandardGravity).MetersPerSecondSquared, "g", "G", "gn", "g0"),
        ],
        Dimension.Time =>
        [
            Of(() => 1, "s", "sec"),
            Of(() => 1e-3, "ms"),
            Of(() => 60, "min"),
            Of(() => 3600, "h"),
        ],
        Dimension.Frequency =>
        [
            Of(() => Frequency.From(1, FrequencyUnit.Hertz).Hertz, "Hz"),
            Of(() => Frequency.From(1, FrequencyUnit.Kilohertz).Hertz, "kHz"),
        ],
        Dimension.Plain => [Of(() => 1, "1", "-", "", "lap", "laps", "count")],
        _ => [],
    };

    /// <summary>The SI unit of a dimension, as files and messages write it.</summary>
    public static string Si(Dimension dimension) => dimension switch
    {
        Dimension.Length => "m",
        Dimension.Mass => "kg",
        Dimension.Force => "N",
        Dimension.Stiffness => "N/m",
        Dimension.Pressure => "Pa",
        Dimension.Temperature => "K",
        Dimension.Angle => "rad",
        Dimension.AngularSpeed => "rad/s",
        Dimension.Speed => "m/s",
        Dimension.Acceleration => "m/s2",
        Dimension.Time => "s",
        Dimension.Frequency => "Hz",
        Dimension.StressPerLoad => "Pa/N",
        _ => "1",
    };

    /// <summary>What a dimension is called in a message.</summary>
    public static string Word(Dimension dimension) => dimension switch
    {
        Dimension.AngularSpeed => "an angular speed",
        Dimension.Angle => "an angle",
        Dimension.Acceleration => "an acceleration",
        Dimension.Stiffness => "a spring rate",
        Dimension.Pressure => "a pressure or stress",
        Dimension.StressPerLoad => "a stress per load",
        Dimension.Plain => "a number without unit",
        _ => "a " + dimension.ToString().ToLowerInvariant(),
    };

    /// <summary>The units a dimension allows, one spelling each, for a message.</summary>
    public static string Allowed(Dimension dimension) => dimension == Dimension.StressPerLoad
        ? "MPa/kN, MPa/N, Pa/N"
        : string.Join(", ", Table(dimension).Select(e => e.Spellings[0]).Where(s => s.Length > 0));

    /// <summary>The size of a unit of a given dimension, or null when the dimension has no such unit.</summary>
    /// <remarks>Exact spelling first; then any case ("KPH", "Bar"), except for pascals, where M and m are far apart.</remarks>
    public static UnitConversion? Find(Dimension dimension, string spelling)
    {
        string unit = Plainly(spelling);
        if (dimension == Dimension.StressPerLoad)
        {
            int slash = unit.LastIndexOf('/');
            if (slash <= 0 || Find(Dimension.Pressure, unit[..slash]) is not { } stress || Find(Dimension.Force, unit[(slash + 1)..]) is not { } load)
            {
                return null;
            }

            return new(stress.Scale / load.Scale, 0);
        }

        return Entered(dimension, unit)?.Size();
    }

    /// <summary>True when <see cref="Find"/> has an answer; costs less, since no unit's size is worked out.</summary>
    public static bool Knows(Dimension dimension, string spelling) =>
        dimension == Dimension.StressPerLoad ? Find(dimension, spelling) is not null : Entered(dimension, Plainly(spelling)) is not null;

    private static Entry? Entered(Dimension dimension, string unit)
    {
        Entry[] table = Table(dimension);
        foreach (Entry entry in table)
        {
            if (Array.IndexOf(entry.Spellings, unit) >= 0)
            {
                return entry;
            }
        }

        foreach (Entry entry in table)
        {
            if (!entry.Spellings[0].EndsWith("Pa", StringComparison.Ordinal) && Array.Exists(entry.Spellings, s => s.Equals(unit, StringComparison.OrdinalIgnoreCase)))
            {
                return entry;
            }
        }

        return null;
    }

    /// <summary>The dimensions that know a spelling exactly, for a message that says what was found.</summary>
    public static IReadOnlyList<Dimension> Knowing(string spelling)
    {
        string unit = Plainly(spelling);
        List<Dimension> knowing = [];
        for (Dimension dimension = 0; dimension < Dimension.Plain; dimension++)
        {
            if (Array.Exists(Table(dimension), e => Array.IndexOf(e.Spellings, unit) >= 0))
            {
                knowing.Add(dimension);
            }
        }

        return knowing;
    }

    private static string Plainly(string spelling)
    {
        string unit = spelling.Trim().Trim('[', ']', '(', ')').Trim();
        return unit.Replace("²", "2", StringComparison.Ordinal)
            .Replace("^", "", StringComparison.Ordinal)
            .Replace("**", "", StringComparison.Ordinal)
            .Replace('º', '°')
            .Replace("μ", "µ", StringComparison.Ordinal);
    }
}
