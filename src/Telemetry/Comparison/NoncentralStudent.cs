using MathNet.Numerics;
using MathNet.Numerics.Distributions;
using MathNet.Numerics.Integration;

namespace Telemetry.Comparison;

/// <summary>Student's distribution, central and not.</summary>
/// <remarks>
/// The noncentral one by its definition: T = (Z + delta) / S with S^2 chi-squared over its degrees of freedom, so that P(T &lt;= t) is the mean of
/// Phi(t s - delta) over s (Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 2, chapter 31, from memory). Integrated by Gauss and Legendre over
/// the range that holds all but 1e-13 of s; agrees with SciPy to 1e-9 (a test).
/// </remarks>
internal static class NoncentralStudent
{
    private const double NormalAbove = 1e6;
    private const int Panels = 4;
    private const int Order = 24;

    /// <summary>P(T &lt;= t) of the central distribution; the normal one above a million degrees of freedom.</summary>
    public static double Below(double t, double degreesOfFreedom) =>
        degreesOfFreedom > NormalAbove ? Normal.CDF(0, 1, t) : StudentT.CDF(0, 1, degreesOfFreedom, t);

    /// <summary>Quantile of the central distribution.</summary>
    public static double Quantile(double probability, double degreesOfFreedom) =>
        degreesOfFreedom > NormalAbove ? Normal.InvCDF(0, 1, probability) : StudentT.InvCDF(0, 1, degreesOfFreedom, probability);

    /// <summary>P(T &lt;= t) with noncentrality delta.</summary>
    public static double Below(double t, double degreesOfFreedom, double noncentrality)
    {
        if (degreesOfFreedom > NormalAbove)
        {
            return Normal.CDF(0, 1, t - noncentrality);
        }

        double spread = 8 / Math.Sqrt(2 * degreesOfFreedom);
        double low = Math.Max(0, 1 - spread);
        double high = Math.Max(1 + spread, Math.Sqrt(1 + (60 / degreesOfFreedom)));
        double logFactor = ((1 - (degreesOfFreedom / 2)) * Math.Log(2)) + (degreesOfFreedom / 2 * Math.Log(degreesOfFreedom)) - SpecialFunctions.GammaLn(degreesOfFreedom / 2);
        double sum = 0;
        for (int panel = 0; panel < Panels; panel++)
        {
            // Over u = sqrt(s): with few and broken degrees of freedom the density is no polynomial at 0, its square root's is nearer to one.
            double from = Lerp(panel);
            double to = Lerp(panel + 1);
            sum += GaussLegendreRule.Integrate(
                u => u <= 0 ? 0 : 2 * u * Normal.CDF(0, 1, (t * u * u) - noncentrality) * Math.Exp(logFactor + ((degreesOfFreedom - 1) * 2 * Math.Log(u)) - (degreesOfFreedom * u * u * u * u / 2)),
                from,
                to,
                Order);
        }

        return Math.Clamp(sum, 0, 1);

        double Lerp(int panel) => double.Lerp(Math.Sqrt(low), Math.Sqrt(high), (double)panel / Panels);
    }
}
