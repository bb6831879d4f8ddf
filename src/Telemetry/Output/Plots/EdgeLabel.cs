using ScottPlot;
using SkiaSharp;

namespace Telemetry.Output.Plots;

/// <summary>The name of a level, written to the right of the plot.</summary>
/// <param name="Y">The level, in the units of the axis.</param>
/// <param name="Text">Its name.</param>
/// <param name="Color">Colour of the level's line.</param>
/// <param name="IsBold">True for the levels that matter most.</param>
internal sealed record EdgeLabel(double Y, string Text, Color Color, bool IsBold)
{
    private const float Apart = 25;
    private const float Size = 19;

    /// <summary>Writes the labels of a plot that has just been drawn, moved apart where levels lie close, each led to its level.</summary>
    public static void Draw(FigurePanel panel, SKCanvas canvas, Paint paint)
    {
        AxisLimits limits = panel.Plot.Axes.GetLimits();
        EdgeLabel[] labels = [.. panel.EdgeLabels.Where(label => label.Y >= limits.Bottom && label.Y <= limits.Top).OrderByDescending(label => label.Y)];
        Pixel[] levels = [.. labels.Select(label => panel.Plot.GetPixel(new Coordinates(limits.Right, label.Y)))];
        float[] places = Spread([.. levels.Select(level => level.Y)]);
        for (int i = 0; i < labels.Length; i++)
        {
            using SKPaint line = new() { Color = labels[i].Color.ToSKColor(), IsAntialias = true, IsStroke = true, StrokeWidth = 1.5f };
            canvas.DrawLine(levels[i].X + 3, levels[i].Y, levels[i].X + 22, places[i], line);
            FigureWriter.Text(labels[i].Text, Size, Look.Ink, labels[i].IsBold, Alignment.MiddleLeft)
                .Render(canvas, new Pixel(levels[i].X + 27, places[i]), paint);
        }
    }

    /// <summary>Places at least a line apart and as near to the wanted ones as a run of neighbours allows; wanted ones ascend.</summary>
    public static float[] Spread(float[] wanted)
    {
        // Neighbours that are too close form a block about the mean of what its members want; blocks that touch are joined.
        List<(float Sum, int Count)> blocks = [];
        foreach (float place in wanted)
        {
            (float Sum, int Count) last = (place, 1);
            while (blocks.Count > 0 && Start(last) - Start(blocks[^1]) < Apart * blocks[^1].Count)
            {
                last = (last.Sum + blocks[^1].Sum, last.Count + blocks[^1].Count);
                blocks.RemoveAt(blocks.Count - 1);
            }

            blocks.Add(last);
        }

        return [.. blocks.SelectMany(block => Enumerable.Range(0, block.Count).Select(i => Start(block) + (Apart * i)))];
    }

    private static float Start((float Sum, int Count) block) => (block.Sum / block.Count) - (Apart * (block.Count - 1) / 2);
}
