using Telemetry.Car;

namespace Telemetry.Zero;

/// <summary>Gain and cross-talk of one cell from the steps of a calibration.</summary>
/// <remarks>
/// Model: reading = zero + gain * own load + sum of cross-talk * other load, by least squares over all steps, loading and unloading alike. As many other cells are taken
/// in as the loads tell apart: all three, else the other cell of the axle, else none. A cross-talk counts as told when it is known to <see cref="WorstCrossTalk"/>.
/// </remarks>
internal static class CalibrationFit
{
    /// <summary>Largest standard uncertainty of a cross-talk that is still of use, N/N: half a percent of the other cell's load is what a gain is off without any calibration; common practice, no source.</summary>
    public const double WorstCrossTalk = 0.005;

    /// <summary>Degrees of freedom that must be left.</summary>
    private const int FewestLeft = 2;

    /// <summary>The calibration of a cell, or null when the record does not determine a gain.</summary>
    public static CellCalibration? Of(CalibrationRecord record, CarDefinition car, Corner corner)
    {
        CalibrationPoints points = CalibrationPoints.Of(record, car);
        if (points.LoadN[corner] is not { } load || points.ReadingN[corner] is not { } reading)
        {
            return null;
        }

        Corner[] others = [.. Corners.All.Where(c => c != corner && points.LoadN[c] is not null)];
        Corner[] partner = [.. others.Where(c => c.Axle() == corner.Axle())];
        (LinearFit? fit, Corner[] with) = (null, []);
        foreach (Corner[] candidate in new[] { others, partner, [] })
        {
            if (Fit(load, reading, candidate, points) is { } found && IsTold(found, candidate, reading.Length))
            {
                (fit, with) = (found, candidate);
                break;
            }
        }

        if (fit is null || !(Math.Abs(fit.Coefficients[1]) > 0))
        {
            return null;
        }

        double gain = fit.Coefficients[1];
        double fullScale = load.Max(Math.Abs);
        double[] alone = [.. reading];
        for (int k = 0; k < with.Length; k++)
        {
            double[] other = points.LoadN[with[k]]!;
            for (int i = 0; i < alone.Length; i++)
            {
                alone[i] -= fit.Coefficients[2 + k] * other[i];
            }
        }

        DataSheetTerms terms = DataSheetTerms.Of(load, alone, gain, fullScale);
        double widening = Widening.Of(fit.DegreesOfFreedom);
        double scatter = widening * fit.StandardError(1) / gain;

        // A departure known only by its largest size is a rectangle (GUM 4.3.7). It tilts the line by its share of the loads' span, not of the largest load. The whole
        // hysteresis counts: while another wheel is loaded a cell stays on the branch where its own load left it, all its steps at rest on one side.
        double perSpan = fullScale / (load.Max() - load.Min());
        double linearity = perSpan * terms.Linearity / Math.Sqrt(3);
        double hysteresis = perSpan * (terms.Hysteresis ?? 0) / Math.Sqrt(3);
        double ratio = points.RatioUncertainty[corner];
        double known = record.AppliedUncertaintyShare;
        double uncertainty = Math.Sqrt((scatter * scatter) + (known * known) + (linearity * linearity) + (hysteresis * hysteresis) + (ratio * ratio));
        return new CellCalibration
        {
            Corner = corner,
            RecordNumber = record.Number,
            OnScales = record.Corner is null,
            Date = record.Date,
            ValidUntil = record.ValidUntil,
            By = record.By,
            Gain = gain,
            GainUncertainty = uncertainty,
            CrossTalk = PerCorner.Of(c => c == corner ? 0 : Array.IndexOf(with, c) is int k and >= 0 ? fit.Coefficients[2 + k] : (double?)null),
            CrossTalkUncertainty = PerCorner.Of(c => Array.IndexOf(with, c) is int k and >= 0 ? widening * fit.StandardError(2 + k) : (double?)null),
            ZeroN = fit.Coefficients[0],
            FullScaleN = fullScale,
            Steps = load.Length,
            ResidualN = fit.ResidualDeviation,
            LinearityPct = 100 * terms.Linearity,
            HysteresisPct = 100 * terms.Hysteresis,
            RepeatabilityPct = 100 * terms.Repeatability,
            ZeroReturnPct = 100 * terms.ZeroReturn,
            LowerLimitFactorN = 2.4 * fit.ResidualDeviation / Math.Abs(gain),
            Note = NoteOf(record, with, others),
        };
    }

    private static LinearFit? Fit(double[] load, double[] reading, Corner[] with, CalibrationPoints points) =>
        LinearFit.Of([[.. load.Select(_ => 1.0)], load, .. with.Select(c => points.LoadN[c]!)], reading);

    private static bool IsTold(LinearFit fit, Corner[] with, int steps)
    {
        if (with.Length == 0)
        {
            return fit.DegreesOfFreedom > 0;
        }

        if (steps < 2 + with.Length + FewestLeft)
        {
            return false;
        }

        double widening = Widening.Of(fit.DegreesOfFreedom);
        return Enumerable.Range(2, with.Length).All(k => widening * fit.StandardError(k) <= WorstCrossTalk);
    }

    private static string? NoteOf(CalibrationRecord record, Corner[] with, Corner[] others) =>
        record.Corner is not null ? "One cell was loaded alone, so cross-talk from the others is not determined and is taken as 0."
        : with.Length == others.Length ? null
        : with.Length > 0 ? $"The loads of the two axles did not move apart enough: cross-talk is determined from {with[0].Code()} only, the rest is taken as 0."
        : "The loads of the wheels did not move apart enough: cross-talk is not determined and is taken as 0. Put ballast on one corner at a time.";
}
