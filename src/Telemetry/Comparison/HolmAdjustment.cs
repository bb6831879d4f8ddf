using System.Collections.Immutable;

namespace Telemetry.Comparison;

/// <summary>Probabilities of several tests of one family, so that the family errs no more often than one test.</summary>
/// <remarks>Holm, Scandinavian Journal of Statistics 6 (1979) 65: the smallest counts m-fold, the next (m - 1)-fold, none below the one before it, none above 1.</remarks>
public static class HolmAdjustment
{
    /// <summary>Adjusted probabilities in the order given; NaN stays NaN and does not count.</summary>
    public static ImmutableArray<double> Of(IReadOnlyList<double> probabilities)
    {
        ArgumentNullException.ThrowIfNull(probabilities);
        double[] adjusted = [.. probabilities];
        int[] order = [.. Enumerable.Range(0, adjusted.Length).Where(i => !double.IsNaN(adjusted[i])).OrderBy(i => adjusted[i])];
        double floor = 0;
        for (int k = 0; k < order.Length; k++)
        {
            floor = Math.Max(floor, Math.Min(1, (order.Length - k) * probabilities[order[k]]));
            adjusted[order[k]] = floor;
        }

        return [.. adjusted];
    }
}
