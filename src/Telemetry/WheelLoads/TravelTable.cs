using Telemetry.Car;

namespace Telemetry.WheelLoads;

/// <summary>A ratio curve and the wheel travel that follows from it, read quickly for every sample.</summary>
/// <remarks>
/// The curve is sampled at 4097 even points and read by straight lines: over 105 mm of travel a cell is 26 micrometres wide, and with a
/// curvature of 100 per square metre the ratio is off by less than 1e-8 (h^2 * f'' / 8); a test holds it to that against the curve itself.
/// </remarks>
internal sealed class TravelTable
{
    private const int Cells = 4096;

    private readonly double[] values;
    private readonly double lowestM;
    private readonly double cellsPerM;
    private readonly double constant;

    private TravelTable(double[] values, double lowestM, double highestM, double constant)
    {
        this.values = values;
        this.lowestM = lowestM;
        cellsPerM = values.Length == 0 ? 0 : Cells / (highestM - lowestM);
        this.constant = constant;
    }

    /// <summary>The installation ratio against damper travel.</summary>
    public static TravelTable OfRatio(RatioCurve curve)
    {
        if (curve.IsConstant)
        {
            return new([], 0, 0, curve.Points[0].Ratio);
        }

        double[] values = new double[Cells + 1];
        for (int k = 0; k <= Cells; k++)
        {
            values[k] = curve.At(At(curve, k));
        }

        return new(values, curve.LowestTravelM, curve.HighestTravelM, double.NaN);
    }

    /// <summary>Wheel travel against damper travel: the integral of dx / d(x) from the static position, by Simpson's rule within each cell. For a constant ratio, the factor 1/d.</summary>
    public static TravelTable OfWheelTravel(RatioCurve curve)
    {
        if (curve.IsConstant)
        {
            return new([], 0, 0, 1 / curve.Points[0].Ratio);
        }

        double width = (curve.HighestTravelM - curve.LowestTravelM) / Cells;
        double[] values = new double[Cells + 1];
        for (int k = 1; k <= Cells; k++)
        {
            double left = At(curve, k - 1);
            double right = At(curve, k);
            values[k] = values[k - 1] + (width / 6 * ((1 / curve.At(left)) + (4 / curve.At((left + right) / 2)) + (1 / curve.At(right))));
        }

        TravelTable table = new(values, curve.LowestTravelM, curve.HighestTravelM, double.NaN);
        double atStatic = table.Read(0);
        for (int k = 0; k <= Cells; k++)
        {
            values[k] -= atStatic;
        }

        return table;
    }

    /// <summary>True when the curve is a constant.</summary>
    public bool IsConstant => values.Length == 0;

    /// <summary>The constant, or NaN for a table.</summary>
    public double Constant => constant;

    /// <summary>The value at a damper travel, m; NaN outside the table and for NaN. Not for constants.</summary>
    public double Read(double travelM)
    {
        double place = (travelM - lowestM) * cellsPerM;
        if (!(place >= 0 && place <= Cells))
        {
            return double.NaN;
        }

        int cell = Math.Min((int)place, Cells - 1);
        double left = values[cell];
        return left + ((place - cell) * (values[cell + 1] - left));
    }

    private static double At(RatioCurve curve, int k) =>
        k == Cells ? curve.HighestTravelM : curve.LowestTravelM + ((curve.HighestTravelM - curve.LowestTravelM) * k / Cells);
}
