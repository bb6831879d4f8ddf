using static Telemetry.Car.FieldKind;

namespace Telemetry.Car;

/// <summary>The fields of channels and components.</summary>
internal static partial class CarFields
{
    private static IEnumerable<CarField> Channels() =>
    [
        new CarField("channels", Table, "Which logged channel plays which role").Required(),
        new CarField("channels.ROLE", Channel, "The channel's name in the log, or a table with the fields below; the four pushrod loads are required").Else("the answers that need it are withheld"),
        new CarField("channels.ROLE.name", Text, "The channel's name in the log, exact").Required(),
        new CarField("channels.ROLE.unit", Text, "Unit of the logged numbers where the log gives none, or none that is known; one that contradicts the log is refused").Else("the log's own"),
        Bare("channels.ROLE.sign", -1, 1, "1, or -1 when the logger counts the other way").Else("1"),
        new CarField("channels.ROLE.range", Quantities, "Lower and upper end of the sensor's range, after the sign").Else("clipping is found from the data only"),
        new CarField("channels.ROLE.resolution", FieldKind.Quantity, "One step of the recorded number").Else("found from the data"),
        Quantity("channels.ROLE.gain_uncertainty", Dimension.Share, 0, 0.2, "Standard uncertainty of the gain as a share of the reading").Else("0"),
        new CarField("channels.ROLE.serial", Text, "Serial number of the sensor: a zero or a calibration of another cell is then not taken for this one's").Else("the channel's name stands for it"),
        Quantity("channels.ROLE.logger_cut_off", Dimension.Frequency, 0.01, 1e6, "Cut-off of a low-pass already applied in the sensor or logger").Else("none is known"),
        new CarField("channels.ROLE.threshold", FieldKind.Quantity, "For brake: above this value the driver brakes").Else("5 % of the channel's 99th percentile"),
        new CarField("channels.ROLE.from_static", Flag, "For damper travel: true when the logged number is travel from the static position").Else("false: the standstill reading is its zero"),
    ];

