using System.Runtime.Intrinsics;
using Telemetry.Car;

namespace Telemetry.Fatigue;

/// <summary>Turns a cycle with a mean into the fully reversed range that does the same damage.</summary>
/// <remarks>
/// Tension positive. S range, m mean, u ultimate strength, M = m + S/2 the largest value:
/// Goodman S/(1 - m/u); Gerber S/(1 - (m/u)^2); Smith, Watson and Topper 2 sqrt(M S/2); Walker 2 M (S/(2M))^gamma
/// (N. E. Dowling, Mechanical Behavior of Materials, chapter on stress-life; from memory, the numbers checked against open test suites).
/// Where a rule would give credit, or has no value, the result errs to more damage:
/// <list type="bullet">
/// <item>A mean in compression earns no credit: the cycle counts as fully reversed. So does every cycle that is never in tension.</item>
/// <item>A mean at or past the ultimate strength is entered as 0.999 of it, so that the sum stays a number; the part is then far past its life.</item>
/// </list>
/// </remarks>
public static class MeanStress
{
    /// <summary>Largest share of the ultimate strength that a mean is entered with: the range is then 1000 times (Goodman) or 500 times (Gerber) its own.</summary>
    private const double LargestMeanShare = 0.999;

    /// <summary>The fully reversed range that does the same damage.</summary>
    /// <param name="rule">The rule.</param>
    /// <param name="range">Range of the cycle, 0 or more, in the unit of the S-N line.</param>
    /// <param name="mean">Mean of the cycle, tension positive, same unit.</param>
    /// <param name="ultimate">Ultimate strength for Goodman and Gerber, same unit; not used by the others.</param>
    /// <param name="gamma">Walker's exponent, 0 to 1; not used by the others.</param>
    /// <returns>Never less than <paramref name="range"/>; NaN when range or mean is.</returns>
    public static double EquivalentRange(MeanStressRule rule, double range, double mean, double ultimate = double.NaN, double gamma = double.NaN) =>
        EquivalentRange(rule, Vector256.Create(range), Vector256.Create(mean), ultimate, gamma).ToScalar();

    /// <summary>The same of four cycles.</summary>
    internal static Vector256<double> EquivalentRange(MeanStressRule rule, Vector256<double> range, Vector256<double> mean, double ultimate, double gamma)
    {
        if (rule == MeanStressRule.None)
        {
            return range;
        }

        Vector256<double> noCredit = Vector256.LessThanOrEqual(mean, Vector256<double>.Zero);
        Vector256<double> half = range / 2;
        Vector256<double> share = Vector256.Min(mean / ultimate, Vector256.Create(LargestMeanShare));
        Vector256<double> largest = mean + half;
        Vector256<double> equivalent = rule switch
        {
            MeanStressRule.Goodman => range / (Vector256<double>.One - share),
            MeanStressRule.Gerber => range / (Vector256<double>.One - (share * share)),
            MeanStressRule.SmithWatsonTopper => Vector256.Sqrt(largest * half) * 2,
            MeanStressRule.Walker => largest * 2 * SlopePower.Of(Vector256.ConditionalSelect(noCredit, Vector256<double>.One, half / largest), gamma),
            _ => throw new ArgumentOutOfRangeException(nameof(rule), rule, "The mean-stress rule is not known."),
        };
        return Vector256.ConditionalSelect(noCredit, range, equivalent);
    }
}
