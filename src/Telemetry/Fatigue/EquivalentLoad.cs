using System.Runtime.Intrinsics;

namespace Telemetry.Fatigue;

/// <summary>One constant range that stands for a whole count (equation E10).</summary>
public static class EquivalentLoad
{
    /// <summary>The constant range that does the same damage in a chosen number of cycles: (sum of n S^m / N)^(1/m).</summary>
    /// <remarks>Plain load ranges on one slope: no mean-stress rule, load factor or cut-off, so that runs and cars can be compared by one number.</remarks>
    /// <param name="cycles">Cycles; half cycles count half.</param>
    /// <param name="exponent">m, slope of the S-N line in log-log, above 0.</param>
    /// <param name="equivalentCycles">N, above 0.</param>
    /// <returns>Range in the unit of the load; 0 without cycles.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The exponent or the number of cycles is not above 0.</exception>
    public static double Range(CycleCount cycles, double exponent, double equivalentCycles)
    {
        ArgumentNullException.ThrowIfNull(cycles);
        if (!(exponent > 0) || !(equivalentCycles > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(exponent), exponent, "The exponent and the number of cycles must be above 0.");
        }

        ReadOnlySpan<double> from = cycles.FromN.AsSpan();
        ReadOnlySpan<double> to = cycles.ToN.AsSpan();
        ReadOnlySpan<double> weight = cycles.Weight.AsSpan();
        double largest = cycles.LargestRangeN();

        if (largest == 0)
        {
            return 0;
        }

        // Ranges as shares of the largest, so that a high power neither overflows nor vanishes.
        int start = 0;
        Vector256<double> sums = Vector256<double>.Zero;
        for (; start <= from.Length - Vector256<double>.Count; start += Vector256<double>.Count)
        {
            Vector256<double> shares = Vector256.Abs(Vector256.Create(to[start..]) - Vector256.Create(from[start..])) / largest;
            sums += Vector256.Create(weight[start..]) * SlopePower.Of(shares, exponent);
        }

        double sum = Vector256.Sum(sums);
        for (; start < from.Length; start++)
        {
            sum += weight[start] * SlopePower.Of(Vector256.Create(Math.Abs(to[start] - from[start]) / largest), exponent).ToScalar();
        }

        return largest * Math.Pow(sum / equivalentCycles, 1 / exponent);
    }
}
