using static Telemetry.Car.FieldKind;

namespace Telemetry.Car;

/// <summary>Every field that the car file knows, in the order of the reference table. What is not here is an unknown name.</summary>
/// <remarks>
/// The plausible ranges are wide on purpose: they catch a slipped unit or decimal point on anything with four wheels that races,
/// and are common practice, no source.
/// </remarks>
internal static partial class CarFields
{
    /// <summary>All fields.</summary>
    public static IReadOnlyList<CarField> All { get; } =
        [.. Top(), .. Geometry(), .. Masses(), .. Suspension(), .. SetupAndDay(), .. Channels(), .. Calibrations(), .. Components()];

    private static readonly Dictionary<string, CarField> ByPath = ByPaths();

    private static readonly Dictionary<string, List<string>> NamesBelow = ByParents();

    /// <summary>The field of a path pattern; a list of tables may be named without its brackets.</summary>
    public static CarField At(string pattern) => ByPath.TryGetValue(pattern, out CarField? field) ? field : ByPath[pattern + "[]"];

    /// <summary>The names that are known below a table, in the order of the reference.</summary>
    public static IReadOnlyList<string> Below(string pattern) => NamesBelow.TryGetValue(pattern, out List<string>? names) ? names : [];

    /// <summary>The names below a table that must be given.</summary>
    public static IEnumerable<string> RequiredBelow(string pattern) =>
        All.Where(f => f.IsRequired && Parent(f.Path) == pattern).Select(f => Leaf(f.Path));

    private static Dictionary<string, CarField> ByPaths()
    {
        Dictionary<string, CarField> fields = new(StringComparer.Ordinal);
        foreach (CarField field in All)
        {
            fields.Add(field.Path, field);
        }

        return fields;
    }

    private static Dictionary<string, List<string>> ByParents()
    {
        Dictionary<string, List<string>> names = new(StringComparer.Ordinal);
        foreach (CarField field in All)
        {
            string parent = Parent(field.Path);
            if (!names.TryGetValue(parent, out List<string>? below))
            {
                names.Add(parent, below = []);
            }

            below.Add(Leaf(field.Path));
        }

        return names;
    }

    private static string Parent(string path) => path.LastIndexOf('.') is var dot and >= 0 ? path[..dot] : "";

    private static string Leaf(string path) => path[(path.LastIndexOf('.') + 1)..].Replace("[]", "", StringComparison.Ordinal);

    private static CarField Quantity(string path, Dimension dimension, double low, double high, string meaning) =>
        new(path, FieldKind.Quantity, meaning) { Dimension = dimension, Low = low, High = high };

    private static CarField Bare(string path, double low, double high, string meaning) =>
        new(path, Number, meaning) { Dimension = Dimension.Plain, Low = low, High = high };

    private static CarField Required(this CarField field) => field with { IsRequired = true };

    private static CarField Uncertain(this CarField field) => field with { TakesUncertainty = true };

    private static CarField Else(this CarField field, string otherwise) => field with { Otherwise = otherwise };

    private static IEnumerable<CarField> Top() =>
    [
        new CarField("name", Text, "The car's name, shown on every output").Required(),
        Quantity("lap_length", Dimension.Length, 200, 30_000, "Nominal length of a lap").Else("taken from the log"),
    ];

