using System.Globalization;
using Telemetry.Car;
using Telemetry.Health;

namespace Telemetry.Zero;

/// <summary>What a person should know about the calibrations that were used.</summary>
internal static class CalibrationFindings
{
    /// <summary>Findings about one record and the cells that it was used for.</summary>
    public static void Add(List<HealthFinding> findings, CarDefinition car, CellCalibration[] cells, DateOnly? day)
    {
        CellCalibration one = cells[0];
        string codes = string.Join(", ", cells.Select(cell => cell.Corner.Code()));
        string channel = cells.Length == 1 ? car.Mapping(ChannelRoles.PushrodLoad(one.Corner))!.Name : "log";
        string made = one.Date is DateOnly date ? $" of {Say(date)}" : "";
        string record = $"calibration {one.RecordNumber}{made} of {codes}";
        if (one.ValidUntil is DateOnly until && day > until)
        {
            findings.Add(new HealthFinding(
                channel,
                "calibration_expired",
                HealthVerdict.Doubtful,
                double.NaN,
                double.NaN,
                $"The {record} held until {Say(until)}; the run is of {Say(day.Value)}, {day.Value.DayNumber - until.DayNumber} days later.",
                "The gain is used as it was; its uncertainty says nothing of what has happened since.",
                "Calibrate the cells again, and add the record to the car file."));
        }
        else if (one.Date is null || one.ValidUntil is null)
        {
            string missing = one is { Date: null, ValidUntil: null } ? "neither a date nor an end of validity" : one.Date is null ? "no date" : "no end of validity";
            findings.Add(new HealthFinding(
                channel,
                "calibration_undated",
                HealthVerdict.Doubtful,
                double.NaN,
                double.NaN,
                $"The {record} has {missing}, so nobody can say whether it still holds.",
                "The gain is used as it is.",
                "Give date and valid_until in the car file's [[calibrations]]."));
        }
        else if (day is null)
        {
            findings.Add(new HealthFinding(
                channel,
                "calibration_unchecked",
                HealthVerdict.Good,
                double.NaN,
                double.NaN,
                $"The log has no date, so it was not checked that the {record} still held (it holds until {Say(one.ValidUntil.Value)}).",
                "None, if the run was made by that day.",
                "Give the day of the run with --date, or log date and time."));
        }
    }

    /// <summary>Records are there, and none can be used.</summary>
    public static HealthFinding NoneUsable(CarDefinition car, Corner corner, string? fitted) => new(
        car.Mapping(ChannelRoles.PushrodLoad(corner))?.Name ?? corner.Code(),
        "calibration_other_cell",
        HealthVerdict.Doubtful,
        double.NaN,
        double.NaN,
        fitted is null
            ? $"The calibrations of {corner.Code()} in the car file do not determine a gain."
            : $"The calibrations of {corner.Code()} in the car file are of another cell than \"{fitted}\", or do not determine a gain.",
        "Its readings are taken as they are, with gain 1 and the channel's gain_uncertainty.",
        "Calibrate the cell that is fitted, or correct its serial number in the car file.");

    /// <summary>A load far beyond the largest calibrated one.</summary>
    public static void AddBeyond(List<HealthFinding> findings, CarDefinition car, CellCalibration cell, double largestN)
    {
        // ISO 376 classifies a force-proving instrument only over the range of its calibration (from memory); a tenth beyond is within the last step of most records.
        const double Allowed = 1.1;
        if (largestN > Allowed * cell.FullScaleN)
        {
            findings.Add(new HealthFinding(
                car.Mapping(ChannelRoles.PushrodLoad(cell.Corner))!.Name,
                "calibration_exceeded",
                HealthVerdict.Good,
                double.NaN,
                double.NaN,
                FormattableString.Invariant($"The loads of {cell.Corner.Code()} reach {largestN / 1000:0.0} kN; its calibration ends at {cell.FullScaleN / 1000:0.0} kN."),
                "Peaks beyond the calibration rest on a gain that is extrapolated.",
                "Calibrate the cell up to the largest load that it sees."));
        }
    }

    private static string Say(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
