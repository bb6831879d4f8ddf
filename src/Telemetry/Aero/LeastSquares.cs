namespace Telemetry.Aero;

/// <summary>Linear least squares by Householder reflections, with the residual refined in twice the precision.</summary>
/// <remarks>
/// Columns are first brought to unit length. The refinement corrects coefficients and residuals together through the augmented
/// system (Bjorck, BIT 7 (1967) 257), so that a badly conditioned design still gives the digits that its numbers carry.
/// Rows with NaN are not accepted: the caller leaves them out and says so.
/// </remarks>
internal sealed class LeastSquares
{
    private const int RefinementSteps = 3;

    private readonly double[] reflections;
    private readonly double[] beta;
    private readonly double[] diagonal;
    private readonly double[] columnScale;

    private LeastSquares(int rows, int columns, double[] reflections, double[] columnScale)
    {
        Rows = rows;
        Columns = columns;
        this.reflections = reflections;
        this.columnScale = columnScale;
        beta = new double[columns];
        diagonal = new double[columns];
        Factorise();
    }

    /// <summary>Number of rows.</summary>
    public int Rows { get; }

    /// <summary>Number of coefficients.</summary>
    public int Columns { get; }

    /// <summary>False when the columns do not span their number of dimensions, so that no single answer exists.</summary>
    public bool IsFullRank { get; private set; } = true;

    /// <summary>Coefficients and residuals that minimise the sum of squared residuals.</summary>
    /// <param name="design">Row after row, rows times columns.</param>
    /// <param name="response">One value a row.</param>
    /// <param name="columns">Number of coefficients.</param>
    /// <param name="coefficients">The result, one a column.</param>
    /// <param name="residuals">response - design * coefficients, one a row; untouched without refinement.</param>
    /// <param name="refine">False leaves the refinement out, for a step of an iteration that corrects itself.</param>
    /// <returns>False when there are fewer rows than columns or the columns depend on each other; nothing is then filled in.</returns>
    public static bool TrySolve(ReadOnlySpan<double> design, ReadOnlySpan<double> response, int columns, Span<double> coefficients, Span<double> residuals, bool refine = true)
    {
        int rows = response.Length;
        if (rows < columns || columns == 0)
        {
            return false;
        }

        double[] scale = new double[columns];
        for (int j = 0; j < columns; j++)
        {
            double sum = 0;
            for (int i = 0; i < rows; i++)
            {
                double x = design[(i * columns) + j];
                sum += x * x;
            }

            scale[j] = sum > 0 ? 1 / Math.Sqrt(sum) : 1;
        }

        double[] scaled = new double[rows * columns];
        for (int i = 0; i < rows; i++)
        {
            for (int j = 0; j < columns; j++)
            {
                scaled[(i * columns) + j] = design[(i * columns) + j] * scale[j];
            }
        }

        LeastSquares factors = new(rows, columns, scaled, scale);
        if (!factors.IsFullRank)
        {
            return false;
        }

        factors.Solve(design, response, coefficients, residuals, refine);
        return true;
    }

    private void Solve(ReadOnlySpan<double> design, ReadOnlySpan<double> response, Span<double> coefficients, Span<double> residuals, bool refine)
    {
        double[] work = response.ToArray();
        ApplyTransposed(work);
        double[] step = new double[Columns];
        BackSubstitute(work, step);
        for (int j = 0; j < Columns; j++)
        {
            coefficients[j] = step[j] * columnScale[j];
        }

        if (!refine)
        {
            return;
        }

        for (int i = 0; i < Rows; i++)
        {
            residuals[i] = Residual(design, response[i], 0, coefficients, i);
        }

        double[] gradient = new double[Columns];
        for (int pass = 0; pass < RefinementSteps; pass++)
        {
            for (int i = 0; i < Rows; i++)
            {
                work[i] = Residual(design, response[i], residuals[i], coefficients, i);
            }

            for (int j = 0; j < Columns; j++)
            {
                gradient[j] = -columnScale[j] * Projection(design, residuals, j);
            }

            ForwardSubstitute(gradient);
            ApplyTransposed(work);
            double[] head = work[..Columns];
            for (int j = 0; j < Columns; j++)
            {
                head[j] -= gradient[j];
                work[j] = gradient[j];
            }

            BackSubstitute(head, step);
            Apply(work);
            for (int j = 0; j < Columns; j++)
            {
                coefficients[j] += step[j] * columnScale[j];
            }

            for (int i = 0; i < Rows; i++)
            {
                residuals[i] += work[i];
            }
        }
    }

