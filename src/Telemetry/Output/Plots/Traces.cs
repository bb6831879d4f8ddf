using ScottPlot;
using ScottPlot.Plottables;

namespace Telemetry.Output.Plots;

/// <summary>Lines, bands and points as the pictures draw them.</summary>
internal static class Traces
{
    /// <summary>A line through the points; NaN breaks it.</summary>
    public static Scatter Line(Plot plot, double[] xs, double[] ys, Sign sign, float width = 3)
    {
        Scatter line = plot.Add.ScatterLine(xs, ys, sign.Color);
        line.LineWidth = width;
        line.LinePattern = sign.Dash;
        return line;
    }

    /// <summary>A pale band between two lines; NaN in either breaks it.</summary>
    public static void Band(Plot plot, double[] xs, double[] low, double[] high, Color color, byte alpha = Look.BandAlpha)
    {
        int start = 0;
        for (int i = 0; i <= xs.Length; i++)
        {
            if (i < xs.Length && double.IsFinite(low[i]) && double.IsFinite(high[i]))
            {
                continue;
            }

            if (i - start >= 2)
            {
                FillY band = plot.Add.FillY(xs[start..i], high[start..i], low[start..i]);
                band.FillColor = color.WithAlpha(alpha);
                band.LineWidth = 0;
                band.MarkerShape = MarkerShape.None;
            }

            start = i + 1;
        }
    }

    /// <summary>Points without a line.</summary>
    public static void Points(Plot plot, IReadOnlyList<Coordinates> points, Sign sign, float size = Look.MarkerSize, byte alpha = 170, float lineWidth = 2) =>
        plot.Add.Plottable(new PointCloud(points, sign.Marker, size, sign.Color.WithAlpha(alpha)) { LineWidth = lineWidth });

    /// <summary>A straight line between two points: a level or a position that others are compared with.</summary>
    public static void Straight(Plot plot, Coordinates from, Coordinates to, Color color, LinePattern dash, float width = 2) =>
        Line(plot, [from.X, to.X], [from.Y, to.Y], new(color, dash, default), width);

    /// <summary>At most one point a cell of an even grid over the range of the points: the first in the list. Keeps a cloud's shape at a small cost.</summary>
    /// <param name="points">Points; those that are not finite are left out.</param>
    /// <param name="columns">Cells across.</param>
    /// <param name="rows">Cells up.</param>
    public static List<Coordinates> Thin(IReadOnlyList<Coordinates> points, int columns, int rows)
    {
        double left = double.PositiveInfinity, right = double.NegativeInfinity, low = double.PositiveInfinity, high = double.NegativeInfinity;
        foreach (Coordinates point in points)
        {
            if (double.IsFinite(point.X) && double.IsFinite(point.Y))
            {
                (left, right) = (Math.Min(left, point.X), Math.Max(right, point.X));
                (low, high) = (Math.Min(low, point.Y), Math.Max(high, point.Y));
            }
        }

        HashSet<(int, int)> taken = [];
        List<Coordinates> kept = [];
        foreach (Coordinates point in points)
        {
            if (double.IsFinite(point.X) && double.IsFinite(point.Y)
                && taken.Add((Cell(point.X, left, right, columns), Cell(point.Y, low, high, rows))))
            {
                kept.Add(point);
            }
        }

        return kept;
    }

    private static int Cell(double value, double low, double high, int cells) =>
        high > low ? Math.Min(cells - 1, (int)((value - low) / (high - low) * cells)) : 0;
}
