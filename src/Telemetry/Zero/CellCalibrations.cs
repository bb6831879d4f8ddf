using System.Collections.Immutable;
using MathNet.Numerics.LinearAlgebra;
using Telemetry.Car;
using Telemetry.Health;

namespace Telemetry.Zero;

/// <summary>The calibrations that hold for a run, and what a person should know about them.</summary>
/// <param name="Cells">The calibration of each cell; null where the car file has none that can be used.</param>
/// <param name="LoadPerReading">Load of the corner (first) per reading of the corner (second), N/N; null when no cell is calibrated.</param>
/// <param name="Findings">Out of date, without a date, of another cell.</param>
public sealed record CalibrationSet(
    PerCorner<CellCalibration?> Cells,
    PerCorner<PerCorner<double>>? LoadPerReading,
    ImmutableArray<HealthFinding> Findings);

/// <summary>Chooses and fits the calibrations of a car file.</summary>
public static class CellCalibrations
{
    /// <summary>The calibration of each cell for a day.</summary>
    /// <param name="car">The car with its records.</param>
    /// <param name="day">The day of the run; null when neither the log nor a person says it.</param>
    /// <returns>For each cell the newest record that was made on or before the day (the newest of all without a day; records without a date come last);
    /// a record of another serial number is passed over. Without a usable record the gain is 1.</returns>
    public static CalibrationSet Of(CarDefinition car, DateOnly? day)
    {
        ArgumentNullException.ThrowIfNull(car);
        List<HealthFinding> findings = [];
        PerCorner<CellCalibration?> cells = PerCorner.Of(corner => Choose(car, corner, day, findings));
        foreach (IGrouping<int, CellCalibration> record in cells.Each().Where(cell => cell.Value is not null).Select(cell => cell.Value!).GroupBy(cell => cell.RecordNumber))
        {
            CalibrationFindings.Add(findings, car, [.. record], day);
        }

        return new(cells, cells.Each().All(cell => cell.Value is null) ? null : Inverse(cells), [.. findings]);
    }

    private static CellCalibration? Choose(CarDefinition car, Corner corner, DateOnly? day, List<HealthFinding> findings)
    {
        string? fitted = car.Mapping(ChannelRoles.PushrodLoad(corner))?.Serial;
        CalibrationRecord[] candidates = [.. car.Calibrations
            .Where(record => !record.ReadingN[corner].IsDefault && !(record.Date > day))
            .OrderByDescending(record => record.Date ?? DateOnly.MinValue)
            .ThenByDescending(record => record.Number)];
        foreach (CalibrationRecord record in candidates)
        {
            if (record.CellSerial is string other && fitted is not null && other != fitted)
            {
                continue;
            }

            if (CalibrationFit.Of(record, car, corner) is { } calibration)
            {
                return calibration;
            }
        }

        if (candidates.Length > 0)
        {
            findings.Add(CalibrationFindings.NoneUsable(car, corner, fitted));
        }

        return null;
    }

    /// <summary>Readings as loads: the inverse of gains and cross-talk together.</summary>
    private static PerCorner<PerCorner<double>> Inverse(PerCorner<CellCalibration?> cells)
    {
        Matrix<double> reading = Matrix<double>.Build.DenseIdentity(4);
        foreach ((Corner corner, CellCalibration? cell) in cells.Each())
        {
            if (cell is null)
            {
                continue;
            }

            foreach (Corner other in Corners.All)
            {
                reading[(int)corner, (int)other] = other == corner ? cell.Gain : cell.CrossTalk[other] ?? 0;
            }
        }

        Matrix<double> load = reading.Inverse();
        return PerCorner.Of(corner => PerCorner.Of(other => load[(int)corner, (int)other]));
    }
}
