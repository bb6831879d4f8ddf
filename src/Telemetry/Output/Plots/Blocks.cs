using ScottPlot;
using SkiaSharp;

namespace Telemetry.Output.Plots;

/// <summary>One rectangle in data coordinates.</summary>
/// <param name="Left">Left edge.</param>
/// <param name="Right">Right edge.</param>
/// <param name="Bottom">Lower edge.</param>
/// <param name="Top">Upper edge.</param>
/// <param name="Color">Fill.</param>
/// <param name="IsHatched">True for slanting lines on a pale fill, so that it is told apart without colour.</param>
internal readonly record struct Block(double Left, double Right, double Bottom, double Top, Color Color, bool IsHatched = false);

/// <summary>Filled rectangles, plain or hatched: bars, cells of a matrix, spans of time. Sharp in PNG and in SVG.</summary>
internal sealed class Blocks(IReadOnlyList<Block> blocks) : IPlottable
{
    public IReadOnlyList<Block> Items { get; } = blocks;

    /// <summary>A block is drawn at least this wide, so that a very short span is still seen.</summary>
    public float LeastWidthPx { get; init; }

    /// <summary>Space left free on the right and upper side, so that neighbours are told apart.</summary>
    public float GapPx { get; init; }

    public bool IsVisible { get; set; } = true;

    public IAxes Axes { get; set; } = new Axes();

    public IEnumerable<LegendItem> LegendItems => [];

    public AxisLimits GetAxisLimits()
    {
        if (Items.Count == 0)
        {
            return AxisLimits.NoLimits;
        }

        return new(Items.Min(b => b.Left), Items.Max(b => b.Right), Items.Min(b => b.Bottom), Items.Max(b => b.Top));
    }

    public void Render(RenderPack rp)
    {
        foreach (Block block in Items)
        {
            float left = Axes.GetPixelX(block.Left), right = Axes.GetPixelX(block.Right) - GapPx;
            if (right - left < LeastWidthPx)
            {
                float middle = (left + right) / 2;
                (left, right) = (middle - (LeastWidthPx / 2), middle + (LeastWidthPx / 2));
            }

            PixelRect rect = new(left, right, Axes.GetPixelY(block.Bottom), Axes.GetPixelY(block.Top) + GapPx);
            DrawBlock(rp.Canvas, rp.Paint, rect, block.Color, block.IsHatched);
        }
    }

    public static void DrawBlock(SKCanvas canvas, Paint paint, PixelRect rect, Color color, bool isHatched)
    {
        using SKPaint fill = new() { Color = isHatched ? color.WithAlpha(60).ToSKColor() : color.ToSKColor(), IsAntialias = true };
        canvas.DrawRect(rect.Left, rect.Top, rect.Width, rect.Height, fill);
        if (!isHatched)
        {
            return;
        }

        // Slanting lines x + y = c, cut to the rectangle by hand: a clip would bring a mask into the SVG.
        using SKPath lines = new();
        const float step = 8;
        for (float c = (MathF.Floor((rect.Left + rect.Top) / step) + 1) * step; c < rect.Right + rect.Bottom; c += step)
        {
            float from = MathF.Max(rect.Left, c - rect.Bottom), to = MathF.Min(rect.Right, c - rect.Top);
            lines.MoveTo(from, c - from);
            lines.LineTo(to, c - to);
        }

        lines.AddRect(new SKRect(rect.Left, rect.Top, rect.Right, rect.Bottom));
        using SKPaint stroke = new() { Color = color.ToSKColor(), IsAntialias = true, IsStroke = true, StrokeWidth = 2 };
        canvas.DrawPath(lines, stroke);
    }
}
