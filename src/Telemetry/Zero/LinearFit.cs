using MathNet.Numerics.LinearAlgebra;

namespace Telemetry.Zero;

/// <summary>Ordinary least squares by Householder QR on columns of equal length one.</summary>
/// <remarks>Reached on the NIST Statistical Reference Datasets: 12 digits on Norris, 9 on Longley (tests).</remarks>
internal sealed class LinearFit
{
    private readonly double[,] inverse;

    private LinearFit(double[] coefficients, double[,] inverse, double[] residuals, int degreesOfFreedom)
    {
        Coefficients = coefficients;
        this.inverse = inverse;
        Residuals = residuals;
        DegreesOfFreedom = degreesOfFreedom;
        double squares = 0;
        foreach (double residual in residuals)
        {
            squares += residual * residual;
        }

        SumOfSquares = squares;
        ResidualDeviation = degreesOfFreedom > 0 ? Math.Sqrt(squares / degreesOfFreedom) : double.NaN;
    }

    /// <summary>One coefficient a column.</summary>
    public double[] Coefficients { get; }

    /// <summary>What the fit leaves at each row.</summary>
    public double[] Residuals { get; }

    /// <summary>Rows less columns.</summary>
    public int DegreesOfFreedom { get; }

    /// <summary>Sum of the squared residuals.</summary>
    public double SumOfSquares { get; }

    /// <summary>Standard deviation of the residuals; NaN without a degree of freedom.</summary>
    public double ResidualDeviation { get; }

    /// <summary>Standard error of a coefficient; NaN without a degree of freedom.</summary>
    public double StandardError(int column) => ResidualDeviation * Math.Sqrt(inverse[column, column]);

    /// <summary>Fits y to the columns; null when there are fewer rows than columns, or a column that the others can make.</summary>
    /// <param name="columns">Columns of equal length.</param>
    /// <param name="y">What they should make.</param>
    public static LinearFit? Of(IReadOnlyList<double[]> columns, ReadOnlySpan<double> y)
    {
        // A column whose part that no other has is below this share of it is no column of its own.
        const double SmallestOwnShare = 1e-9;

        int count = columns.Count;
        if (y.Length < count)
        {
            return null;
        }

        double[] length = new double[count];
        double[][] scaled = new double[count][];
        for (int k = 0; k < count; k++)
        {
            double squares = 0;
            foreach (double value in columns[k])
            {
                squares += value * value;
            }

            length[k] = Math.Sqrt(squares);
            if (!(length[k] > 0))
            {
                return null;
            }

            scaled[k] = [.. columns[k].Select(value => value / length[k])];
        }

        double[] wanted = y.ToArray();
        var qr = Matrix<double>.Build.DenseOfColumnArrays(scaled).QR(MathNet.Numerics.LinearAlgebra.Factorization.QRMethod.Thin);
        for (int k = 0; k < count; k++)
        {
            if (!(Math.Abs(qr.R[k, k]) > SmallestOwnShare))
            {
                return null;
            }
        }

        Vector<double> solved = qr.Solve(Vector<double>.Build.DenseOfArray(wanted));
        Matrix<double> inverseR = qr.R.SubMatrix(0, count, 0, count).Inverse();
        Matrix<double> product = inverseR * inverseR.Transpose();
        double[] coefficients = [.. Enumerable.Range(0, count).Select(k => solved[k] / length[k])];
        double[,] inverse = new double[count, count];
        for (int i = 0; i < count; i++)
        {
            for (int j = 0; j < count; j++)
            {
                inverse[i, j] = product[i, j] / length[i] / length[j];
            }
        }

        for (int row = 0; row < wanted.Length; row++)
        {
            for (int k = 0; k < count; k++)
            {
                wanted[row] -= coefficients[k] * columns[k][row];
            }
        }

        return new LinearFit(coefficients, inverse, wanted, y.Length - count);
    }
}
