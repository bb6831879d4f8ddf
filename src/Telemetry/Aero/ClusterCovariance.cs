using System.Runtime.Intrinsics;
using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Double;

namespace Telemetry.Aero;

/// <summary>Small-sample correction of a cluster-robust covariance.</summary>
internal enum ClusterCorrection
{
    /// <summary>None (CR0).</summary>
    Cr0,

    /// <summary>G / (G - 1) (CR1).</summary>
    Cr1,

    /// <summary>Residuals of a cluster divided by the square root of one less its leverage (CR2): unbiased when rows are independent.</summary>
    Cr2,

    /// <summary>Residuals divided by one less the leverage (CR3): close to leaving each cluster out in turn.</summary>
    Cr3,
}

/// <summary>What each cluster adds to the normal equations and how hard it pulls on the fit.</summary>
/// <remarks>
/// For least squares the curvature is 1 and the score the residual. For an M-estimate the curvature is psi'(z) and the score
/// scale * psi(z), both in the same unit (Huber and Ronchetti, 7.6).
/// </remarks>
internal sealed class ClusterSums(int columns, int clusters)
{
    /// <summary>Number of coefficients.</summary>
    public int Columns { get; } = columns;

    /// <summary>Number of clusters.</summary>
    public int Clusters { get; } = clusters;

    /// <summary>Sum of curvature * x x' of each cluster.</summary>
    public Matrix<double>[] Curvature { get; } = [.. Enumerable.Range(0, clusters).Select(_ => DenseMatrix.Create(columns, columns, 0))];

    /// <summary>Sum of score * x of each cluster.</summary>
    public Vector<double>[] Score { get; } = [.. Enumerable.Range(0, clusters).Select(_ => DenseVector.Create(columns, 0))];

    /// <summary>Adds a row.</summary>
    public void Add(int cluster, ReadOnlySpan<double> row, double curvature, double score)
    {
        // The matrix is symmetric, so it does not matter which way its numbers are laid out.
        double[] sums = Curvature[cluster].AsColumnMajorArray();
        double[] scores = Score[cluster].AsArray();
        for (int j = 0; j < scores.Length; j++)
        {
            double one = row[j];
            if (one == 0)
            {
                continue;
            }

            scores[j] += score * one;
            Span<double> line = sums.AsSpan(j * scores.Length, scores.Length);
            for (int k = 0; k < line.Length; k++)
            {
                line[k] += curvature * one * row[k];
            }
        }
    }
}

/// <summary>Covariance of fitted coefficients when rows of one cluster may share their errors in any way.</summary>
/// <remarks>
/// Bell and McCaffrey, Survey Methodology 28 (2002) 169; Pustejovsky and Tipton, J. Bus. Econ. Stat. 36 (2018) 672, with independent
/// rows as the working model. A cluster's leverage enters only through its share W = R^-T J_g R^-1 of the curvature, a matrix as small
/// as the number of coefficients: (I - H)^(-1/2) acts as the identity outside the span of the cluster's rows, which the score does not see.
/// A direction that a cluster alone decides (share 1) is left out, as a Moore-Penrose inverse does.
/// </remarks>
internal sealed class ClusterCovariance
{
    /// <summary>One less the share below which a direction counts as decided by one cluster alone.</summary>
    private const double AloneBelow = 1e-10;

    private readonly Matrix<double> rootInverse;
    private readonly Vector<double>[] pulls;

    /// <summary>Share and correction of each cluster column by column in one array, because the degrees of freedom are asked for thousands of times.</summary>
    private readonly double[][] shares;
    private readonly double[][] corrections;

    private ClusterCovariance(Matrix<double> rootInverse, Vector<double>[] pulls, Matrix<double>[] shares, Matrix<double>[] corrections, double factor)
    {
        this.rootInverse = rootInverse;
        this.pulls = pulls;
        this.shares = [.. shares.Select(share => share.ToColumnMajorArray())];
        this.corrections = [.. corrections.Select(correction => correction.ToColumnMajorArray())];
        Inverse = rootInverse * rootInverse.Transpose();
        Matrix<double> meat = DenseMatrix.Create(rootInverse.RowCount, rootInverse.RowCount, 0);
        for (int g = 0; g < pulls.Length; g++)
        {
            Vector<double> pull = corrections[g] * pulls[g];
            meat += pull.OuterProduct(pull);
        }

        Matrix = factor * (rootInverse * meat * rootInverse.Transpose());
    }

    /// <summary>Covariance matrix of the coefficients.</summary>
    public Matrix<double> Matrix { get; }

    /// <summary>Inverse of the summed curvature: how a score moves the coefficients.</summary>
    public Matrix<double> Inverse { get; }

