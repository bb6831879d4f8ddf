using MathNet.Numerics.Distributions;

namespace Telemetry.Aero;

/// <summary>Quantiles of Student's distribution.</summary>
internal static class StudentQuantile
{
    /// <summary>Degrees of freedom above which the normal quantile is used; there it is off by 1e-7.</summary>
    private const double NormalAbove = 1e7;

    /// <summary>t such that a share of the distribution lies below it.</summary>
    /// <param name="probability">Between 0 and 1.</param>
    /// <param name="degreesOfFreedom">Above 0; need not be whole.</param>
    public static double At(double probability, double degreesOfFreedom) =>
        degreesOfFreedom > NormalAbove
            ? Normal.InvCDF(0, 1, probability)
            : StudentT.InvCDF(0, 1, degreesOfFreedom, probability);

    /// <summary>Half width of the 95 % interval in standard uncertainties.</summary>
    public static double Coverage95(double degreesOfFreedom) => At(0.975, degreesOfFreedom);
}
