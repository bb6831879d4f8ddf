using MathNet.Numerics.Distributions;

namespace Telemetry.Platform;

/// <summary>Interval of any answer by leaving out one group at a time.</summary>
/// <remarks>Delete-one jackknife with Student's t: B. Efron and R. Tibshirani, An Introduction to the Bootstrap (1993), chapter 11.</remarks>
internal static class GroupJackknife
{
    /// <summary>The answer of all groups with its 95 % interval.</summary>
    /// <param name="value">The answer of all.</param>
    /// <param name="without">The answer without each group.</param>
    /// <param name="systematic">Standard uncertainty that all groups share, unit of the answer.</param>
    /// <returns>Null with fewer than three groups or a number that is not finite.</returns>
    public static Estimate? Of(double value, IReadOnlyList<double> without, double systematic = 0)
    {
        int n = without.Count;
        if (n < 3 || !double.IsFinite(value) || without.Any(one => !double.IsFinite(one)))
        {
            return null;
        }

        double mean = without.Average();
        double variance = (n - 1.0) / n * without.Sum(one => (one - mean) * (one - mean));
        double combined = variance + (systematic * systematic);
        double degrees = variance > 0 ? Math.Min(1e6, (n - 1) * (combined / variance) * (combined / variance)) : 1e6;
        double half = StudentT.InvCDF(0, 1, degrees, 0.975) * Math.Sqrt(combined);
        return new(value, value - half, value + half);
    }
}
