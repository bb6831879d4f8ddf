namespace Telemetry.Comparison;

/// <summary>One quantity of every pass, brought to the speed of the comparison.</summary>
/// <param name="Values">For each run and pass; NaN where there is none.</param>
/// <param name="SlopePerSquare">Common slope with the squared speed inside a pass.</param>
/// <param name="SlopeUncertainty">Its standard uncertainty.</param>
/// <param name="Offset">For each run and pass how far its mean squared speed lies from that of the comparison.</param>
internal sealed record ResponseTable(double[][] Values, double SlopePerSquare, double SlopeUncertainty, double[][] Offset)
{
    /// <summary>
    /// The slope with squared speed is taken from inside the passes of all runs together, so that it holds neither wind nor setup, and is then common to all: setups whose straights reach other speeds
    /// do not differ on that account.
    /// </summary>
    public static ResponseTable Of(IReadOnlyList<RunEvidence> runs, Func<PassEvidence, PassMean> of, double speedMps)
    {
        double xx = 0, xy = 0, yy = 0, windows = 0;
        int passes = 0;
        foreach (PassEvidence pass in runs.SelectMany(run => run.Passes))
        {
            PassMean mean = of(pass);
            if (mean.IsKnown)
            {
                xx += mean.SumXx;
                xy += mean.SumXy;
                yy += mean.SumYy;
                windows += mean.Windows;
                passes++;
            }
        }

        double slope = xx > 0 ? xy / xx : 0;
        double left = windows - passes - 1;
        double uncertainty = xx > 0 && left > 0 ? Math.Sqrt(Math.Max(0, yy - (slope * xy)) / left / xx) : 0;
        double square = speedMps * speedMps;
        return new(
            [.. runs.Select(run => run.Passes.Select(pass => Value(of(pass), slope, square)).ToArray())],
            slope,
            uncertainty,
            [.. runs.Select(run => run.Passes.Select(pass => of(pass).SpeedSquared - square).ToArray())]);
    }

    /// <summary>Two responses of the same passes together, pass by pass.</summary>
    public ResponseTable With(ResponseTable other, Func<double, double, double> join) => this with
    {
        Values = [.. Values.Select((run, r) => run.Select((value, i) => join(value, other.Values[r][i])).ToArray())],
        SlopePerSquare = 0,
        SlopeUncertainty = 0,
    };

    private static double Value(PassMean mean, double slope, double square) =>
        mean.IsKnown ? mean.Value - (slope * (mean.SpeedSquared - square)) : double.NaN;

    /// <summary>What the slope's uncertainty does to a contrast.</summary>
    public double SlopePart(PassFit fit, MathNet.Numerics.LinearAlgebra.Vector<double> contrast)
    {
        var weights = fit.Regression.Weights(contrast);
        double lever = 0;
        for (int k = 0; k < fit.Rows.Length; k++)
        {
            (int r, int i) = fit.Rows[k];
            lever += weights[k] * Offset[r][i];
        }

        return Math.Abs(lever) * SlopeUncertainty;
    }
}
