using static Telemetry.Car.FieldKind;

namespace Telemetry.Car;

/// <summary>The fields of calibrations.</summary>
internal static partial class CarFields
{
    private static IEnumerable<CarField> Calibrations() =>
    [
        new CarField("calibrations[]", Tables, "Calibrations of the load cells; of several for a cell the newest one made before the run is used").Else("gain 1, with gain_uncertainty of the channel"),
        new CarField("calibrations[].date", Date, "The day it was made").Else("said as a finding"),
        new CarField("calibrations[].valid_until", Date, "The last day on which it holds").Else("said as a finding"),
        new CarField("calibrations[].by", Text, "Who made it and with what, in any words").Else("not shown"),
        new CarField("calibrations[].corner", Text, "The cell that carried known loads, on a bench or with weights hung on") { Otherwise = "the car stood on its scales", Choices = ["FL", "FR", "RL", "RR"] },
        new CarField("calibrations[].cell", Text, "Serial number of that cell; the record is used only while the channel has the same serial").Else("taken to be the one fitted"),
        Quantity("calibrations[].applied_uncertainty", Dimension.Share, 0, 0.05, "Standard uncertainty of the known loads as a share of the load").Else("0.1 %"),
        new CarField("calibrations[].applied", Quantities, "Known loads on the cell, compression positive, in the order in which they were applied") { Dimension = Dimension.Force, Or = Dimension.Mass, Low = -200_000, High = 200_000, Otherwise = "needed with corner" },
        new CarField("calibrations[].reading", Quantities, "What the cell read at each, as the log shows it") { Dimension = Dimension.Force, Low = -200_000, High = 200_000, Otherwise = "needed with corner" },
        new CarField("calibrations[].scales_CORNER", Quantities, "Weight under the wheel at each ballast, in the order in which it was put on and taken off") { Dimension = Dimension.Force, Or = Dimension.Mass, Low = 0, High = 30_000, Otherwise = "needed without corner" },
        new CarField("calibrations[].reading_CORNER", Quantities, "What the cell read at each ballast, as the log shows it") { Dimension = Dimension.Force, Low = -200_000, High = 200_000, Otherwise = "needed without corner" },
        new CarField("calibrations[].travel_CORNER", Quantities, "Damper travel from the static position at each ballast") { Dimension = Dimension.Length, Low = -0.3, High = 0.3, Otherwise = "the ratio at the static position is used" },
    ];
}
