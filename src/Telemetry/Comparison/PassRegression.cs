using MathNet.Numerics.LinearAlgebra;

namespace Telemetry.Comparison;

/// <summary>Least squares over passes with priors on some coefficients, and what a contrast of the coefficients rests on.</summary>
/// <remarks>
/// Each pass is one independent unit. The variance of a contrast is robust to passes that scatter differently: squared residuals over one less the leverage (HC2, which is CR2 with
/// clusters of one; for the difference of two means it is exactly Welch's s1^2/n1 + s2^2/n2), with the degrees of freedom of Bell and McCaffrey (Survey Methodology 28 (2002) 169) under
/// independent passes of equal scatter.
/// </remarks>
internal sealed class PassRegression
{
    /// <summary>A leverage nearer to 1 than this leaves no residual: the pass alone settles a coefficient of its own and says nothing about contrasts between others.</summary>
    private const double FullLeverage = 1e-9;

    private const int Rounds = 4;

    private readonly Matrix<double> design;
    private readonly Vector<double> residuals;
    private readonly double[] leverage;

    private PassRegression(Matrix<double> design, Matrix<double> inverse, Vector<double> theta, Vector<double> residuals, double variance, double[] leverage, double[] priors)
    {
        this.design = design;
        this.residuals = residuals;
        this.leverage = leverage;
        Inverse = inverse;
        Theta = theta;
        Variance = variance;
        Priors = priors;
    }

    /// <summary>Inverse of the normal matrix, priors in it.</summary>
    public Matrix<double> Inverse { get; }

    /// <summary>Coefficients.</summary>
    public Vector<double> Theta { get; }

    /// <summary>Variance of a pass about the fit.</summary>
    public double Variance { get; }

    /// <summary>Standard deviation of each coefficient's prior about 0; infinite for none.</summary>
    public double[] Priors { get; }

    /// <summary>Residual of each pass.</summary>
    public IReadOnlyList<double> Residuals => residuals.AsArray() ?? residuals.ToArray();

    /// <summary>Fits.</summary>
    /// <param name="design">One row a pass.</param>
    /// <param name="response">One value a pass.</param>
    /// <param name="priors">Standard deviation of each coefficient about 0; infinite for none.</param>
    /// <returns>Null when passes and priors do not settle the coefficients, or no pass is left over for the scatter.</returns>
    public static PassRegression? Of(Matrix<double> design, Vector<double> response, double[] priors)
    {
        int n = design.RowCount;
        int p = design.ColumnCount;
        Matrix<double> square = design.TransposeThisAndMultiply(design);
        Vector<double> pull = design.TransposeThisAndMultiply(response);
        double variance = StartOf(priors);
        for (int round = 0; ; round++)
        {
            Matrix<double> normal = square.Clone();
            for (int j = 0; j < p; j++)
            {
                normal[j, j] += double.IsFinite(priors[j]) ? variance / (priors[j] * priors[j]) : 0;
            }

            if (Invert(normal) is not { } inverse)
            {
                return null;
            }

            Vector<double> theta = inverse * pull;
            Vector<double> residuals = response - (design * theta);
            Matrix<double> influence = design * inverse;
            double[] leverage = new double[n];
            double used = 0;
            for (int i = 0; i < n; i++)
            {
                for (int j = 0; j < p; j++)
                {
                    leverage[i] += influence[i, j] * design[i, j];
                }

                used += leverage[i];
            }

            if (n - used < 0.5)
            {
                return null;
            }

            variance = residuals.DotProduct(residuals) / (n - used);
            if (round == Rounds || priors.All(double.IsInfinity))
            {
                return new(design, inverse, theta, residuals, variance, leverage, priors);
            }
        }
    }

    /// <summary>Weight of each pass in a contrast.</summary>
    public Vector<double> Weights(Vector<double> contrast) => design * (Inverse * contrast);

    /// <summary>Robust standard uncertainty of a contrast from pass to pass, and its degrees of freedom.</summary>
    public (double Uncertainty, double DegreesOfFreedom) Scatter(Vector<double> contrast)
    {
        Vector<double> weights = Weights(contrast);
        int n = weights.Count;
        double[] square = new double[n];
        double variance = 0;
        for (int i = 0; i < n; i++)
        {
            double left = 1 - leverage[i];
            square[i] = left < FullLeverage ? 0 : weights[i] * weights[i] / left;
            variance += square[i] * residuals[i] * residuals[i];
        }

        // e = (I - H) y, so the estimator is a quadratic form with matrix (I - H) D (I - H); with priors H is no projection, hence the square.
        Matrix<double> hat = design * Inverse * design.Transpose();
        Matrix<double> left2 = Matrix<double>.Build.DenseIdentity(n) - hat;
        Matrix<double> spread = left2 * left2;
        double trace = 0;
        double squares = 0;
        for (int i = 0; i < n; i++)
        {
            trace += square[i] * spread[i, i];
            for (int j = 0; j < n; j++)
            {
                squares += square[i] * square[j] * spread[i, j] * spread[i, j];
            }
        }

        return (Math.Sqrt(Math.Max(0, variance)), squares > 0 ? Math.Max(1, trace * trace / squares) : 1);
    }

    /// <summary>How far a contrast is off when the truth lies one standard deviation from a prior's centre.</summary>
    public double EffectOfPrior(Vector<double> contrast, int coefficient) =>
        double.IsFinite(Priors[coefficient])
            ? contrast.DotProduct(Inverse.Column(coefficient)) * Variance / Priors[coefficient]
            : 0;

    /// <summary>A first guess at the scatter that is small against every prior, so that the priors begin weak.</summary>
    private static double StartOf(double[] priors)
    {
        double smallest = priors.Where(double.IsFinite).DefaultIfEmpty(1).Min();
        return smallest * smallest * 0.01;
    }

    private static Matrix<double>? Invert(Matrix<double> normal)
    {
        // Scaled to a unit diagonal, so that columns of different units do not look like rank lost.
        int p = normal.RowCount;
        double[] scale = new double[p];
        for (int j = 0; j < p; j++)
        {
            if (!(normal[j, j] > 0) || !double.IsFinite(normal[j, j]))
            {
                return null;
            }

            scale[j] = 1 / Math.Sqrt(normal[j, j]);
        }

        Matrix<double> unit = normal.MapIndexed((i, j, value) => value * scale[i] * scale[j]);
        var factors = unit.Evd(Symmetricity.Symmetric);
        return factors.EigenValues.Min(value => value.Real) < 1e-11
            ? null
            : (factors.EigenVectors * Matrix<double>.Build.DiagonalOfDiagonalVector(factors.EigenValues.Map(value => 1 / value.Real)) * factors.EigenVectors.Transpose())
                .MapIndexed((i, j, value) => value * scale[i] * scale[j]);
    }
}
