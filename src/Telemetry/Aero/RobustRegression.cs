namespace Telemetry.Aero;

/// <summary>A linear fit whose far residuals are held back.</summary>
/// <param name="Coefficients">One a column.</param>
/// <param name="Residuals">Response less fit, one a row.</param>
/// <param name="Scale">Median absolute residual over 0.6745 of the last step but the closing one; unit of the response.</param>
/// <param name="Weights">psi(z) / z of each row, 0 to 1.</param>
/// <param name="Converged">False when the steps ran out.</param>
internal sealed record RobustFit(double[] Coefficients, double[] Residuals, double Scale, double[] Weights, bool Converged);

/// <summary>M-estimation by iterated reweighting, started at least squares, with the scale re-estimated at each step.</summary>
/// <remarks>Huber and Ronchetti, Robust Statistics (2nd ed., 2009), 7.8; Holland and Welsch, Comm. Statist. A6 (1977) 813.</remarks>
internal static class RobustRegression
{
    private const int MostSteps = 400;

    /// <summary>Fits response = design * coefficients.</summary>
    /// <param name="design">Row after row.</param>
    /// <param name="response">One value a row.</param>
    /// <param name="columns">Number of coefficients.</param>
    /// <param name="loss">How residuals are held back.</param>
    /// <param name="tolerance">Relative change of the residuals, root mean square, below which it ends.</param>
    /// <returns>Null when the columns depend on each other or are more than the rows.</returns>
    public static RobustFit? Fit(ReadOnlySpan<double> design, ReadOnlySpan<double> response, int columns, RobustLoss loss, double tolerance = 1e-12)
    {
        int rows = response.Length;
        double[] coefficients = new double[columns];
        double[] residuals = new double[rows];
        double[] weights = new double[rows];
        Array.Fill(weights, 1);
        if (!LeastSquares.TrySolve(design, response, columns, coefficients, residuals))
        {
            return null;
        }

        double scale = RobustLosses.Scale(residuals);
        if (loss == RobustLoss.None || !(scale > 0))
        {
            // A scale of 0 means that half of the rows are met exactly: nothing can be said about how far the rest is off.
            return new(coefficients, residuals, scale, weights, true);
        }

        double[] weightedDesign = new double[rows * columns];
        double[] weightedResponse = new double[rows];
        double[] unused = new double[rows];
        for (int step = 0; step < MostSteps; step++)
        {
            scale = RobustLosses.Scale(residuals);
            if (!(scale > 0))
            {
                return new(coefficients, residuals, scale, weights, true);
            }

            for (int i = 0; i < rows; i++)
            {
                weights[i] = loss.Weight(residuals[i] / scale);
                double root = Math.Sqrt(weights[i]);
                weightedResponse[i] = root * response[i];
                for (int j = 0; j < columns; j++)
                {
                    weightedDesign[(i * columns) + j] = root * design[(i * columns) + j];
                }
            }

            if (!LeastSquares.TrySolve(weightedDesign, weightedResponse, columns, coefficients, unused))
            {
                return null;
            }

            double moved = 0;
            double size = 0;
            for (int i = 0; i < rows; i++)
            {
                double residual = response[i];
                for (int j = 0; j < columns; j++)
                {
                    residual -= design[(i * columns) + j] * coefficients[j];
                }

                moved += (residual - residuals[i]) * (residual - residuals[i]);
                size += residuals[i] * residuals[i];
                residuals[i] = residual;
            }

            if (Math.Sqrt(moved / size) < tolerance)
            {
                return new(coefficients, residuals, scale, weights, true);
            }
        }

        return new(coefficients, residuals, scale, weights, false);
    }
}
