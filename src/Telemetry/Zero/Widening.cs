using MathNet.Numerics.Distributions;

namespace Telemetry.Zero;

/// <summary>From a standard deviation of few degrees of freedom to a standard uncertainty that later stages may treat as a normal one.</summary>
/// <remarks>
/// Later stages put normal intervals round what they are given. A standard deviation from few values is itself uncertain, so it is
/// enlarged by t(0.975, degrees of freedom) / z(0.975): the 95 % interval is then the one of Student's t (GUM, JCGM 100:2008, G.3).
/// </remarks>
internal static class Widening
{
    /// <summary>The factor; infinite without a degree of freedom.</summary>
    public static double Of(double degreesOfFreedom) =>
        degreesOfFreedom > 0 ? StudentT.InvCDF(0, 1, degreesOfFreedom, 0.975) / StandardNormal.Quantile975 : double.PositiveInfinity;

    /// <summary>Two-sided probability of a t as large as this by chance.</summary>
    public static double Chance(double t, double degreesOfFreedom) =>
        double.IsNaN(t) || !(degreesOfFreedom > 0) ? double.NaN : 2 * StudentT.CDF(0, 1, degreesOfFreedom, -Math.Abs(t));
}
