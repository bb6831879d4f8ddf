namespace Telemetry.Aero;

/// <summary>Ride height of an axle as a function of its wheel load: springs, bump rubbers and tyres as this run shows them.</summary>
/// <remarks>A cubic through the windows, robust; beyond the loads that were seen it goes on as a straight line.</remarks>
internal sealed class SpringLine
{
    private const int Columns = 4;

    private readonly double[] coefficients;
    private readonly double middleN;
    private readonly double halfN;

    private SpringLine(double[] coefficients, double middleN, double halfN)
    {
        this.coefficients = coefficients;
        this.middleN = middleN;
        this.halfN = halfN;
    }

    /// <summary>Fits height against load.</summary>
    /// <returns>Null when the loads are too few or too much alike.</returns>
    public static SpringLine? Of(double[] loadN, double[] heightMm)
    {
        if (loadN.Length < 2 * Columns)
        {
            return null;
        }

        double low = loadN.Min();
        double high = loadN.Max();
        double middle = (low + high) / 2;
        double half = (high - low) / 2;
        if (!(half > 0))
        {
            return null;
        }

        double[] design = new double[loadN.Length * Columns];
        for (int i = 0; i < loadN.Length; i++)
        {
            double z = (loadN[i] - middle) / half;
            design[i * Columns] = 1;
            design[(i * Columns) + 1] = z;
            design[(i * Columns) + 2] = z * z;
            design[(i * Columns) + 3] = z * z * z;
        }

        RobustFit? fit = RobustRegression.Fit(design, heightMm, Columns, RobustLoss.Huber, 1e-7);
        return fit is null ? null : new(fit.Coefficients, middle, half);
    }

    /// <summary>Height at a wheel load of the axle, mm, and its change with load, mm/N.</summary>
    public (double HeightMm, double PerN) At(double loadN)
    {
        double z = (loadN - middleN) / halfN;
        double inside = Math.Clamp(z, -1, 1);
        double[] c = coefficients;
        double value = c[0] + (inside * (c[1] + (inside * (c[2] + (inside * c[3])))));
        double slope = c[1] + (inside * ((2 * c[2]) + (3 * inside * c[3])));
        return (value + ((z - inside) * slope), slope / halfN);
    }
}
