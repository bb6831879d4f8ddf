using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;
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

    /// <summary>The values at many damper travels, each the same as of <see cref="Read(double)"/>. Not for constants.</summary>
    /// <param name="travelM">Damper travels, m.</param>
    /// <param name="read">Receives the values; as long, and may be the same memory.</param>
    public void Read(ReadOnlySpan<double> travelM, Span<double> read)
    {
        int i = 0;
        if (Avx.IsSupported)
        {
            // The same arithmetic on four travels at a time; those outside the table look into its ends and are then left out.
            Vector256<double> lowest = Vector256.Create(lowestM), perM = Vector256.Create(cellsPerM), end = Vector256.Create((double)Cells);
            Vector128<int> last = Vector128.Create(Cells - 1);
            for (; i <= travelM.Length - Vector256<double>.Count; i += Vector256<double>.Count)
            {
                Vector256<double> place = (Vector256.Create(travelM[i..]) - lowest) * perM;
                Vector256<double> inside = Vector256.GreaterThanOrEqual(place, Vector256<double>.Zero) & Vector256.LessThanOrEqual(place, end);
                Vector128<int> cell = Vector128.Max(Vector128.Min(Avx.ConvertToVector128Int32WithTruncation(place), last), Vector128<int>.Zero);

                // Both ends of a cell lie side by side and are fetched together: first and third travel, second and fourth.
                Vector256<double> ends13 = Vector256.Create(Ends(cell[0]), Ends(cell[2])), ends24 = Vector256.Create(Ends(cell[1]), Ends(cell[3]));
                Vector256<double> left = Avx.UnpackLow(ends13, ends24), right = Avx.UnpackHigh(ends13, ends24);
                Vector256<double> value = left + ((place - Avx.ConvertToVector256Double(cell)) * (right - left));
                Vector256.ConditionalSelect(inside, value, Vector256.Create(double.NaN)).CopyTo(read[i..]);
            }
        }

        for (; i < travelM.Length; i++)
        {
            read[i] = Read(travelM[i]);
        }
    }

    /// <summary>The values at both ends of a cell, which is one of the table.</summary>
    private Vector128<double> Ends(int cell) => Vector128.LoadUnsafe(ref MemoryMarshal.GetArrayDataReference(values), (nuint)cell);

    private static double At(RatioCurve curve, int k) =>
        k == Cells ? curve.HighestTravelM : curve.LowestTravelM + ((curve.HighestTravelM - curve.LowestTravelM) * k / Cells);
}
