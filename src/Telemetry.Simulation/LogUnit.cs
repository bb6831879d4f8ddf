namespace Telemetry.Simulation;

/// <summary>A unit that a logger may write: SI value = number * scale + offset.</summary>
/// <param name="Name">As written in the log.</param>
/// <param name="Scale">SI per unit.</param>
/// <param name="Offset">SI value of the number 0.</param>
internal readonly record struct LogUnit(string Name, double Scale, double Offset)
{
    /// <summary>The unit of that name.</summary>
    /// <exception cref="InputError">The simulator does not know it.</exception>
    public static LogUnit Of(string name) => name switch
    {
        "" or "1" => new(name, 1, 0),
        "N" or "m" or "m/s" or "m/s2" or "m/s²" or "Pa" or "K" or "rad" or "rad/s" or "kg" or "s" => new(name, 1, 0),
        "kN" or "kPa" => new(name, 1000, 0),
        "mm" => new(name, 1e-3, 0),
        "km/h" => new(name, 1 / 3.6, 0),
        "g" => new(name, Vehicle.GravityMps2, 0),
        "bar" => new(name, 1e5, 0),
        "hPa" or "mbar" => new(name, 100, 0),
        "C" or "degC" or "°C" => new(name, 1, 273.15),
        "%" => new(name, 0.01, 0),
        "deg" or "°" => new(name, Math.PI / 180, 0),
        "deg/s" or "°/s" => new(name, Math.PI / 180, 0),
        _ => throw new InputError($"channel unit '{name}'", "The simulator cannot write this unit.", "Use N, kN, mm, m, km/h, m/s, m/s2, g, bar, hPa, Pa, C, K, %, deg, rad, deg/s, rad/s or kg."),
    };

    /// <summary>A step rounded to six digits, so that 0.01 / 0.001 is 10 and not one rounding off.</summary>
    public static double Clean(double step)
    {
        if (!(step > 0))
        {
            return 0;
        }

        double magnitude = 1;
        while (step * magnitude < 1e5)
        {
            magnitude *= 10;
        }

        return Math.Round(step * magnitude) / magnitude;
    }
}
