using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>Builds the car from the sections of its file; null parts mean that a fault was noted.</summary>
internal static class CarReading
{
    /// <summary>The car, or null when a required part has a fault.</summary>
    public static CarDefinition? Of(CarSection root, string path)
    {
        string? name = root.Text("name");
        double? lapLength = root.Number("lap_length");
        CarGeometry? geometry = root.Section("geometry") is { } lengths ? Geometry(lengths) : null;
        CarMasses? masses = root.Section("mass") is { } weights ? Masses(weights) : null;
        PerAxle<AxleSuspension>? suspension = SuspensionReading.Of(root);
        SetupSheet? setup = root.Section("setup") is { } sheet ? Setup(sheet) : new SetupSheet(null, 0, null, null);
        Weather? weather = root.Section("weather") is { } air ? Air(air) : null;
        ImmutableArray<double> shims = root.Section("shims") is { } stack ? Shims(stack) : [];
        Logs.LogOptions log = root.Section("log") is { } reading ? Log(reading) : Logs.LogOptions.Default;
        ImmutableArray<ChannelMapping>? channels = ChannelReading.Of(root);
        ImmutableArray<CalibrationRecord> calibrations = CalibrationReading.Of(root, channels ?? []);
        ImmutableArray<ComponentDefinition> components = ComponentReading.Of(root);
        CarPlausibility.OfWhole(root, geometry, masses, setup, suspension);

        if (name is null || geometry is null || masses is null || suspension is null || setup is null || channels is null)
        {
            return null;
        }

        return new CarDefinition
        {
            Name = name,
            Source = path,
            Geometry = geometry,
            Masses = masses,
            Suspension = suspension,
            Setup = setup,
            Channels = channels.Value,
            Calibrations = calibrations,
            Components = components,
            Weather = weather,
            Log = log,
            LapLengthM = lapLength,
            ShimStepsM = shims,
        };
    }

    private static CarGeometry? Geometry(CarSection section)
    {
        Measured? wheelbase = section.Measured("wheelbase");
        double? trackFront = section.Number("track_front");
        double? trackRear = section.Number("track_rear");
        Measured? centre = section.Measured("sprung_cg_behind_front_axle");
        Measured? height = section.Measured("cg_height");
        PerAxle<double>? rollCentres = Pair(section, "roll_centre_height");
        PerAxle<double>? unsprung = Pair(section, "unsprung_cg_height");
        return wheelbase is { } l && trackFront is { } front && trackRear is { } rear && centre is { } a && height is { } h
            ? new CarGeometry(l, new(front, rear), a, h, rollCentres, unsprung)
            : null;
    }

    private static CarMasses? Masses(CarSection section)
    {
        Measured? whole = section.Measured("without_fuel");
        Measured? front = section.Measured("unsprung_front");
        Measured? rear = section.Measured("unsprung_rear");
        Measured? fuel = section.Measured("fuel_at_start");
        double? perLap = section.Number("fuel_per_lap");
        return whole is { } m && front is { } f && rear is { } r && fuel is { } start
            ? new CarMasses(m, new(f.Value, r.Value), start, perLap) { UnsprungUncertaintyKg = new(f.StandardUncertainty, r.StandardUncertainty) }
            : null;
    }

    private static SetupSheet? Setup(CarSection section)
    {
        string[] corners = [.. Corners.All.Select(c => "corner_weight_" + c.Code().ToLowerInvariant())];
        section.RefuseUnknown([.. corners, "corner_weight_uncertainty", "fuel_on_scales", "ride_height_front", "ride_height_rear"]);
        PerCorner<double?> weights = PerCorner.Of(c => section.Number(corners[(int)c], "corner_weight_CORNER"));
        int given = corners.Count(section.Has);
        if (given is > 0 and < 4)
        {
            foreach (string missing in corners.Where(c => !section.Has(c)))
            {
                section.Faults.Missing(section.Line, section.PathOf(missing), "is missing while other corner weights are given.", "Give all four, or none.");
            }
        }

        double uncertainty = section.Number("corner_weight_uncertainty") ?? 0;
        double? fuel = section.Number("fuel_on_scales");
        PerAxle<double>? heights = Pair(section, "ride_height");
        PerCorner<double>? four = weights.Each().All(w => w.Value is not null) ? weights.Select((_, w) => w ?? 0) : null;
        return new SetupSheet(four, uncertainty, fuel, heights);
    }

    /// <summary>A value for front and rear: both or neither.</summary>
    private static PerAxle<double>? Pair(CarSection section, string stem)
    {
        double? front = section.Number(stem + "_front");
        double? rear = section.Number(stem + "_rear");
        foreach ((string here, string other) in new[] { ("_front", "_rear"), ("_rear", "_front") })
        {
            if (section.Has(stem + other) && !section.Has(stem + here))
            {
                section.Faults.Missing(section.Line, section.PathOf(stem + here), $"is missing while {stem}{other} is given.", "Give both, or neither.");
            }
        }

        return front is { } f && rear is { } r ? new PerAxle<double>(f, r) : null;
    }

    private static Weather? Air(CarSection section) =>
        (section.Number("temperature"), section.Number("pressure"), section.Number("humidity")) is ({ } temperature, { } pressure, { } humidity)
            ? new Weather(temperature, pressure, humidity)
            : null;

    private static ImmutableArray<double> Shims(CarSection section)
    {
        if (section.Values("steps") is not { } steps)
        {
            return [];
        }

        ImmutableArray<double> sorted = [.. steps.Select(s => s.Value.Value).Order()];
        for (int i = 1; i < sorted.Length; i++)
        {
            if (sorted[i] == sorted[i - 1])
            {
                section.Fault("steps", "a thickness is listed twice.", "List each thickness once.");
                return [];
            }
        }

        return sorted;
    }

    private static Logs.LogOptions Log(CarSection section)
    {
        string? time = section.Text("time_column");
        ImmutableArray<string> missing = section.Texts("missing") ?? [];
        char? separator = null;
        if (section.Text("separator", allowBlank: true) is { } text)
        {
            if (text is "tab" or "\t")
            {
                separator = '\t';
            }
            else if (text.Length == 1 && !char.IsLetterOrDigit(text[0]) && text[0] is not ('"' or '.' or '\n' or '\r'))
            {
                separator = text[0];
            }
            else
            {
                section.Fault("separator", $"\"{text}\" is not a separator.", "Write one character such as \",\" or \";\", or \"tab\".");
            }
        }

        return new Logs.LogOptions
        {
            TimeColumn = time,
            MissingTokens = missing,
            Separator = separator,
            DecimalComma = section.Flag("decimal_comma"),
        };
    }
}