    private static IEnumerable<CarField> Components() =>
    [
        new CarField("components[]", Tables, "Parts with a serial number, whose limits and life are followed").Else("no limits and no life"),
        new CarField("components[].id", Text, "Serial number, the key of the life ledger").Required(),
        new CarField("components[].description", Text, "What the part is").Required(),
        new CarField("components[].part_number", Text, "Part number of the drawing").Else("not shown"),
        new CarField("components[].corner", Text, "The corner it is fitted to: FL, FR, RL or RR") { Otherwise = "belongs to no single corner", Choices = ["FL", "FR", "RL", "RR"] },
        new CarField("components[].load[]", Tables, "The load on the part as a sum of factor times source").Else("its corner's pushrod load"),
        new CarField("components[].load[].source", Text, "The signal") { IsRequired = true, Choices = ["pushrod", "wheel_load", "damper_travel", "constant"] },
        new CarField("components[].load[].corner", Text, "The corner it is taken at") { Otherwise = "the part's corner", Choices = ["FL", "FR", "RL", "RR"] },
        Bare("components[].load[].factor", -20, 20, "N on the part per N of the signal; negative where it pulls").Else("1"),
        new CarField("components[].load[].ratio", Ratio, "A further factor that changes with the corner's damper travel: a number, or a table") { Dimension = Dimension.Plain, Low = 0.01, High = 20, Otherwise = "1" },
        .. Curve("components[].load[].ratio"),
        Quantity("components[].load[].rate", Dimension.Stiffness, 1, 1e8, "For damper_travel: force on the part per travel; the sign is the factor's").Else("needed by damper_travel"),
        Quantity("components[].load[].force", Dimension.Force, 0, 1e6, "For constant: the load that is always there; the sign is the factor's").Else("needed by constant"),
        Quantity("components[].compression_limit", Dimension.Force, 10, 1e6, "Largest allowed compression, above 0").Else("no margin in compression"),
        Quantity("components[].tension_limit", Dimension.Force, 10, 1e6, "Largest allowed tension, as a positive number").Else("no margin in tension"),
        Quantity("components[].inspection_threshold", Dimension.Force, 10, 1e6, "Load in either direction above which the part is inspected before it runs again").Else("no inspection is asked for"),
        Bare("components[].limit_factor", 1, 5, "Factor on every load before it is compared with a limit").Else("1"),
        new CarField("components[].strut", Table, "Dimensions for the column allowable").Else("the compression limit is not checked"),
        Quantity("components[].strut.length", Dimension.Length, 0.02, 3, "Length between the joints").Required(),
        Quantity("components[].strut.outer_diameter", Dimension.Length, 0.002, 0.3, "Outside diameter of the tube").Required(),
        Quantity("components[].strut.wall", Dimension.Length, 0.0001, 0.15, "Wall thickness; half the diameter for a solid rod").Required(),
        Quantity("components[].strut.youngs_modulus", Dimension.Pressure, 1e9, 1e12, "Elastic modulus").Required(),
        Quantity("components[].strut.yield_strength", Dimension.Pressure, 1e7, 5e9, "Compressive yield strength").Required(),
        Bare("components[].strut.end_fixity", 0.5, 2, "K, effective length over length; 1 for ball joints at both ends").Else("1"),
        Quantity("components[].strut.crookedness", Dimension.Length, 0, 0.05, "Largest distance of its axis from the straight line between the joints").Else("a thousandth of the length is used for the caution"),
        new CarField("components[].fatigue", Table, "Fatigue strength").Else("its life is not followed"),
        new CarField("components[].fatigue.line", Table, "The S-N line, in load range or stress range").Required(),
        new CarField("components[].fatigue.line.cycles", NumberOrNumbers, "Cycles to failure at the point, or at each point of a table, rising") { Dimension = Dimension.Plain, Low = 1, High = 1e12, Otherwise = "needed unless detail_category is given" },
        new CarField("components[].fatigue.line.range", QuantityOrQuantities, "Load range (force) or stress range at the point, or at each point, falling") { Dimension = Dimension.Force, Or = Dimension.Pressure, Low = 1, High = 1e10, Otherwise = "needed unless detail_category is given" },
        Bare("components[].fatigue.line.slope", 1, 30, "m of a line with one slope: N = N1 (S1/S)^m").Else("slope_above and slope_below"),
        new CarField("components[].fatigue.line.small_cycles", Text, "Miner rule for ranges below the last point, in place of slope_below: original (no damage), elementary (the slope m above it goes on), modified (slope 2 m - 1)") { Otherwise = "slope_below, or elementary", Choices = ["original", "elementary", "modified"] },
        Bare("components[].fatigue.line.slope_above", 1, 30, "m for ranges above the first point").Else("a table's first piece goes on"),
        Bare("components[].fatigue.line.slope_below", 1, 30, "m for ranges below the last point").Else("a table's last piece goes on"),
        new CarField("components[].fatigue.line.cut_off", FieldKind.Quantity, "Ranges at or below this do no damage") { Dimension = Dimension.Force, Or = Dimension.Pressure, Low = 1, High = 1e10, Otherwise = "every range counts" },
        new CarField("components[].fatigue.line.detail_category", FieldKind.Quantity, "Detail category of EN 1993-1-9: stress range in MPa at 2e6 cycles; a bare number is MPa") { Dimension = Dimension.Pressure, Low = 10e6, High = 400e6, Otherwise = "the points above" },
        new CarField("components[].fatigue.stress_per_load", FieldKind.Quantity, "Stress per load on the part, as a positive number where compression of the part presses the spot, negative where it pulls it; needed when the line is in stress, not allowed when it is in load") { Dimension = Dimension.StressPerLoad, Low = -1e9, High = 1e9, Otherwise = "the line is in load" },
        new CarField("components[].fatigue.mean_stress", Text, "Mean-stress rule") { Otherwise = "none", Choices = ["none", "goodman", "gerber", "smith_watson_topper", "walker"] },
        new CarField("components[].fatigue.ultimate_strength", FieldKind.Quantity, "Ultimate strength for Goodman and Gerber, in the line's dimension") { Dimension = Dimension.Force, Or = Dimension.Pressure, Low = 10, High = 1e10, Otherwise = "needed by goodman and gerber" },
        Bare("components[].fatigue.walker_gamma", 0, 1, "Walker's exponent").Else("needed by walker"),
        Bare("components[].fatigue.load_factor", 1, 10, "Factor on every range before the line is entered").Else("1"),
        Bare("components[].fatigue.life_scatter", 0.01, 2, "Standard deviation of log10 of the life at one range, the life taken as lognormal; asks for survival").Else("no scatter by probability"),
        Quantity("components[].fatigue.survival", Dimension.Share, 0.5, 0.9999999, "Share of parts that must outlast the line used: the line is shifted to shorter lives").Else("needed by life_scatter"),
        Quantity("components[].fatigue.line_survival", Dimension.Share, 0.5, 0.9999999, "Share of parts that outlast the line as it is given; not above survival").Else("0.5, a line through the middle of the tests"),
        Bare("components[].fatigue.critical_damage", 0.01, 2, "Miner sum at which the part's life is used up").Else("1"),
        Quantity("components[].fatigue.smallest_range", Dimension.Force, 0, 1e6, "Cycles with a smaller load range are not counted").Else("all are counted"),
    ];
}
