namespace Telemetry.Aero;

/// <summary>Cholesky factors of a matrix of a dozen columns, in place: called too often for matrices on the heap.</summary>
internal static class SmallCholesky
{
    /// <summary>Share of a diagonal element below which what is left of it counts as rounding.</summary>
    private const double LeastShare = 1e-13;

    /// <summary>Turns the lower triangle into its Cholesky factor.</summary>
    /// <returns>False when the matrix is not positive definite in double precision.</returns>
    public static bool TryFactor(Span<double> matrix, int columns)
    {
        for (int j = 0; j < columns; j++)
        {
            double whole = matrix[(j * columns) + j];
            double left = whole;
            for (int k = 0; k < j; k++)
            {
                left -= matrix[(j * columns) + k] * matrix[(j * columns) + k];
            }

            if (!(left > LeastShare * whole))
            {
                return false;
            }

            double pivot = Math.Sqrt(left);
            matrix[(j * columns) + j] = pivot;
            for (int i = j + 1; i < columns; i++)
            {
                double sum = matrix[(i * columns) + j];
                for (int k = 0; k < j; k++)
                {
                    sum -= matrix[(i * columns) + k] * matrix[(j * columns) + k];
                }

                matrix[(i * columns) + j] = sum / pivot;
            }
        }

        return true;
    }

    /// <summary>Solves L x = b in place.</summary>
    public static void Forward(ReadOnlySpan<double> lower, Span<double> vector)
    {
        int columns = vector.Length;
        for (int i = 0; i < columns; i++)
        {
            double sum = vector[i];
            for (int k = 0; k < i; k++)
            {
                sum -= lower[(i * columns) + k] * vector[k];
            }

            vector[i] = sum / lower[(i * columns) + i];
        }
    }

    /// <summary>Solves L' x = b in place.</summary>
    public static void Backward(ReadOnlySpan<double> lower, Span<double> vector)
    {
        int columns = vector.Length;
        for (int i = columns - 1; i >= 0; i--)
        {
            double sum = vector[i];
            for (int k = i + 1; k < columns; k++)
            {
                sum -= lower[(k * columns) + i] * vector[k];
            }

            vector[i] = sum / lower[(i * columns) + i];
        }
    }
}
