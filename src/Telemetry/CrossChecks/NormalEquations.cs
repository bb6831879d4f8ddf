namespace Telemetry.CrossChecks;

/// <summary>Small weighted least squares: sums of products, and their solution by Cholesky with every unknown scaled to one.</summary>
internal sealed class NormalEquations(int size)
{
    private readonly double[,] products = new double[size, size];
    private readonly double[] right = new double[size];

    /// <summary>Adds a weighted row; a row shorter than the unknowns has noughts behind it.</summary>
    public void Add(ReadOnlySpan<double> row, double target)
    {
        for (int i = 0; i < row.Length; i++)
        {
            if (row[i] != 0)
            {
                for (int j = 0; j <= i; j++)
                {
                    products[i, j] += row[i] * row[j];
                }

                right[i] += row[i] * target;
            }
        }
    }

    /// <summary>Holds an unknown at nought with a weight.</summary>
    public void Hold(int unknown, double weight) => products[unknown, unknown] += weight;

    /// <summary>Solution of the first unknowns, the others held at nought, and the standard deviation of each.</summary>
    public double[] Solve(int count, out double[] deviations)
    {
        double[] scale = new double[count];
        for (int i = 0; i < count; i++)
        {
            scale[i] = products[i, i] > 0 ? 1 / Math.Sqrt(products[i, i]) : 1;
        }

        double[,] lower = new double[count, count];
        for (int i = 0; i < count; i++)
        {
            for (int j = 0; j <= i; j++)
            {
                double sum = products[i, j] * scale[i] * scale[j];
                for (int k = 0; k < j; k++)
                {
                    sum -= lower[i, k] * lower[j, k];
                }

                lower[i, j] = i == j ? Math.Sqrt(Math.Max(sum, 1e-14)) : sum / lower[j, j];
            }
        }

        double[] solution = new double[count];
        double[] unit = new double[count];
        deviations = new double[count];
        for (int i = 0; i < count; i++)
        {
            solution[i] = right[i] * scale[i];
        }

        Substitute(lower, solution);
        for (int i = 0; i < count; i++)
        {
            solution[i] *= scale[i];
            Array.Clear(unit);
            unit[i] = 1;
            Substitute(lower, unit);
            deviations[i] = scale[i] * Math.Sqrt(Math.Max(0, unit[i]));
        }

        return solution;
    }

    private static void Substitute(double[,] lower, double[] vector)
    {
        int n = vector.Length;
        for (int i = 0; i < n; i++)
        {
            for (int k = 0; k < i; k++)
            {
                vector[i] -= lower[i, k] * vector[k];
            }

            vector[i] /= lower[i, i];
        }

        for (int i = n - 1; i >= 0; i--)
        {
            for (int k = i + 1; k < n; k++)
            {
                vector[i] -= lower[k, i] * vector[k];
            }

            vector[i] /= lower[i, i];
        }
    }
}
