using ScottPlot;
using SkiaSharp;

namespace Telemetry.Output.Plots;

/// <summary>Points that share one sign.</summary>
/// <remarks>In place of the library's own markers: those take over the dash of the line drawn before them, which its SVG writer cannot draw.</remarks>
internal sealed class PointCloud(IReadOnlyList<Coordinates> points, MarkerShape shape, float size, Color color) : IPlottable
{
    public IReadOnlyList<Coordinates> Points { get; } = points;

    /// <summary>Width of the line of an open sign.</summary>
    public float LineWidth { get; init; } = 2;

    public bool IsVisible { get; set; } = true;

    public IAxes Axes { get; set; } = new Axes();

    public IEnumerable<LegendItem> LegendItems => [];

    public AxisLimits GetAxisLimits() => Points.Count == 0
        ? AxisLimits.NoLimits
        : new(Points.Min(p => p.X), Points.Max(p => p.X), Points.Min(p => p.Y), Points.Max(p => p.Y));

    public void Render(RenderPack rp)
    {
        using SKPaint paint = PaintFor(shape, color, LineWidth);
        foreach (Coordinates point in Points)
        {
            Pixel at = Axes.GetPixel(point);
            if (float.IsFinite(at.X + at.Y) && at.X > rp.DataRect.Left - size && at.X < rp.DataRect.Right + size
                && at.Y > rp.DataRect.Top - size && at.Y < rp.DataRect.Bottom + size)
            {
                Draw(rp.Canvas, at, shape, size, paint);
            }
        }
    }

    /// <summary>Draws one sign by itself, for the legend.</summary>
    public static void Draw(SKCanvas canvas, Pixel at, MarkerShape shape, float size, Color color)
    {
        using SKPaint paint = PaintFor(shape, color, 2);
        Draw(canvas, at, shape, size, paint);
    }

    private static SKPaint PaintFor(MarkerShape shape, Color color, float lineWidth) => new()
    {
        Color = color.ToSKColor(),
        IsAntialias = true,
        IsStroke = shape is MarkerShape.OpenCircle or MarkerShape.OpenSquare or MarkerShape.Eks,
        StrokeWidth = lineWidth,
    };

    private static void Draw(SKCanvas canvas, Pixel at, MarkerShape shape, float size, SKPaint paint)
    {
        float half = size / 2;
        switch (shape)
        {
            case MarkerShape.FilledCircle or MarkerShape.OpenCircle:
                canvas.DrawCircle(at.X, at.Y, half, paint);
                break;
            case MarkerShape.FilledSquare or MarkerShape.OpenSquare:
                canvas.DrawRect(at.X - half, at.Y - half, size, size, paint);
                break;
            case MarkerShape.FilledTriangleUp:
                Corners(canvas, paint, at, (0, -half), (half, half), (-half, half));
                break;
            case MarkerShape.FilledTriangleDown:
                Corners(canvas, paint, at, (0, half), (half, -half), (-half, -half));
                break;
            case MarkerShape.FilledDiamond:
                half *= 1.2f;
                Corners(canvas, paint, at, (0, -half), (half, 0), (0, half), (-half, 0));
                break;
            case MarkerShape.Eks:
                canvas.DrawLine(at.X - half, at.Y - half, at.X + half, at.Y + half, paint);
                canvas.DrawLine(at.X - half, at.Y + half, at.X + half, at.Y - half, paint);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(shape), shape, "The pictures have no such sign.");
        }
    }

    private static void Corners(SKCanvas canvas, SKPaint paint, Pixel at, params ReadOnlySpan<(float X, float Y)> corners)
    {
        using SKPath path = new();
        path.MoveTo(at.X + corners[0].X, at.Y + corners[0].Y);
        foreach ((float x, float y) in corners[1..])
        {
            path.LineTo(at.X + x, at.Y + y);
        }

        path.Close();
        canvas.DrawPath(path, paint);
    }
}
