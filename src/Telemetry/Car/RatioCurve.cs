using System.Collections.Immutable;
using MathNet.Numerics.Interpolation;

namespace Telemetry.Car;

/// <summary>A point of a ratio table.</summary>
/// <param name="DamperTravelM">Damper travel from the static position, m, bump positive.</param>
/// <param name="Ratio">The ratio there, without unit.</param>
public readonly record struct RatioPoint(double DamperTravelM, double Ratio);

/// <summary>A ratio that is constant, or a table against damper travel with monotone, shape-preserving interpolation.</summary>
/// <remarks>
/// Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238: the interpolant has no extremum that the table does not have.
/// There is no extrapolation: outside the table the value is NaN, which the caller flags.
/// </remarks>
public sealed class RatioCurve
{
    private readonly CubicSpline? spline;

    private RatioCurve(ImmutableArray<RatioPoint> points, double relativeUncertainty)
    {
        Points = points;
        RelativeUncertainty = relativeUncertainty;
        if (points.Length > 2)
        {
            spline = CubicSpline.InterpolatePchipSorted(
                [.. points.Select(p => p.DamperTravelM)],
                [.. points.Select(p => p.Ratio)]);
        }
    }

    /// <summary>One point for a constant, else the table with travel strictly rising.</summary>
    public ImmutableArray<RatioPoint> Points { get; }

    /// <summary>Standard uncertainty of the ratio as a share of it.</summary>
    public double RelativeUncertainty { get; }

    /// <summary>True when the ratio does not change with travel, so that no damper channel is needed.</summary>
    public bool IsConstant => Points.Length == 1;

    /// <summary>Smallest travel of the table, m; minus infinity for a constant.</summary>
    public double LowestTravelM => IsConstant ? double.NegativeInfinity : Points[0].DamperTravelM;

    /// <summary>Largest travel of the table, m; plus infinity for a constant.</summary>
    public double HighestTravelM => IsConstant ? double.PositiveInfinity : Points[^1].DamperTravelM;

    /// <summary>A constant ratio.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The ratio is not above 0 or the uncertainty is below 0.</exception>
    public static RatioCurve Constant(double ratio, double relativeUncertainty = 0) =>
        Table([new RatioPoint(0, ratio)], relativeUncertainty);

    /// <summary>A table against damper travel.</summary>
    /// <param name="points">At least one; travel strictly rising, ratios finite and above 0.</param>
    /// <param name="relativeUncertainty">Standard uncertainty as a share of the ratio.</param>
    /// <exception cref="ArgumentOutOfRangeException">A ratio is not above 0, travel does not rise, or the uncertainty is below 0.</exception>
    public static RatioCurve Table(ImmutableArray<RatioPoint> points, double relativeUncertainty = 0)
    {
        if (points.IsDefaultOrEmpty)
        {
            throw new ArgumentOutOfRangeException(nameof(points), "A ratio needs at least one value.");
        }

        for (int i = 0; i < points.Length; i++)
        {
            if (!(points[i].Ratio > 0) || !double.IsFinite(points[i].Ratio))
            {
                throw new ArgumentOutOfRangeException(nameof(points), points[i].Ratio, "A ratio must be above 0.");
            }

            if (!double.IsFinite(points[i].DamperTravelM) || (i > 0 && points[i].DamperTravelM <= points[i - 1].DamperTravelM))
            {
                throw new ArgumentOutOfRangeException(nameof(points), points[i].DamperTravelM, "Damper travel must rise from row to row.");
            }
        }

        if (!(relativeUncertainty >= 0))
        {
            throw new ArgumentOutOfRangeException(nameof(relativeUncertainty), relativeUncertainty, "An uncertainty is not below 0.");
        }

        return new(points, relativeUncertainty);
    }

    /// <summary>The ratio at a damper travel.</summary>
    /// <param name="damperTravelM">Damper travel from the static position, m.</param>
    /// <returns>The ratio; NaN outside the table or for a travel that is NaN.</returns>
    public double At(double damperTravelM)
    {
        if (IsConstant)
        {
            return Points[0].Ratio;
        }

        if (!(damperTravelM >= LowestTravelM && damperTravelM <= HighestTravelM))
        {
            return double.NaN;
        }

        if (spline is not null)
        {
            return spline.Interpolate(damperTravelM);
        }

        double share = (damperTravelM - Points[0].DamperTravelM) / (Points[1].DamperTravelM - Points[0].DamperTravelM);
        return Points[0].Ratio + (share * (Points[1].Ratio - Points[0].Ratio));
    }
}