    private double Residual(ReadOnlySpan<double> design, double response, double already, ReadOnlySpan<double> coefficients, int row)
    {
        DoubleDouble sum = new(response, 0);
        sum.Add(-already);
        for (int j = 0; j < Columns; j++)
        {
            sum.AddProduct(-design[(row * Columns) + j], coefficients[j]);
        }

        return sum.Value;
    }

    private double Projection(ReadOnlySpan<double> design, ReadOnlySpan<double> residuals, int column)
    {
        DoubleDouble sum = default;
        for (int i = 0; i < Rows; i++)
        {
            sum.AddProduct(design[(i * Columns) + column], residuals[i]);
        }

        return sum.Value;
    }

    /// <summary>Leaves the Householder vectors on and below the diagonal and R above it; the diagonal of R stands apart.</summary>
    private void Factorise()
    {
        for (int k = 0; k < Columns; k++)
        {
            double norm = 0;
            for (int i = k; i < Rows; i++)
            {
                norm = Math.Max(norm, Math.Abs(reflections[(i * Columns) + k]));
            }

            double sum = 0;
            for (int i = k; i < Rows && norm > 0; i++)
            {
                double share = reflections[(i * Columns) + k] / norm;
                sum += share * share;
            }

            norm *= Math.Sqrt(sum);

            // Columns have unit length: what is left of one after the others are taken out is the sine of its angle to them.
            if (!(norm > Rows * 1e-16))
            {
                IsFullRank = false;
                return;
            }

            double head = reflections[(k * Columns) + k];
            double alpha = head > 0 ? -norm : norm;
            diagonal[k] = alpha;
            reflections[(k * Columns) + k] = head - alpha;
            beta[k] = 1 / (norm * (norm + Math.Abs(head)));
            for (int j = k + 1; j < Columns; j++)
            {
                Reflect(reflections, Columns, j, k);
            }
        }
    }

    private void Reflect(double[] target, int stride, int column, int k)
    {
        double dot = 0;
        for (int i = k; i < Rows; i++)
        {
            dot += reflections[(i * Columns) + k] * target[(i * stride) + column];
        }

        dot *= beta[k];
        for (int i = k; i < Rows; i++)
        {
            target[(i * stride) + column] -= dot * reflections[(i * Columns) + k];
        }
    }

    private void ApplyTransposed(double[] vector)
    {
        for (int k = 0; k < Columns; k++)
        {
            Reflect(vector, 1, 0, k);
        }
    }

    private void Apply(double[] vector)
    {
        for (int k = Columns - 1; k >= 0; k--)
        {
            Reflect(vector, 1, 0, k);
        }
    }

    private void BackSubstitute(ReadOnlySpan<double> right, Span<double> result)
    {
        for (int j = Columns - 1; j >= 0; j--)
        {
            double sum = right[j];
            for (int k = j + 1; k < Columns; k++)
            {
                sum -= reflections[(j * Columns) + k] * result[k];
            }

            result[j] = sum / diagonal[j];
        }
    }

    private void ForwardSubstitute(Span<double> vector)
    {
        for (int j = 0; j < Columns; j++)
        {
            double sum = vector[j];
            for (int k = 0; k < j; k++)
            {
                sum -= reflections[(k * Columns) + j] * vector[k];
            }

            vector[j] = sum / diagonal[j];
        }
    }

    /// <summary>A sum kept as two doubles (Dekker 1971; error-free product by fused multiply-add).</summary>
    private struct DoubleDouble(double high, double low)
    {
        private double high = high;
        private double low = low;

        public readonly double Value => high + low;

        public void Add(double term)
        {
            double sum = high + term;
            double part = sum - high;
            low += (high - (sum - part)) + (term - part);
            high = sum;
        }

        public void AddProduct(double a, double b)
        {
            double product = a * b;
            low += Math.FusedMultiplyAdd(a, b, -product);
            Add(product);
        }
    }
}
