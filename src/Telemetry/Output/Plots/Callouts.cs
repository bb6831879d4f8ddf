using ScottPlot;
using SkiaSharp;

namespace Telemetry.Output.Plots;

/// <summary>A short text that belongs to a point.</summary>
internal readonly record struct Callout(double X, double Y, string Text, Color Color);

/// <summary>Texts beside their points, placed so that none covers another or a point; those for which there is no room are left out.</summary>
/// <remarks>The first in the list is placed first, so the list goes from the most to the least important.</remarks>
internal sealed class Callouts(IReadOnlyList<Callout> items) : IPlottable
{
    private const float Away = 15;
    private readonly List<SKRect> placed = [];

    public IReadOnlyList<Callout> Items { get; } = items;

    /// <summary>Other points that a text must not cover.</summary>
    public IReadOnlyList<Coordinates> KeepClear { get; init; } = [];

    /// <summary>Size of the text.</summary>
    public float Size { get; init; } = 19;

    /// <summary>True for a text that must stay level with its point, to its right or left.</summary>
    public bool IsInRow { get; init; }

    /// <summary>Where the texts were placed when last drawn, pixels, in the order in which they were placed.</summary>
    public IReadOnlyList<SKRect> Placed => placed;

    public bool IsVisible { get; set; } = true;

    public IAxes Axes { get; set; } = new Axes();

    public IEnumerable<LegendItem> LegendItems => [];

    public AxisLimits GetAxisLimits() => AxisLimits.NoLimits;

    public void Render(RenderPack rp)
    {
        placed.Clear();
        List<SKRect> taken = [];
        foreach (Coordinates point in KeepClear)
        {
            Pixel pixel = Axes.GetPixel(point);
            taken.Add(new(pixel.X - 7, pixel.Y - 7, pixel.X + 7, pixel.Y + 7));
        }

        SKRect page = new(rp.DataRect.Left + 2, rp.DataRect.Top + 2, rp.DataRect.Right - 2, rp.DataRect.Bottom - 2);
        foreach (Callout item in Items)
        {
            Pixel at = Axes.GetPixel(new Coordinates(item.X, item.Y));
            if (!page.Contains(at.X, at.Y))
            {
                continue;
            }

            LabelStyle label = FigureWriter.Text(item.Text, Size, item.Color, true);
            PixelSize size = label.Measure(rp.Paint).Size;
            if ((IsInRow ? PlaceInRow(at, size, page, taken) : Place(at, size, page, taken)) is not { } box)
            {
                continue;
            }

            taken.Add(box);
            placed.Add(box);
            Leader(rp, at, box);
            using SKPaint halo = new() { Color = SKColors.White.WithAlpha(205) };
            rp.Canvas.DrawRect(box, halo);
            label.Render(rp.Canvas, new Pixel(box.Left + 3, box.Top), rp.Paint);
        }
    }

    private static SKRect? Place(Pixel at, PixelSize size, SKRect page, List<SKRect> taken)
    {
        float width = size.Width + 6, height = size.Height;
        for (int ring = 0; ring < 5; ring++)
        {
            float away = Away + (ring * 20);
            ReadOnlySpan<(float X, float Y)> corners =
            [
                (at.X - (width / 2), at.Y - away - height), (at.X + away, at.Y - (height / 2)), (at.X - away - width, at.Y - (height / 2)),
                (at.X + (away * 0.7f), at.Y - (away * 0.7f) - height), (at.X - (away * 0.7f) - width, at.Y - (away * 0.7f) - height),
                (at.X + (away * 0.7f), at.Y + (away * 0.7f)), (at.X - (away * 0.7f) - width, at.Y + (away * 0.7f)), (at.X - (width / 2), at.Y + away),
            ];
            foreach ((float x, float y) in corners)
            {
                SKRect box = new(x, y, x + width, y + height);
                if (page.Contains(box) && taken.TrueForAll(other => !other.IntersectsWith(box)))
                {
                    return box;
                }
            }
        }

        return null;
    }

    private static SKRect? PlaceInRow(Pixel at, PixelSize size, SKRect page, List<SKRect> taken)
    {
        float width = size.Width + 6, y = at.Y - (size.Height / 2);
        foreach (float x in (ReadOnlySpan<float>)[at.X + 8, at.X - 8 - width, at.X + 40, at.X - 40 - width])
        {
            SKRect box = new(x, y, x + width, y + size.Height);
            if (page.Contains(box) && taken.TrueForAll(other => !other.IntersectsWith(box)))
            {
                return box;
            }
        }

        return null;
    }

    private static void Leader(RenderPack rp, Pixel at, SKRect box)
    {
        float x = Math.Clamp(at.X, box.Left, box.Right), y = Math.Clamp(at.Y, box.Top, box.Bottom);
        float dx = x - at.X, dy = y - at.Y;
        float length = MathF.Sqrt((dx * dx) + (dy * dy));
        if (length < Away + 6)
        {
            return;
        }

        using SKPaint line = new() { Color = Look.Muted.ToSKColor(), IsAntialias = true, IsStroke = true, StrokeWidth = 1.2f };
        rp.Canvas.DrawLine(at.X + (dx * 9 / length), at.Y + (dy * 9 / length), x, y, line);
    }
}