    /// <summary>Covariance from what the clusters add.</summary>
    /// <param name="sums">What they add.</param>
    /// <param name="correction">Small-sample correction.</param>
    /// <param name="certain">Curvature that comes from outside the clusters (priors), or null; its errors are not in the covariance.</param>
    /// <returns>Null when the summed curvature is not positive definite.</returns>
    public static ClusterCovariance? From(ClusterSums sums, ClusterCorrection correction, Matrix<double>? certain = null)
    {
        int p = sums.Columns;
        Matrix<double> total = certain?.Clone() ?? DenseMatrix.Create(p, p, 0);
        foreach (Matrix<double> part in sums.Curvature)
        {
            total += part;
        }

        Vector<double> scale = total.Diagonal().Map(d => d > 0 ? 1 / Math.Sqrt(d) : 1);
        Matrix<double> scaling = DiagonalMatrix.OfDiagonal(p, p, scale);
        Matrix<double> rootInverse;
        try
        {
            // total = S^-1 (C C') S^-1 with S the scaling, so R^-1 = S C^-T.
            rootInverse = scaling * (scaling * total * scaling).Cholesky().Factor.Transpose().Inverse();
        }
        catch (ArgumentException)
        {
            return null;
        }

        int clusters = sums.Clusters;
        Vector<double>[] pulls = new Vector<double>[clusters];
        Matrix<double>[] shares = new Matrix<double>[clusters];
        Matrix<double>[] corrections = new Matrix<double>[clusters];
        for (int g = 0; g < clusters; g++)
        {
            pulls[g] = rootInverse.TransposeThisAndMultiply(sums.Score[g]);
            shares[g] = rootInverse.Transpose() * sums.Curvature[g] * rootInverse;
            corrections[g] = Correction(shares[g], correction);
        }

        return new(rootInverse, pulls, shares, corrections, correction == ClusterCorrection.Cr1 ? clusters / (clusters - 1.0) : 1);
    }

    /// <summary>Variance of contrast' * coefficients.</summary>
    public double Variance(Vector<double> contrast) => contrast * (Matrix * contrast);

    /// <summary>Degrees of freedom of that variance by Satterthwaite's match of its first two moments, were rows independent.</summary>
    public double DegreesOfFreedom(Vector<double> contrast)
    {
        double[] d = rootInverse.TransposeThisAndMultiply(contrast).ToArray();
        int p = d.Length;
        double[] crossed = new double[p * p];
        double[] corrected = new double[p];
        double[] spread = new double[p];
        double trace = 0;
        double squares = 0;
        for (int g = 0; g < shares.Length; g++)
        {
            Multiply(corrections[g], d, corrected);
            Multiply(shares[g], corrected, spread);
            double own = Dot(corrected, spread);
            double shared = Dot(spread, spread);
            trace += own - shared;
            squares += (own * own) - (2 * own * shared);
            for (int j = 0; j < p; j++)
            {
                AddTimes(spread, spread[j], crossed.AsSpan(j * p, p));
            }
        }

        squares += Dot(crossed, crossed);
        return squares > 0 ? trace * trace / squares : 0;
    }

    private static double Dot(ReadOnlySpan<double> one, ReadOnlySpan<double> other)
    {
        double sum = 0;
        for (int k = 0; k < one.Length; k++)
        {
            sum += one[k] * other[k];
        }

        return sum;
    }

    /// <summary>A matrix times a vector. Each number of the product is summed in the order of the columns, several of them at a time.</summary>
    private static void Multiply(double[] columns, double[] vector, double[] product)
    {
        product.AsSpan().Clear();
        for (int k = 0; k < vector.Length; k++)
        {
            AddTimes(columns.AsSpan(k * vector.Length, vector.Length), vector[k], product);
        }
    }

    private static void AddTimes(ReadOnlySpan<double> column, double factor, Span<double> sums)
    {
        int i = 0;
        Vector256<double> factors = Vector256.Create(factor);
        for (; i <= sums.Length - Vector256<double>.Count; i += Vector256<double>.Count)
        {
            (Vector256.Create(sums[i..]) + (Vector256.Create(column[i..]) * factors)).CopyTo(sums[i..]);
        }

        for (; i < sums.Length; i++)
        {
            sums[i] += column[i] * factor;
        }
    }

    private static Matrix<double> Correction(Matrix<double> share, ClusterCorrection correction)
    {
        if (correction is ClusterCorrection.Cr0 or ClusterCorrection.Cr1)
        {
            return DenseMatrix.CreateIdentity(share.RowCount);
        }

        Matrix<double> symmetric = (share + share.Transpose()) / 2;
        var parts = symmetric.Evd(Symmetricity.Symmetric);
        double power = correction == ClusterCorrection.Cr2 ? -0.5 : -1;
        Vector<double> factors = DenseVector.Create(share.RowCount, i =>
        {
            double left = 1 - parts.EigenValues[i].Real;
            return left > AloneBelow ? Math.Pow(left, power) : 0;
        });
        return parts.EigenVectors * DiagonalMatrix.OfDiagonal(share.RowCount, share.RowCount, factors) * parts.EigenVectors.Transpose();
    }
}
