using System.Collections.Immutable;
using System.Numerics;

namespace Telemetry.Filters;

/// <summary>Two poles of a digital filter that make up one section, as sums that lose no digits when a pole lies close to z = 1.</summary>
/// <param name="Slope">(1 - z1) + (1 - z2), which is 2 + a1.</param>
/// <param name="Sum">(1 - z1)(1 - z2), which is 1 + a1 + a2.</param>
/// <param name="NyquistSum">(1 + z1)(1 + z2), which is 1 - a1 + a2; for a single pole 1 + z1.</param>
/// <param name="CircleDistance">Distance of the closer pole from the unit circle.</param>
/// <param name="IsSingle">True for a first-order section, whose second pole sits at z = 0 and is cancelled by a zero there.</param>
internal readonly record struct PolePair(double Slope, double Sum, double NyquistSum, double CircleDistance, bool IsSingle)
{
    /// <summary>A pole in the upper or lower half of the s plane and its mirror image.</summary>
    internal static PolePair Complex(Complex s)
    {
        // z = (1 + s) / (1 - s), so 1 - z = -2 s / (1 - s) and 1 + z = 2 / (1 - s). The real part of s is below 0: only sums of positive terms.
        double damping = -s.Real;
        double square = (s.Real * s.Real) + (s.Imaginary * s.Imaginary);
        double scale = ((1 + damping) * (1 + damping)) + (s.Imaginary * s.Imaginary);
        double productShortfall = 4 * damping / scale;
        return new(
            4 * (damping + square) / scale,
            4 * square / scale,
            4 / scale,
            productShortfall / (1 + Math.Sqrt(Math.Max(0, 1 - productShortfall))),
            IsSingle: false);
    }

    /// <summary>Two real poles, both below 0.</summary>
    internal static PolePair Real(double s1, double s2)
    {
        double first = FromOne(s1);
        double second = FromOne(s2);
        return new(
            first + second,
            first * second,
            4 / ((1 - s1) * (1 - s2)),
            Math.Min(Math.Min(first, 2 - first), Math.Min(second, 2 - second)),
            IsSingle: false);
    }

    /// <summary>One real pole, below 0.</summary>
    internal static PolePair Single(double s)
    {
        double fromOne = FromOne(s);
        return new(1 + fromOne, fromOne, 2 / (1 - s), Math.Min(fromOne, 2 - fromOne), IsSingle: true);
    }

    /// <summary>The order in which sections run: the resonant ones last, where the others have already taken energy away.</summary>
    internal static ImmutableArray<PolePair> FarthestFromCircleFirst(IEnumerable<PolePair> pairs) =>
        [.. pairs.OrderByDescending(pair => pair.CircleDistance)];

    /// <summary>The section with these poles and the given numerator.</summary>
    internal FilterSection Section(double b0, double numeratorSlope, double numeratorSum) =>
        new(b0, numeratorSlope, numeratorSum, Slope, Sum);

    private static double FromOne(double s) => -2 * s / (1 - s);
}
