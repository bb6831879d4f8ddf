using System.Runtime.Intrinsics;

namespace Telemetry.Fatigue;

/// <summary>Powers with the slope of an S-N line, four at a time.</summary>
internal static class SlopePower
{
    /// <summary>A power of each ratio.</summary>
    /// <remarks>
    /// By squaring for the whole slopes that most lines have; otherwise exp(slope ln(ratio)), whose relative error is a few units of the last place of the exponent:
    /// 1e-14 at a slope of 10 and a ratio of a hundredth. Beside a ratio of 0, infinity or NaN, or a power near the ends of the numbers, the others may be a unit of the last place off.
    /// </remarks>
    /// <param name="ratio">0 or more.</param>
    /// <param name="slope">Above 0.</param>
    /// <returns>NaN for NaN.</returns>
    public static Vector256<double> Of(Vector256<double> ratio, double slope)
    {
        if (slope != (int)slope || slope is not (> 0 and <= 64))
        {
            return Vector256.Exp(Vector256.Log(ratio) * slope);
        }

        Vector256<double> power = Vector256<double>.One;
        for (int rest = (int)slope; rest > 0; rest >>= 1, ratio *= ratio)
        {
            if ((rest & 1) == 1)
            {
                power *= ratio;
            }
        }

        return power;
    }
}
