using MathNet.Numerics.Distributions;

namespace Telemetry.Aero;

/// <summary>Quantiles of Student's distribution.</summary>
internal static class StudentQuantile
{
    /// <summary>Degrees of freedom above which the normal quantile is used; there it is off by 1e-7.</summary>
    private const double NormalAbove = 1e7;

    /// <summary>Degrees of freedom below which the series is no good place to start from.</summary>
    private const double SeriesFrom = 3;

    /// <summary>Relative step of Newton at which the search ends: what is left after it is a few of its cubes, less than a unit of the last place.</summary>
    private const double Enough = 1e-6;

    /// <summary>t such that a share of the distribution lies below it.</summary>
    /// <param name="probability">Between 0 and 1.</param>
    /// <param name="degreesOfFreedom">Above 0; need not be whole.</param>
    public static double At(double probability, double degreesOfFreedom) =>
        degreesOfFreedom > NormalAbove
            ? Normal.InvCDF(0, 1, probability)
            : degreesOfFreedom < SeriesFrom
                ? StudentT.InvCDF(0, 1, degreesOfFreedom, probability)
                : Search(probability, degreesOfFreedom);

    /// <summary>
    /// From the series of Abramowitz and Stegun, 26.7.5, by Halley's steps, which cube what is wrong (both from memory): one or two evaluations of the distribution
    /// where a search between bounds takes thirty. The density falls with slope -(n + 1) t / (n + t^2) of itself.
    /// </summary>
    private static double Search(double probability, double degreesOfFreedom)
    {
        double z = Normal.InvCDF(0, 1, probability);
        double n = degreesOfFreedom;
        double z2 = z * z;
        double t = z * (1 + ((z2 + 1) / (4 * n)) + (((((5 * z2) + 16) * z2) + 3) / (96 * n * n)) + (((((((3 * z2) + 19) * z2) + 17) * z2) - 15) / (384 * n * n * n)));
        for (int round = 0; round < 20; round++)
        {
            double step = (StudentT.CDF(0, 1, n, t) - probability) / StudentT.PDF(0, 1, n, t);
            double bend = -(n + 1) * t / (n + (t * t));
            t -= step / (1 - (step * bend / 2));
            if (Math.Abs(step) <= Enough * Math.Abs(t))
            {
                break;
            }
        }

        return t;
    }

    /// <summary>Half width of the 95 % interval in standard uncertainties.</summary>
    public static double Coverage95(double degreesOfFreedom) => At(0.975, degreesOfFreedom);
}
