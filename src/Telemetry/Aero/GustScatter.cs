using System.Collections.Immutable;

namespace Telemetry.Aero;

/// <summary>What one pass adds to the likelihood: sums over its windows of the scaled design x, the derivative with head wind z and the residual r.</summary>
/// <param name="columns">Number of coefficients.</param>
internal sealed class PassSums(int columns)
{
    /// <summary>Sum of x x', row after row.</summary>
    public double[] Design { get; } = new double[columns * columns];

    /// <summary>Sum of x z.</summary>
    public double[] DesignWind { get; } = new double[columns];

    /// <summary>Sum of x r.</summary>
    public double[] DesignResidual { get; } = new double[columns];

    /// <summary>Sum of z z.</summary>
    public double Wind { get; private set; }

    /// <summary>Sum of z r.</summary>
    public double WindResidual { get; private set; }

    /// <summary>Sum of r r.</summary>
    public double Residual { get; private set; }

    /// <summary>Adds a row.</summary>
    public void Add(ReadOnlySpan<double> x, double z, double r)
    {
        for (int j = 0; j < columns; j++)
        {
            DesignWind[j] += x[j] * z;
            DesignResidual[j] += x[j] * r;
            for (int k = 0; k <= j; k++)
            {
                Design[(j * columns) + k] += x[j] * x[k];
            }
        }

        Wind += z * z;
        WindResidual += z * r;
        Residual += r * r;
    }
}

/// <summary>One value that the scatter of head wind from pass to pass may have, how likely it is, and the fit that goes with it.</summary>
/// <param name="GustMps">Standard deviation of the head wind from pass to pass, m/s.</param>
/// <param name="Weight">Probability; all sum to 1.</param>
/// <param name="Moved">Coefficients of the fit with this scatter, less those about which the sums were formed.</param>
/// <param name="Root">Lower Cholesky factor of the information (data and priors), row after row.</param>
internal sealed record GustCase(double GustMps, double Weight, double[] Moved, double[] Root)
{
    /// <summary>Variance of contrast' * coefficients.</summary>
    public double Variance(ReadOnlySpan<double> contrast)
    {
        double[] solved = contrast.ToArray();
        SmallCholesky.Forward(Root, solved);
        double sum = 0;
        foreach (double value in solved)
        {
            sum += value * value;
        }

        return sum;
    }
}

/// <summary>What is believed of the scatter tau of the head wind from pass to pass: two half-Cauchy distributions, one for a breeze and one for air that is as good as still.</summary>
/// <param name="ScaleMps">Median of tau in a breeze, m/s.</param>
/// <param name="CalmShare">Share of runs in air that is as good as still, 0 to 1.</param>
/// <param name="CalmScaleMps">Median of tau in those, m/s.</param>
internal readonly record struct GustPrior(double ScaleMps, double CalmShare, double CalmScaleMps)
{
    /// <summary>Density at a value of tau up to a factor, per m/s.</summary>
    public double Density(double tauMps) => ((1 - CalmShare) * HalfCauchy(tauMps, ScaleMps)) + (CalmShare * HalfCauchy(tauMps, CalmScaleMps));

    private static double HalfCauchy(double tau, double scale) => scale / ((scale * scale) + (tau * tau));
}

/// <summary>How much the head wind scatters from pass to pass: the restricted likelihood of it, weighed with what is known of gusts.</summary>
/// <remarks>
/// Residuals r = X d + z u_g + e with u_g normal of standard deviation tau, e of 1 (rows are scaled) and d normal where a prior says so. Restricted
/// likelihood (Patterson and Thompson, Biometrika 58 (1971) 545; with the priors as further rows it is the marginal likelihood):
/// -2 l = sum log(1 + tau^2 z'z) + log |X'V^-1 X + P| + r'V^-1 r + theta' P theta - g' M^-1 g. With few passes tau is badly known, and one value put in its place
/// makes an interval that is too short; so all values are kept with their weights (Gelman, Bayesian Analysis 1 (2006) 515: half-Cauchy prior;
/// George and McCulloch, J. Am. Stat. Assoc. 88 (1993) 881, from memory: a narrow and a wide one mixed, so that an effect may be as good as none).
/// </remarks>
internal static class GustScatter
{
    /// <summary>Values of tau in units of the prior's scale: nil, and from a two-hundredth to twenty times in equal steps of the logarithm, a fifth each.</summary>
    private const int Steps = 42;
    private const double SmallestScale = 0.005;
    private const double LargestScale = 20;

