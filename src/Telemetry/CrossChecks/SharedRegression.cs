using MathNet.Numerics.LinearAlgebra;

namespace Telemetry.CrossChecks;

/// <summary>Least squares of several responses on the same regressors, with a covariance that allows blocks near each other to be alike.</summary>
/// <remarks>
/// The covariance is the cluster-robust sandwich with the usual small-sample factor (CR1: K.-Y. Liang and S. Zeger, Biometrika 73 (1986) 13;
/// the factor as J. G. MacKinnon and M. Webb describe it). A regressor without variation, or one that others make up, gets a coefficient of 0 and
/// an infinite variance, so that nothing is concluded from it.
/// </remarks>
internal sealed class SharedRegression
{
    private readonly double[][] coefficients;
    private readonly Matrix<double>[] covariances;

    private SharedRegression(double[][] coefficients, Matrix<double>[] covariances, bool[] isKnown)
    {
        this.coefficients = coefficients;
        this.covariances = covariances;
        IsKnown = isKnown;
    }

    /// <summary>For each regressor whether the data tell its coefficient.</summary>
    public bool[] IsKnown { get; }

    /// <summary>Coefficient of a response on a regressor.</summary>
    public double Coefficient(int response, int regressor) => coefficients[response][regressor];

    /// <summary>Value and variance of a linear combination of a response's coefficients.</summary>
    public (double Value, double Variance) Combination(int response, params ReadOnlySpan<(int Regressor, double Weight)> terms)
    {
        double value = 0;
        double variance = 0;
        foreach ((int i, double wi) in terms)
        {
            if (!IsKnown[i])
            {
                return (0, double.PositiveInfinity);
            }

            value += wi * coefficients[response][i];
            foreach ((int j, double wj) in terms)
            {
                variance += wi * wj * covariances[response][i, j];
            }
        }

        return (value, variance);
    }

    /// <summary>Solves the normal equations of standardised columns; blocks are many and regressors few, so that their condition stays small.</summary>
    /// <param name="design">Columns, one array a regressor; the first is the constant.</param>
    /// <param name="responses">One array a response.</param>
    /// <param name="rows">The rows that count, in order.</param>
    /// <param name="cluster">For each row of the data the number of its cluster.</param>
    public static SharedRegression Of(double[][] design, double[][] responses, ReadOnlySpan<int> rows, ReadOnlySpan<int> cluster)
    {
        int columns = design.Length;
        double[] scale = new double[columns];
        for (int j = 0; j < columns; j++)
        {
            scale[j] = Scale(design[j], rows, j == 0);
        }

        bool[] known = [.. scale.Select(s => s > 0)];
        double[][] normal = NewSquare(columns);
        double[][] right = [.. responses.Select(_ => new double[columns])];
        double[] row = new double[columns];
        foreach (int k in rows)
        {
            for (int i = 0; i < columns; i++)
            {
                row[i] = known[i] ? design[i][k] / scale[i] : 0;
            }

            for (int i = 0; i < columns; i++)
            {
                for (int j = 0; j <= i; j++)
                {
                    normal[i][j] += row[i] * row[j];
                }

                for (int r = 0; r < responses.Length; r++)
                {
                    right[r][i] += row[i] * responses[r][k];
                }
            }
        }

        Matrix<double> gram = Matrix<double>.Build.Dense(columns, columns, (i, j) => i >= j ? normal[i][j] : normal[j][i]);
        Matrix<double> inverse = Inverse(gram, known);
        double[][] solved = [.. right.Select(b => (inverse * Vector<double>.Build.Dense(b)).ToArray())];
        Matrix<double>[] covariances = Sandwich(design, responses, rows, cluster, scale, known, inverse, solved);
        double[][] unscaled = [.. solved.Select(b => b.Select((value, i) => known[i] ? value / scale[i] : 0).ToArray())];
        return new(unscaled, covariances, known);
    }

    /// <summary>Response less what the regressors explain, at a row.</summary>
    public double Residual(double[][] design, double[] response, int responseIndex, int row)
    {
        double value = response[row];
        for (int i = 0; i < design.Length; i++)
        {
            value -= coefficients[responseIndex][i] * design[i][row];
        }

        return value;
    }