    private static IEnumerable<CarField> Geometry() =>
    [
        new CarField("geometry", Table, "Lengths of the car").Required(),
        Quantity("geometry.wheelbase", Dimension.Length, 1.5, 4.5, "L, distance between the axles").Required().Uncertain(),
        Quantity("geometry.track_front", Dimension.Length, 0.8, 3, "Distance between the centre planes of the front wheels").Required(),
        Quantity("geometry.track_rear", Dimension.Length, 0.8, 3, "Distance between the centre planes of the rear wheels").Required(),
        Quantity("geometry.sprung_cg_behind_front_axle", Dimension.Length, 0.1, 4.4, "a, distance of the sprung centre of gravity behind the front axle").Required().Uncertain(),
        Quantity("geometry.cg_height", Dimension.Length, 0.05, 1.5, "h, height of the whole car's centre of gravity above ground at static ride height").Required().Uncertain(),
        Quantity("geometry.roll_centre_height_front", Dimension.Length, -0.3, 0.6, "Height of the front roll centre").Else("no geometric load transfer is shown"),
        Quantity("geometry.roll_centre_height_rear", Dimension.Length, -0.3, 0.6, "Height of the rear roll centre").Else("no geometric load transfer is shown"),
        Quantity("geometry.unsprung_cg_height_front", Dimension.Length, 0.1, 0.6, "Height of the front unsprung centre of gravity").Else("no unsprung load transfer is shown"),
        Quantity("geometry.unsprung_cg_height_rear", Dimension.Length, 0.1, 0.6, "Height of the rear unsprung centre of gravity").Else("no unsprung load transfer is shown"),
    ];

    private static IEnumerable<CarField> Masses() =>
    [
        new CarField("mass", Table, "Masses of the car").Required(),
        Quantity("mass.without_fuel", Dimension.Mass, 100, 3500, "The whole car with driver and without fuel").Required().Uncertain(),
        Quantity("mass.unsprung_front", Dimension.Mass, 5, 600, "Unsprung mass of the front axle, both wheels together").Required().Uncertain(),
        Quantity("mass.unsprung_rear", Dimension.Mass, 5, 600, "Unsprung mass of the rear axle, both wheels together").Required().Uncertain(),
        Quantity("mass.fuel_at_start", Dimension.Mass, 0, 250, "Fuel on board at the first sample of the log").Required().Uncertain(),
        Quantity("mass.fuel_per_lap", Dimension.Mass, 0, 20, "Fuel burned on each lap").Else("the logged fuel mass, else none burned"),
    ];

    private static IEnumerable<CarField> Suspension() =>
    [
        new CarField("suspension", Table, "What lies between wheels and chassis").Required(),
        new CarField("suspension.AXLE", Table, "One axle, front or rear").Required(),
        new CarField("suspension.AXLE.installation_ratio", Ratio, "i, pushrod axial travel per wheel vertical travel: a number, or a table against damper travel") { Dimension = Dimension.Plain, Low = 0.1, High = 5, IsRequired = true, TakesUncertainty = true },
        .. Curve("suspension.AXLE.installation_ratio"),
        new CarField("suspension.AXLE.damper_ratio", Ratio, "d, damper travel per wheel travel: a number, or a table against damper travel") { Dimension = Dimension.Plain, Low = 0.1, High = 5, IsRequired = true, TakesUncertainty = true },
        .. Curve("suspension.AXLE.damper_ratio"),
        Quantity("suspension.AXLE.linkage_share_braking", Dimension.Share, 0, 1, "Share of the longitudinal load transfer that the links carry under braking (anti-dive, anti-lift)").Else("0"),
        Quantity("suspension.AXLE.linkage_share_driving", Dimension.Share, 0, 1, "The same under driving (anti-squat)").Else("0"),
        Quantity("suspension.AXLE.spring_rate", Dimension.Stiffness, 1e3, 5e6, "Corner spring rate at the damper").Else("no stiffness is compared"),
        Quantity("suspension.AXLE.anti_roll_bar_rate", Dimension.Stiffness, 0, 5e6, "Anti-roll bar as rate at the wheel, N per metre of one wheel's travel in pure roll").Else("no stiffness is compared"),
        Quantity("suspension.AXLE.tyre_rate", Dimension.Stiffness, 5e4, 2e6, "Vertical stiffness of one tyre").Else("no tyre deflection is shown"),
        new CarField("suspension.AXLE.third_element", Table, "Spring and bump rubber that work in heave only").Else("the axle is taken to have none"),
        Quantity("suspension.AXLE.third_element.spring_rate", Dimension.Stiffness, 0, 5e6, "Rate per metre of the mean damper travel of the two sides; 0 when only a rubber is fitted").Required(),
        Quantity("suspension.AXLE.third_element.spring_gap", Dimension.Length, -0.1, 0.2, "Mean damper travel from static before the spring engages; negative means preloaded").Else("0 mm"),
        Quantity("suspension.AXLE.third_element.rubber_gap", Dimension.Length, -0.05, 0.2, "Mean damper travel from static before the bump rubber is touched").Else("no rubber"),
        new CarField("suspension.AXLE.third_element.rubber", Table, "Force of the bump rubber against its compression").Else("no rubber"),
        new CarField("suspension.AXLE.third_element.rubber.compression", Quantities, "Compressions, rising from 0") { Dimension = Dimension.Length, Low = 0, High = 0.2, IsRequired = true },
        new CarField("suspension.AXLE.third_element.rubber.force", Quantities, "Force at each compression, rising from 0") { Dimension = Dimension.Force, Low = 0, High = 1e6, IsRequired = true },
    ];

