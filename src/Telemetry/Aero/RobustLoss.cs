namespace Telemetry.Aero;

/// <summary>How far a residual is believed.</summary>
public enum RobustLoss
{
    /// <summary>Ordinary least squares: every residual counts in full.</summary>
    None,

    /// <summary>Huber: beyond 1.345 scales a residual pulls no harder than at 1.345 (95 % efficient for normal errors).</summary>
    Huber,

    /// <summary>Tukey's bisquare: beyond 4.685 scales a residual does not pull at all (95 % efficient for normal errors).</summary>
    Bisquare,
}

/// <summary>Pull, weight and slope of a loss, for a residual in units of the scale.</summary>
internal static class RobustLosses
{
    /// <summary>Tuning constants for 95 % efficiency at the normal distribution (Huber and Ronchetti, Robust Statistics, 2nd ed., 2009, chapter 4 and 7).</summary>
    private const double HuberK = 1.345;
    private const double BisquareC = 4.685;

    /// <summary>Median absolute deviation of a normal distribution in units of its standard deviation, as it is used by convention to four digits.</summary>
    private const double NormalMedianAbsolute = 0.6745;

    /// <summary>psi(z) / z.</summary>
    public static double Weight(this RobustLoss loss, double z)
    {
        double size = Math.Abs(z);
        switch (loss)
        {
            case RobustLoss.Huber:
                return size <= HuberK ? 1 : HuberK / size;
            case RobustLoss.Bisquare:
                double share = 1 - Square(Math.Min(1, size / BisquareC));
                return share * share;
            default:
                return 1;
        }
    }

    /// <summary>Derivative of psi.</summary>
    public static double Slope(this RobustLoss loss, double z)
    {
        double size = Math.Abs(z);
        switch (loss)
        {
            case RobustLoss.Huber:
                return size <= HuberK ? 1 : 0;
            case RobustLoss.Bisquare:
                double t = Square(size / BisquareC);
                return t < 1 ? (1 - t) * (1 - (5 * t)) : 0;
            default:
                return 1;
        }
    }

    /// <summary>Median of the absolute residuals over 0.6745: the standard deviation when they are normal.</summary>
    /// <returns>0 when at least half of them are 0; NaN when there are none.</returns>
    public static double Scale(ReadOnlySpan<double> residuals)
    {
        double[] sizes = new double[residuals.Length];
        for (int i = 0; i < sizes.Length; i++)
        {
            sizes[i] = Math.Abs(residuals[i]);
        }

        return OrderStatistics.Median(sizes) / NormalMedianAbsolute;
    }

    private static double Square(double x) => x * x;
}
