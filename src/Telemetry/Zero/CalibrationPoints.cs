using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Zero;

/// <summary>The steps of a calibration record as true pushrod loads and readings in our sign.</summary>
/// <param name="LoadN">True load of each cell at each step, N; default for cells that are not in the record.</param>
/// <param name="ReadingN">Reading of each cell, N; default likewise.</param>
/// <param name="RatioUncertainty">Relative standard uncertainty that the installation ratio puts on each load; 0 on a bench.</param>
internal sealed record CalibrationPoints(PerCorner<double[]?> LoadN, PerCorner<double[]?> ReadingN, PerCorner<double> RatioUncertainty)
{
    public static CalibrationPoints Of(CalibrationRecord record, CarDefinition car)
    {
        bool onScales = record.Corner is null;
        return new(
            PerCorner.Of(corner => Loads(record, car, corner, onScales)),
            PerCorner.Of(corner => record.ReadingN[corner].IsDefault
                ? null
                : record.ReadingN[corner].Select(reading => reading * (car.Mapping(ChannelRoles.PushrodLoad(corner))?.Sign ?? 1)).ToArray()),
            PerCorner.Of(corner => onScales ? car.Suspension[corner.Axle()].InstallationRatio.RelativeUncertainty : 0));
    }

    /// <summary>On a bench the known load itself; on scales the weight under the wheel less the unsprung weight, over the ratio.</summary>
    private static double[]? Loads(CalibrationRecord record, CarDefinition car, Corner corner, bool onScales)
    {
        ImmutableArray<double> applied = record.AppliedN[corner];
        if (applied.IsDefault)
        {
            return null;
        }

        if (!onScales)
        {
            return [.. applied];
        }

        RatioCurve curve = car.Suspension[corner.Axle()].InstallationRatio;
        ImmutableArray<double> travel = record.DamperTravelM[corner];
        double unsprungN = car.Masses.UnsprungKg[corner.Axle()] / 2 * StandardGravity.Mps2;
        double[] loads = new double[applied.Length];
        for (int i = 0; i < loads.Length; i++)
        {
            double at = travel.IsDefault ? 0 : Math.Clamp(travel[i], curve.LowestTravelM, curve.HighestTravelM);
            loads[i] = (applied[i] - unsprungN) / curve.At(at);
        }

        return loads;
    }
}