    /// <summary>All values with their weights.</summary>
    /// <param name="sums">Sums of the passes.</param>
    /// <param name="theta">Coefficients about which the residuals were formed.</param>
    /// <param name="precision">1 / variance of the prior of each coefficient, 0 without.</param>
    /// <param name="prior">What is believed of tau.</param>
    /// <returns>Empty when the data and the priors do not determine the coefficients.</returns>
    public static ImmutableArray<GustCase> Cases(PassSums[] sums, ReadOnlySpan<double> theta, ReadOnlySpan<double> precision, GustPrior prior)
    {
        int p = theta.Length;
        double[] taus = new double[Steps + 1];
        double[] logs = new double[Steps + 1];
        GustCase[] cases = new GustCase[Steps + 1];
        double ratio = Math.Log(LargestScale / SmallestScale) / (Steps - 1);
        double best = double.NegativeInfinity;
        for (int i = 0; i <= Steps; i++)
        {
            double share = i == 0 ? 0 : SmallestScale * Math.Exp((i - 1) * ratio);
            taus[i] = share * prior.ScaleMps;
            if (One(sums, theta, precision, taus[i], p) is not { } one)
            {
                return [];
            }

            // Each value stands for the stretch of tau around it; nil for the stretch below the smallest.
            double width = i == 0 ? SmallestScale : share * ratio;
            logs[i] = one.LogLikelihood + Math.Log(width * prior.Density(taus[i]));
            best = Math.Max(best, logs[i]);
            cases[i] = new GustCase(taus[i], 0, one.Moved, one.Root);
        }

        double total = 0;
        for (int i = 0; i <= Steps; i++)
        {
            logs[i] = Math.Exp(logs[i] - best);
            total += logs[i];
        }

        return [.. cases.Select((c, i) => c with { Weight = logs[i] / total })];
    }

    private static (double LogLikelihood, double[] Moved, double[] Root)? One(PassSums[] sums, ReadOnlySpan<double> theta, ReadOnlySpan<double> precision, double tau, int p)
    {
        double[] information = new double[p * p];
        double[] pull = new double[p];
        double log = 0;
        double squares = 0;
        foreach (PassSums pass in sums)
        {
            double shrink = tau * tau / (1 + (tau * tau * pass.Wind));
            log += Math.Log(1 + (tau * tau * pass.Wind));
            squares += pass.Residual - (shrink * pass.WindResidual * pass.WindResidual);
            for (int j = 0; j < p; j++)
            {
                pull[j] += pass.DesignResidual[j] - (shrink * pass.DesignWind[j] * pass.WindResidual);
                for (int k = 0; k <= j; k++)
                {
                    information[(j * p) + k] += pass.Design[(j * p) + k] - (shrink * pass.DesignWind[j] * pass.DesignWind[k]);
                }
            }
        }

        for (int j = 0; j < p; j++)
        {
            information[(j * p) + j] += precision[j];
            pull[j] -= precision[j] * theta[j];
            squares += precision[j] * theta[j] * theta[j];
        }

        if (!SmallCholesky.TryFactor(information, p))
        {
            return null;
        }

        SmallCholesky.Forward(information, pull);
        for (int j = 0; j < p; j++)
        {
            log += 2 * Math.Log(information[(j * p) + j]);
            squares -= pull[j] * pull[j];
        }

        SmallCholesky.Backward(information, pull);
        return (-(log + squares) / 2, pull, information);
    }
}
