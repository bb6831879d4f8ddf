using System.Collections.Immutable;

namespace Telemetry.Aero;

/// <summary>Where a map may be read: inside the convex hull of the ride heights that enough passes reached, a little widened, and not beyond the leverage of the data.</summary>
internal sealed class MapSupport
{
    private readonly double marginM;
    private readonly double highestLeverage;

    private MapSupport(ImmutableArray<HeightPair> hull, double marginM, double highestLeverage)
    {
        Hull = hull;
        this.marginM = marginM;
        this.highestLeverage = highestLeverage;
    }

    /// <summary>Corners of the hull, counter-clockwise; two where all heights lie on a line.</summary>
    public ImmutableArray<HeightPair> Hull { get; }

    /// <summary>The support of some points.</summary>
    /// <param name="points">Heights that enough passes reached.</param>
    /// <param name="marginM">How far beyond the hull the map may still be read, m.</param>
    /// <param name="surface">The fitted surface.</param>
    public static MapSupport Of(IReadOnlyList<HeightPair> points, double marginM, MapSurface surface)
    {
        ImmutableArray<HeightPair> hull = ConvexHull(points);
        double highest = 0;
        foreach (HeightPair corner in hull)
        {
            highest = Math.Max(highest, surface.Leverage(corner));
        }

        return new(hull, marginM, highest);
    }

    /// <summary>Why a place is not supported, or null.</summary>
    public string? WhyNot(HeightPair at, MapSurface surface)
    {
        if (!double.IsFinite(at.FrontM + at.RearM))
        {
            return "The ride heights are not known.";
        }

        double outside = DistanceOutside(at);
        if (outside > marginM)
        {
            return FormattableString.Invariant(
                $"Front {1000 * at.FrontM:0.0} mm and rear {1000 * at.RearM:0.0} mm lie {1000 * outside:0.0} mm outside the ride heights that the straight passes reached; a run there would tell.");
        }

        // The margin is worth as much more leverage as it is beyond the data; twice that of the outermost data is where extrapolation begins.
        return surface.Leverage(at) > 2 * highestLeverage
            ? FormattableString.Invariant($"Front {1000 * at.FrontM:0.0} mm and rear {1000 * at.RearM:0.0} mm are a pair that the straight passes do not bring together; a run at other static ride heights would tell.")
            : null;
    }

    /// <summary>Distance from the hull, m; 0 inside.</summary>
    public double DistanceOutside(HeightPair at)
    {
        if (Hull.Length == 0)
        {
            return double.PositiveInfinity;
        }

        double nearest = double.PositiveInfinity;
        bool inside = Hull.Length > 2;
        for (int i = 0; i < Hull.Length; i++)
        {
            HeightPair a = Hull[i];
            HeightPair b = Hull[(i + 1) % Hull.Length];
            inside &= Turn(a, b, at) >= 0;
            nearest = Math.Min(nearest, DistanceToEdge(a, b, at));
        }

        return inside ? 0 : nearest;
    }

    /// <summary>A. M. Andrew, Information Processing Letters 9 (1979) 216: the monotone chain; from memory.</summary>
    public static ImmutableArray<HeightPair> ConvexHull(IReadOnlyList<HeightPair> points)
    {
        HeightPair[] sorted = [.. points.Distinct().OrderBy(p => p.FrontM).ThenBy(p => p.RearM)];
        if (sorted.Length < 3)
        {
            return [.. sorted];
        }

        List<HeightPair> hull = [];
        for (int side = 0; side < 2; side++)
        {
            int first = hull.Count;
            foreach (HeightPair point in side == 0 ? sorted : sorted.Reverse())
            {
                while (hull.Count >= first + 2 && Turn(hull[^2], hull[^1], point) <= 0)
                {
                    hull.RemoveAt(hull.Count - 1);
                }

                hull.Add(point);
            }

            hull.RemoveAt(hull.Count - 1);
        }

        return [.. hull];
    }

    private static double Turn(HeightPair a, HeightPair b, HeightPair c) =>
        ((b.FrontM - a.FrontM) * (c.RearM - a.RearM)) - ((b.RearM - a.RearM) * (c.FrontM - a.FrontM));

    private static double DistanceToEdge(HeightPair a, HeightPair b, HeightPair at)
    {
        double x = b.FrontM - a.FrontM;
        double y = b.RearM - a.RearM;
        double length = (x * x) + (y * y);
        double share = length > 0 ? Math.Clamp((((at.FrontM - a.FrontM) * x) + ((at.RearM - a.RearM) * y)) / length, 0, 1) : 0;
        return double.Hypot(at.FrontM - a.FrontM - (share * x), at.RearM - a.RearM - (share * y));
    }
}
