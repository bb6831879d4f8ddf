using MathNet.Numerics.Distributions;

namespace Telemetry.Platform;

/// <summary>Mean over independent passes with its interval.</summary>
internal static class PassMean
{
    /// <summary>Mean of one value a pass with the 95 % interval of Student's t (n - 1 degrees of freedom); null below two passes.</summary>
    public static Estimate? Of(IReadOnlyList<double> passes)
    {
        if (passes.Count < 2)
        {
            return null;
        }

        double mean = 0;
        foreach (double value in passes)
        {
            mean += value / passes.Count;
        }

        double squares = 0;
        foreach (double value in passes)
        {
            squares += (value - mean) * (value - mean);
        }

        double half = StudentT.InvCDF(0, 1, passes.Count - 1, 0.975) * Math.Sqrt(squares / (passes.Count - 1) / passes.Count);
        return new Estimate(mean, mean - half, mean + half);
    }
}