    private static IEnumerable<CarField> Curve(string path) =>
    [
        new CarField(path + ".damper_travel", Quantities, "Damper travel from static, rising") { Dimension = Dimension.Length, Low = -0.3, High = 0.3, Otherwise = "ratio is one constant" },
        new CarField(path + ".ratio", NumberOrNumbers, "The ratio at each damper travel") { Dimension = Dimension.Plain, Low = 0.1, High = 5, IsRequired = true },
        Quantity(path + ".uncertainty", Dimension.Share, 0, 0.2, "Standard uncertainty as a share of the ratio").Else("0"),
    ];

    private static IEnumerable<CarField> SetupAndDay() =>
    [
        new CarField("setup", Table, "The setup sheet: the car at standstill on the ground").Else("static loads from mass and centre of gravity"),
        new CarField("setup.corner_weight_CORNER", FieldKind.Quantity, "Weight of the corner on the scales, driver in, fuel as stated; N, or kg as scales show it (times 9.80665 m/s2)") { Dimension = Dimension.Force, Or = Dimension.Mass, Low = 200, High = 15_000, Otherwise = "static loads from mass and centre of gravity, both sides alike" },
        new CarField("setup.corner_weight_uncertainty", FieldKind.Quantity, "Standard uncertainty of one corner's weight (scales and friction of the suspension)") { Dimension = Dimension.Force, Or = Dimension.Mass, Low = 0, High = 500, Otherwise = "0 N" },
        Quantity("setup.fuel_on_scales", Dimension.Mass, 0, 250, "Fuel on board when the car was weighed").Else("fuel_at_start"),
        Quantity("setup.ride_height_front", Dimension.Length, 0, 0.5, "Static front ride height on the centre line").Else("sensors only"),
        Quantity("setup.ride_height_rear", Dimension.Length, 0, 0.5, "Static rear ride height on the centre line").Else("sensors only"),
        new CarField("weather", Table, "Air at the circuit, for a log that has no weather").Else("standard atmosphere, flagged"),
        Quantity("weather.temperature", Dimension.Temperature, 230, 330, "Air temperature").Required(),
        Quantity("weather.pressure", Dimension.Pressure, 50_000, 110_000, "Static air pressure at the circuit, not reduced to sea level").Required(),
        Quantity("weather.humidity", Dimension.Share, 0, 1, "Relative humidity").Required(),
        new CarField("shims", Table, "Shims that the workshop holds").Else("no shim stack is given"),
        new CarField("shims.steps", Quantities, "Thicknesses of the shims") { Dimension = Dimension.Length, Low = 1e-6, High = 0.02, IsRequired = true },
        new CarField("log", Table, "How the log is to be read").Else("found from the log"),
        new CarField("log.time_column", Text, "Name of the time column").Else("the first column named time"),
        new CarField("log.missing", Texts, "Texts that stand for 'no value' besides the blank").Else("none"),
        new CarField("log.separator", Text, "The field separator, one character; \"tab\" for a tab").Else("found from the header"),
        new CarField("log.decimal_comma", Flag, "True when numbers are written with a comma before the decimals").Else("found from the log"),
    ];
}
