namespace Telemetry.Car;

/// <summary>Brings a logged channel's unit to the SI unit of the role that it plays.</summary>
/// <remarks>For an acceleration "g" is standard gravity, 9.80665 m/s2 exactly (ISO 80000-3), never the gram.</remarks>
public static class ChannelUnits
{
    /// <summary>The SI unit in which a role's values are kept: N, m, K, m/s, m/s2, Pa, rad, rad/s, kg; "1" for shares and counts.</summary>
    /// <remarks>The brake is kept in Pa when it was logged as a pressure and as a share otherwise: see <see cref="SiUnit(ChannelRole, string)"/>.</remarks>
    public static string SiUnit(ChannelRole role) => Units.Si(Of(role));

    /// <summary>The SI unit of a role that was logged in a given unit; differs from <see cref="SiUnit(ChannelRole)"/> only for a brake logged as a share.</summary>
    public static string SiUnit(ChannelRole role, string unit) =>
        role == ChannelRole.Brake && !Units.Knows(Dimension.Pressure, unit) ? "1" : SiUnit(role);

    /// <summary>Finds the conversion from a logged unit.</summary>
    /// <param name="role">What the channel means.</param>
    /// <param name="unit">The unit as the log or the car file writes it; brackets and blanks around it do not matter.</param>
    /// <param name="conversion">From the unit to the role's SI unit when the answer is null.</param>
    /// <returns>Null when the unit is understood; else what was found and what to do, for an <see cref="InputFault"/>.</returns>
    public static (string Found, string Remedy)? Read(ChannelRole role, string unit, out UnitConversion conversion)
    {
        ArgumentNullException.ThrowIfNull(unit);
        conversion = default;
        if (Check(role, unit) is { } wrong)
        {
            return wrong;
        }

        string bare = Bare(unit);
        conversion = (Units.Find(Of(role), bare) ?? Units.Find(Dimension.Share, bare)).GetValueOrDefault();
        return null;
    }

    /// <summary>The verdict of <see cref="Read"/> without the conversion.</summary>
    internal static (string Found, string Remedy)? Check(ChannelRole role, string unit)
    {
        Dimension dimension = Of(role);
        string bare = Bare(unit);
        if (bare.Length == 0 && dimension != Dimension.Plain)
        {
            return ("the channel has no unit.", $"Write channels.{role.Key()}.unit in the car file (allowed: {Allowed(role)}).");
        }

        if (Units.Knows(dimension, bare) || (role == ChannelRole.Brake && Units.Knows(Dimension.Share, bare)))
        {
            return null;
        }

        IReadOnlyList<Dimension> others = Units.Knowing(bare);
        string hint = dimension == Dimension.Force && others.Contains(Dimension.Mass)
            ? $" A cell that was calibrated with masses reads \"{(bare == "kg" ? "kgf" : "lbf")}\"."
            : "";
        return (
            others.Count > 0
                ? $"\"{bare}\" is {Units.Word(others[0])}; {role.Key()} is {Units.Word(dimension)}."
                : $"\"{bare}\" is not a known unit; {role.Key()} is {Units.Word(dimension)}.",
            $"Write the right unit as channels.{role.Key()}.unit in the car file (allowed: {Allowed(role)}).{hint}");
    }

    /// <summary>Tells whether a log's own unit and the car file's cannot both be right.</summary>
    /// <param name="role">What the channel means.</param>
    /// <param name="carUnit">The unit in the car file, already found to fit the role.</param>
    /// <param name="logUnit">The unit in the log; empty when it gives none.</param>
    /// <returns>Null when they agree, or when the log gives none or one that is not known ("counts", "V"): the car file then says what the numbers are.
    /// Else what was found and what to do: a wrong guess between N and kN would be wrong by a factor of 1000.</returns>
    internal static (string Found, string Remedy)? Contradiction(ChannelRole role, string carUnit, string logUnit)
    {
        string logged = Bare(logUnit);
        string stated = Bare(carUnit);

        // A dash and a 1 are written where an exporter has no unit.
        Dimension dimension = Of(role);
        if (logged is "" or "-" or "1" || logged == stated || dimension == Dimension.Plain)
        {
            return null;
        }

        if (Read(role, logged, out UnitConversion fromLog) is null)
        {
            return Read(role, stated, out UnitConversion fromCar) is null && fromCar != fromLog ? Both() : null;
        }

        // A load cell that was calibrated with masses is often labelled so; the car file's kgf or lbf makes it a force, its N does not.
        if (dimension == Dimension.Force && Units.Knows(Dimension.Mass, logged) && Units.Find(Dimension.Force, logged.TrimEnd('s') + "f") == Units.Find(Dimension.Force, stated))
        {
            return null;
        }

        return Units.Knowing(logged).Count > 0 ? Both() : null;

        (string Found, string Remedy) Both() => (
            $"the log gives the unit \"{logged}\", the car file \"{stated}\": one of them is wrong.",
            $"Take channels.{role.Key()}.unit out of the car file when the log is right; otherwise correct the unit in the log's header.");
    }

    /// <summary>What a role measures.</summary>
    internal static Dimension Of(ChannelRole role) => role switch
    {
        >= ChannelRole.PushrodLoadFL and <= ChannelRole.PushrodLoadRR => Dimension.Force,
        >= ChannelRole.DamperTravelFL and <= ChannelRole.DamperTravelRR => Dimension.Length,
        >= ChannelRole.CellTemperatureFL and <= ChannelRole.CellTemperatureRR => Dimension.Temperature,
        >= ChannelRole.WheelSpeedFL and <= ChannelRole.WheelSpeedRR => Dimension.Speed,
        ChannelRole.Speed or ChannelRole.AirSpeed or ChannelRole.WindSpeed => Dimension.Speed,
        ChannelRole.AccelerationX or ChannelRole.AccelerationY or ChannelRole.AccelerationZ => Dimension.Acceleration,
        ChannelRole.Brake or ChannelRole.AirPressure => Dimension.Pressure,
        ChannelRole.Throttle or ChannelRole.AirHumidity => Dimension.Share,
        ChannelRole.SteerAngle or ChannelRole.Course or ChannelRole.WindDirection => Dimension.Angle,
        ChannelRole.RideHeightFront or ChannelRole.RideHeightRear or ChannelRole.LapDistance
            or ChannelRole.PositionEast or ChannelRole.PositionNorth => Dimension.Length,
        ChannelRole.LapNumber => Dimension.Plain,
        ChannelRole.YawRate or ChannelRole.EngineSpeed => Dimension.AngularSpeed,
        ChannelRole.AirTemperature => Dimension.Temperature,
        ChannelRole.FuelMass => Dimension.Mass,
        _ => throw new ArgumentOutOfRangeException(nameof(role)),
    };

    private static string Bare(string unit) => unit.Trim().Trim('[', ']', '(', ')').Trim();

    private static string Allowed(ChannelRole role) => role == ChannelRole.Brake
        ? $"{Units.Allowed(Dimension.Pressure)}, {Units.Allowed(Dimension.Share)}"
        : Units.Allowed(Of(role));
}
