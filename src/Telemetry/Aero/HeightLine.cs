namespace Telemetry.Aero;

/// <summary>Ride height of an axle against its wheel load, as straight pieces between knots that hold equally many windows.</summary>
/// <remarks>
/// As <see cref="SpringLine"/>, but able to follow the bend where a bump rubber is met. A weak pull towards equal slopes of neighbouring pieces keeps
/// thin pieces sober. Beyond the loads that were seen the outer piece goes on.
/// </remarks>
internal sealed class HeightLine
{
    private const int MostKnots = 9;
    private const int FewestWindowsInPiece = 4;

    /// <summary>Weight of one bend against the windows of one piece.</summary>
    private const double Pull = 0.05;

    private readonly double[] knotsN;
    private readonly double[] heightsM;

    private HeightLine(double[] knotsN, double[] heightsM)
    {
        this.knotsN = knotsN;
        this.heightsM = heightsM;
    }

    /// <summary>Fits height against load.</summary>
    /// <returns>Null when the loads are too few or too much alike.</returns>
    public static HeightLine? Of(double[] loadN, double[] heightM)
    {
        int count = Math.Min(MostKnots, (loadN.Length / FewestWindowsInPiece) + 1);
        if (count < 3)
        {
            return null;
        }

        double[] sorted = [.. loadN.Order()];
        double[] knots = [.. Enumerable.Range(0, count).Select(k => sorted[(int)Math.Round((double)k * (sorted.Length - 1) / (count - 1))])];
        for (int k = 1; k < count; k++)
        {
            if (!(knots[k] - knots[k - 1] > 1e-6 * Math.Abs(sorted[^1] - sorted[0])))
            {
                return null;
            }
        }

        int rows = loadN.Length + count - 2;
        double[] design = new double[rows * count];
        double[] response = new double[rows];
        for (int i = 0; i < loadN.Length; i++)
        {
            int piece = Piece(knots, loadN[i]);
            double share = (loadN[i] - knots[piece]) / (knots[piece + 1] - knots[piece]);
            design[(i * count) + piece] = 1 - share;
            design[(i * count) + piece + 1] = share;
            response[i] = heightM[i];
        }

        double weight = Math.Sqrt(Pull * loadN.Length / (count - 1));
        double step = (knots[^1] - knots[0]) / (count - 1);
        for (int k = 1; k < count - 1; k++)
        {
            int row = loadN.Length + k - 1;
            double before = step / (knots[k] - knots[k - 1]);
            double behind = step / (knots[k + 1] - knots[k]);
            design[(row * count) + k - 1] = weight * before;
            design[(row * count) + k] = -weight * (before + behind);
            design[(row * count) + k + 1] = weight * behind;
        }

        double[] heights = new double[count];
        return LeastSquares.TrySolve(design, response, count, heights, new double[rows], refine: false) ? new(knots, heights) : null;
    }

    /// <summary>Height at a wheel load of the axle, m.</summary>
    public double At(double loadN)
    {
        int piece = Piece(knotsN, loadN);
        double share = (loadN - knotsN[piece]) / (knotsN[piece + 1] - knotsN[piece]);
        return heightsM[piece] + (share * (heightsM[piece + 1] - heightsM[piece]));
    }

    private static int Piece(double[] knots, double loadN)
    {
        int piece = 0;
        while (piece < knots.Length - 2 && loadN > knots[piece + 1])
        {
            piece++;
        }

        return piece;
    }
}
