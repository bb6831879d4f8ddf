using MathNet.Numerics.LinearAlgebra;
using Telemetry.Aero;

namespace Telemetry.Tests.Aero;

/// <summary>Half widths of 95 % intervals of a load by the ways that were weighed against each other; the systematic parts enter each alike.</summary>
internal static class IntervalCandidates
{
    /// <summary>Names, in the order of <see cref="HalfWidths"/>.</summary>
    public static string[] Names { get; } = ["CR2, Satterthwaite", "CR3, G - 1", "wild bootstrap of scores (Webb)", "model, one gust scatter", "model, all gust scatters"];

    /// <summary>Half width of contrast' * coefficients by each.</summary>
    public static double[] HalfWidths(AeroFit fit, Vector<double> contrast, double[] withoutPriors, double[] priors, int seed)
    {
        double others = withoutPriors.Sum(x => x * x);
        double all = others + priors.Sum(x => x * x);
        ClusterCovariance cr2 = fit.Covariance;
        double first = Combined(cr2.Variance(contrast), cr2.DegreesOfFreedom(contrast), all);
        ClusterCovariance cr3 = ClusterCovariance.From(fit.Sums, ClusterCorrection.Cr3, fit.PriorCurvature)!;
        double second = Combined(cr3.Variance(contrast), fit.Sums.Clusters - 1, all);
        double wild = double.Hypot(Wild(fit, contrast, seed) * Math.Sqrt(cr2.Variance(contrast)), 1.96 * Math.Sqrt(all));
        GustCase likely = fit.Gusts.MinBy(g => Math.Abs(g.GustMps - fit.GustMps))!;
        double model = 1.96 * Math.Sqrt(likely.Variance([.. contrast]) + others);
        double marginal = AeroInterval.HalfWidth(fit.Gusts, contrast, others);
        return [first, second, wild, model, marginal];
    }

    /// <summary>Half width by CR3 and G - 1 degrees of freedom, the jackknife over passes.</summary>
    public static double Jackknife(AeroFit fit, Vector<double> contrast, double[] systematic) => Combined(
        ClusterCovariance.From(fit.Sums, ClusterCorrection.Cr3, fit.PriorCurvature)!.Variance(contrast),
        fit.Sums.Clusters - 1,
        systematic.Sum(x => x * x));

    private static double Combined(double ofPasses, double degrees, double others)
    {
        double combined = ofPasses + others;
        return StudentQuantile.Coverage95(Math.Max(1, degrees * combined * combined / (ofPasses * ofPasses))) * Math.Sqrt(combined);
    }

    /// <summary>0.95 quantile of |t*|: scores of whole passes with Webb's six weights (Kline and Santos, J. Econometric Methods 1 (2012); Webb, QED working paper 1315).</summary>
    private static double Wild(AeroFit fit, Vector<double> contrast, int seed)
    {
        const int Draws = 399;
        double[] webb = [-Math.Sqrt(1.5), -1, -Math.Sqrt(0.5), Math.Sqrt(0.5), 1, Math.Sqrt(1.5)];
        Random random = new(seed);
        ClusterSums sums = fit.Sums;
        Vector<double> direction = fit.Covariance.Inverse * contrast;
        double[] t = new double[Draws];
        for (int d = 0; d < Draws; d++)
        {
            double[] weights = [.. sums.Score.Select(_ => webb[random.Next(6)])];
            Vector<double> pull = Vector<double>.Build.Dense(sums.Columns);
            for (int g = 0; g < weights.Length; g++)
            {
                pull += weights[g] * sums.Score[g];
            }

            Vector<double> moved = fit.Covariance.Inverse * pull;
            double meat = 0;
            for (int g = 0; g < weights.Length; g++)
            {
                double own = direction * ((weights[g] * sums.Score[g]) - (sums.Curvature[g] * moved));
                meat += own * own;
            }

            t[d] = Math.Abs(contrast * moved) / Math.Sqrt(meat);
        }

        Array.Sort(t);
        return t[(int)Math.Ceiling(0.95 * (Draws + 1)) - 1] * Cr1ToCr2(fit, contrast, direction);
    }

    // The bootstrap's own standard error is CR0: scale its quantile to the standard error that it multiplies.
    private static double Cr1ToCr2(AeroFit fit, Vector<double> contrast, Vector<double> direction)
    {
        double plain = fit.Sums.Score.Sum(s => (direction * s) * (direction * s));
        return Math.Sqrt(plain / fit.Covariance.Variance(contrast));
    }
}
