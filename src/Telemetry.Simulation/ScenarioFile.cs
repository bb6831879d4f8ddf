using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>A scenario file: TOML text that describes a run to simulate. README.md in this folder lists its fields.</summary>
public static class ScenarioFile
{
    /// <summary>Reads a scenario and the circuit that it names.</summary>
    /// <param name="path">Path of the TOML file; the car and the circuit that it names lie relative to it.</param>
    /// <exception cref="InputError">A file is missing, is no TOML, or has faults; all faults of a file are in it, by line.</exception>
    public static Scenario Read(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        CarFaultList faults = new(path);
        ScenarioTable root = new(CarTree.Parse(Text(path), faults), "", faults);
        string folder = Path.GetDirectoryName(path) ?? "";
        string circuit = root.Text("circuit");
        string car = root.Text("car");
        Scenario scenario = Build(root, path, car);
        root.Done();
        return faults.Any ? throw new InputError(faults.Faults) : scenario with { Circuit = CircuitFile.Read(Path.Combine(folder, circuit)) };
    }

    /// <summary>Reads the car file that a scenario names.</summary>
    /// <param name="scenario">A scenario that was read from a file.</param>
    /// <exception cref="InputError">The car file has faults.</exception>
    public static CarDefinition ReadCar(Scenario scenario)
    {
        ArgumentNullException.ThrowIfNull(scenario);
        return CarFile.Read(Path.Combine(Path.GetDirectoryName(scenario.Source) ?? "", scenario.CarPath));
    }

    internal static string Text(string path)
    {
        try
        {
            return File.ReadAllText(path);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new InputError(path, $"cannot be read: {error.Message.TrimEnd('.')}.", "Check the path and your right to read it.");
        }
    }

    private static Scenario Build(ScenarioTable root, string path, string car)
    {
        Scenario defaults = Default;
        return new Scenario
        {
            Name = root.Text("name"),
            Source = path,
            CarPath = car,
            Circuit = defaults.Circuit,
            Seed = root.Whole("seed", defaults.Seed),
            Laps = (int)Math.Min(1000, root.Whole("laps", (ulong)defaults.Laps)),
            StandstillBeforeS = root.Quantity("standstill_before", ScenarioUnit.Duration, defaults.StandstillBeforeS),
            StandstillAfterS = root.Quantity("standstill_after", ScenarioUnit.Duration, defaults.StandstillAfterS),
            StepRateHz = (int)root.Quantity("step_rate", ScenarioUnit.Frequency, defaults.StepRateHz),
            Weather = Weather(root.Table("weather")),
            Wind = Wind(root.Table("wind"), defaults.Wind),
            Road = Road(root.Table("road"), defaults.Road),
            Kerbs = [.. root.Tables("kerbs").Select(Kerb)],
            Disturbances = ScenarioDisturbances.Read(root.Table("disturbances")),
            Driver = Driver(root.Table("driver"), defaults.Driver),
            TrueCar = ScenarioCar.TrueCar(root.Table("true_car")),
            Aero = ScenarioCar.Aero(root.Table("aero")),
            Sensors = ScenarioSensors.Read(root.Table("sensors")),
        };
    }

    // The defaults of every optional part, in one place; what is required has none and is never taken from here.
    private static Scenario Default { get; } = new()
    {
        Name = "",
        Circuit = new CircuitDefinition("", [], 0, []),
        TrueCar = new TrueCar { Hardware = new PerAxle<AxleHardware>(null!, null!), PitchInertiaKgM2 = 0, RollInertiaKgM2 = 0 },
        Aero = new AeroDefinition(new LiftAreaMap(0), new LiftAreaMap(0), new PerAxle<double>(0, 0), 0, 0),
    };

    private static Weather Weather(ScenarioTable table)
    {
        Weather weather = new(
            table.Quantity("temperature", ScenarioUnit.Temperature),
            table.Quantity("pressure", ScenarioUnit.Pressure),
            table.Quantity("humidity", ScenarioUnit.Share));
        table.Done();
        return weather;
    }

    private static WindDefinition Wind(ScenarioTable table, WindDefinition defaults)
    {
        WindDefinition wind = new(
            table.Quantity("speed", ScenarioUnit.Speed, defaults.SpeedMps),
            table.Quantity("from", ScenarioUnit.Angle, defaults.FromRad),
            table.Quantity("gust", ScenarioUnit.Speed, defaults.GustMps));
        table.Done();
        return wind;
    }

    private static RoadDefinition Road(ScenarioTable table, RoadDefinition defaults)
    {
        RoadDefinition road = new(
            table.Whole("seed", defaults.Seed),
            table.Quantity("spectrum", ScenarioUnit.Spectrum, defaults.SpectrumAtReference),
            table.Quantity("longest_wave", ScenarioUnit.Length, defaults.LongestWaveM),
            table.Quantity("coherence_wave", ScenarioUnit.Length, defaults.CoherenceWaveM));
        table.Done();
        return road;
    }

    private static KerbDefinition Kerb(ScenarioTable table)
    {
        KerbDefinition kerb = new()
        {
            Name = table.Text("name"),
            DistanceM = table.Quantity("distance", ScenarioUnit.Length),
            LengthM = table.Quantity("length", ScenarioUnit.Length),
            HeightM = table.Quantity("height", ScenarioUnit.Length),
            IsLeft = table.Choice("side", 0, "left", "right") == 0,
            Shape = (KerbShape)table.Choice("shape", 0, "hump", "ribbed"),
            Ribs = (int)Math.Clamp(table.Whole("ribs", 4), 1, 1000),
            HitShare = table.Quantity("hit_share", ScenarioUnit.Share, 1),
            Depth = table.Quantity("depth", ScenarioUnit.Share, 1),
            DepthScatter = table.Quantity("depth_scatter", ScenarioUnit.Share, 0),
            OnlyLaps = table.Wholes("only_laps"),
        };
        if (table.Has("length") && !(kerb.LengthM > 0))
        {
            table.Fault("length", "is not above 0.", "Give the length along the road.");
        }

        table.Done();
        return kerb;
    }

    private static DriverDefinition Driver(ScenarioTable table, DriverDefinition defaults)
    {
        DriverDefinition driver = new()
        {
            PowerW = table.Quantity("power", ScenarioUnit.Power, defaults.PowerW),
            LateralGrip = table.Quantity("lateral_grip", ScenarioUnit.Share, defaults.LateralGrip),
            BrakingGrip = table.Quantity("braking_grip", ScenarioUnit.Share, defaults.BrakingGrip),
            DrivingGrip = table.Quantity("driving_grip", ScenarioUnit.Share, defaults.DrivingGrip),
            UsedShare = table.Quantity("used_share", ScenarioUnit.Share, defaults.UsedShare),
            UsedShareScatter = table.Quantity("used_share_scatter", ScenarioUnit.Share, defaults.UsedShareScatter),
            PitSpeedMps = table.Quantity("pit_speed", ScenarioUnit.Speed, defaults.PitSpeedMps),
            ReactionS = table.Quantity("reaction", ScenarioUnit.Duration, defaults.ReactionS),
        };
        table.Done();
        return driver;
    }
}