    private static Matrix<double>[] Sandwich(
        double[][] design, double[][] responses, ReadOnlySpan<int> rows, ReadOnlySpan<int> cluster, double[] scale, bool[] known, Matrix<double> inverse, double[][] solved)
    {
        int columns = design.Length;
        double[][][] meat = [.. responses.Select(_ => NewSquare(columns))];
        double[][] score = [.. responses.Select(_ => new double[columns])];
        double[] row = new double[columns];
        int clusters = 0;
        for (int n = 0; n < rows.Length; n++)
        {
            int k = rows[n];
            for (int i = 0; i < columns; i++)
            {
                row[i] = known[i] ? design[i][k] / scale[i] : 0;
            }

            for (int r = 0; r < responses.Length; r++)
            {
                double residual = responses[r][k];
                for (int i = 0; i < columns; i++)
                {
                    residual -= solved[r][i] * row[i];
                }

                for (int i = 0; i < columns; i++)
                {
                    score[r][i] += residual * row[i];
                }
            }

            if (n + 1 < rows.Length && cluster[rows[n + 1]] == cluster[k])
            {
                continue;
            }

            clusters++;
            for (int r = 0; r < responses.Length; r++)
            {
                for (int i = 0; i < columns; i++)
                {
                    for (int j = 0; j < columns; j++)
                    {
                        meat[r][i][j] += score[r][i] * score[r][j];
                    }
                }

                Array.Clear(score[r]);
            }
        }

        int free = columns - known.Count(k => !k);
        double factor = (double)clusters / Math.Max(1, clusters - 1) * (rows.Length - 1.0) / Math.Max(1, rows.Length - free);

        // Few clusters: the variance of Student's t with clusters - 1 degrees of freedom in place of the normal distribution's.
        factor *= clusters > 3 ? (clusters - 1.0) / (clusters - 3.0) : double.PositiveInfinity;
        return [.. meat.Select(m =>
        {
            Matrix<double> middle = Matrix<double>.Build.Dense(columns, columns, (i, j) => m[i][j]);
            Matrix<double> whole = inverse * middle * inverse * factor;
            return Matrix<double>.Build.Dense(columns, columns, (i, j) => known[i] && known[j] ? whole[i, j] / (scale[i] * scale[j]) : 0);
        })];
    }

    /// <summary>Inverse on the directions that the data span; a regressor that lies in the others is marked as not known.</summary>
    private static Matrix<double> Inverse(Matrix<double> gram, bool[] known)
    {
        int n = gram.RowCount;
        for (int i = 0; i < n; i++)
        {
            if (!known[i])
            {
                gram[i, i] = 1;
            }
        }

        // What is left of a standardised column beside the others, as a share of its square: below a millionth it is rounding and scatter of clocks.
        Matrix<double> inverse = gram.Inverse();
        // The last of those that depend on each other goes first; the constant stays.
        for (int i = n - 1; i > 0; i--)
        {
            if (known[i] && !(1 / (inverse[i, i] * gram[i, i]) > 1e-6))
            {
                known[i] = false;
                for (int j = 0; j < n; j++)
                {
                    gram[i, j] = gram[j, i] = 0;
                }

                gram[i, i] = 1;
                return Inverse(gram, known);
            }
        }

        return inverse;
    }

    private static double Scale(double[] column, ReadOnlySpan<int> rows, bool isConstant)
    {
        if (isConstant)
        {
            return 1;
        }

        double sum = 0;
        foreach (int k in rows)
        {
            sum += column[k];
        }

        double mean = sum / rows.Length;
        double squares = 0;
        foreach (int k in rows)
        {
            squares += (column[k] - mean) * (column[k] - mean);
        }

        double deviation = Math.Sqrt(squares / rows.Length);
        return deviation > 1e-9 * (1 + Math.Abs(mean)) ? deviation : 0;
    }

    private static double[][] NewSquare(int size) => [.. Enumerable.Range(0, size).Select(_ => new double[size])];
}
