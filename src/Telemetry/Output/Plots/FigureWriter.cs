using System.Collections.Immutable;
using System.Runtime.InteropServices;
using ScottPlot;
using SkiaSharp;

namespace Telemetry.Output.Plots;

/// <summary>Lays a figure out once and writes it as PNG and as SVG.</summary>
internal static class FigureWriter
{
    /// <summary>Width of the canvas that all sizes in the pictures refer to.</summary>
    public const float CanvasWidth = 1600;

    private const float Side = 34;
    private const float LegendLine = 36;

    public static (ImmutableArray<byte> Png, ImmutableArray<byte> Svg) Write(Figure figure, PlotOptions options)
    {
        float height = CanvasWidth * options.HeightPx / options.WidthPx;
        SKRect page = new(0, 0, CanvasWidth, height);
        using SKPictureRecorder recorder = new();
        DrawPage(figure, recorder.BeginRecording(page), height);
        using SKPicture picture = recorder.EndRecording();
        return (Png(picture, options), Svg(figure, picture, page));
    }

    private static ImmutableArray<byte> Png(SKPicture picture, PlotOptions options)
    {
        SKImageInfo info = new(options.WidthPx, options.HeightPx, SKColorType.Rgba8888, SKAlphaType.Opaque);
        using SKSurface surface = SKSurface.Create(info) ?? throw new InvalidOperationException("No memory for the picture.");
        surface.Canvas.Scale(options.WidthPx / CanvasWidth);
        surface.Canvas.DrawPicture(picture);
        using SKPixmap? pixels = surface.PeekPixels();

        // Of all filters and levels this pair takes a third of the library's default time, for files that are at most a fifth larger.
        using SKData? data = pixels?.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Up, 3));
        if (data is null)
        {
            throw new InvalidOperationException("The picture could not be encoded as PNG.");
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(data.ToArray());
    }

    private static ImmutableArray<byte> Svg(Figure figure, SKPicture picture, SKRect page)
    {
        using MemoryStream stream = new();
        using (SKCanvas canvas = SKSvgCanvas.Create(page, stream))
        {
            canvas.DrawPicture(picture);
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(SvgText.Finish(stream.GetBuffer().AsSpan(0, (int)stream.Length), figure, page.Width, page.Height));
    }

    private static void DrawPage(Figure figure, SKCanvas canvas, float height)
    {
        using Paint paint = Paint.NewDisposablePaint();
        canvas.Clear(SKColors.White);
        float y = 20;
        foreach (LabelStyle line in TitleLines(figure.Title, paint))
        {
            line.Render(canvas, new Pixel(Side, y), paint);
            y += line.FontSize * 1.28f;
        }

        y += 4;
        LabelStyle subtitle = Fit(figure.Subtitle, Look.TextSize, 14, Look.Muted, paint);
        subtitle.Render(canvas, new Pixel(Side, y), paint);
        y += 38;
        y = DrawLegend(figure.Legend, canvas, y, paint);
        float bottom = height - 12;
        if (figure.Footnote.Length > 0)
        {
            foreach (LabelStyle line in FootLines(figure.Footnote, paint).Reverse())
            {
                bottom -= 28;
                line.Render(canvas, new Pixel(Side, bottom + 4), paint);
            }
        }

        foreach (FigurePanel panel in figure.Panels)
        {
            DrawPanel(panel, canvas, new PixelRect(14, CanvasWidth - 14, bottom, y), paint);
        }
    }

    private static void DrawPanel(FigurePanel panel, SKCanvas canvas, PixelRect page, Paint paint)
    {
        PixelRect rect = new(
            page.Left + (float)(panel.Share.Left * page.Width),
            page.Left + (float)(panel.Share.Right * page.Width),
            page.Top + (float)(panel.Share.Bottom * page.Height),
            page.Top + (float)(panel.Share.Top * page.Height));
        panel.Plot.Layout.Fixed(panel.Room);
        canvas.Save();
        panel.Plot.Render(canvas, rect);
        canvas.Restore();
        EdgeLabel.Draw(panel, canvas, paint);
        LabelStyle left = Text(panel.Plot.Axes.Left.Label.Text, Look.LabelSize, Look.Ink, false, Alignment.UpperCenter);
        left.Rotation = -90;
        left.Render(canvas, new Pixel(rect.Left + 2, (rect.Top + panel.Room.Top + rect.Bottom - panel.Room.Bottom) / 2), paint);
        if (panel.Heading.Length > 0)
        {
            LabelStyle heading = Fit(panel.Heading, 22, 14, Look.Ink, paint, rect.Width - panel.Room.Left - panel.Room.Right);
            heading.Render(canvas, new Pixel(rect.Left + panel.Room.Left, rect.Top + 4), paint);
        }
    }

    /// <summary>The title on one line, on two when it is too long, and smaller when two do not hold it.</summary>
    private static IEnumerable<LabelStyle> TitleLines(string title, Paint paint)
    {
        for (float size = Look.TitleSize; size >= 24; size -= 2)
        {
            LabelStyle whole = Text(title, size, Look.Ink, true);
            if (whole.Measure(paint).Width <= CanvasWidth - (2 * Side))
            {
                return [whole];
            }
        }

        string[] words = title.Split(' ');
        LabelStyle first = Text("", 26, Look.Ink, true);
        int taken = 1;
        while (taken < words.Length && first.Measure(string.Join(' ', words[..(taken + 1)]), paint).Width <= CanvasWidth - (2 * Side))
        {
            taken++;
        }

        first.Text = string.Join(' ', words[..taken]);
        LabelStyle second = Fit(string.Join(' ', words[taken..]), 26, 14, Look.Ink, paint);
        second.Bold = true;
        return [first, second];
    }

    /// <summary>The footnote on one line, or on two that are broken at a blank.</summary>
    private static IEnumerable<LabelStyle> FootLines(string text, Paint paint)
    {
        const float size = 19;
        float width = CanvasWidth - (2 * Side);
        LabelStyle whole = Text(text, size, Look.Muted, false);
        int at = text.Length;
        while (at > 0 && whole.Measure(text[..at], paint).Width > width)
        {
            at = text.LastIndexOf(' ', at - 1);
        }

        return at <= 0 || at == text.Length
            ? [Fit(text, size, 13, Look.Muted, paint)]
            : [Text(text[..at], size, Look.Muted, false), Fit(text[(at + 1)..], size, 13, Look.Muted, paint)];
    }

    private static LabelStyle Fit(string text, float size, float smallest, Color color, Paint paint, float width = CanvasWidth - (2 * Side))
    {
        LabelStyle label = Text(text, size, color, false);
        while (label.FontSize > smallest && label.Measure(paint).Width > width)
        {
            label.FontSize -= 1;
        }

        while (label.Text.Length > 8 && label.Measure(paint).Width > width)
        {
            label.Text = Say.Name(label.Text, label.Text.Length - 4);
        }

        return label;
    }

    public static LabelStyle Text(string text, float size, Color color, bool bold, Alignment alignment = Alignment.UpperLeft) => new()
    {
        Text = text,
        FontName = PlotFonts.Family,
        FontSize = size,
        Bold = bold,
        ForeColor = color,
        Alignment = alignment,
    };

    private static float DrawLegend(IReadOnlyList<LegendEntry> entries, SKCanvas canvas, float y, Paint paint)
    {
        const float symbol = 46;
        float x = Side;
        foreach (LegendEntry entry in entries)
        {
            LabelStyle label = Fit(entry.Text, Look.TextSize, 14, Look.Ink, paint, CanvasWidth - (2 * Side) - symbol - 10);
            float width = symbol + 10 + label.Measure(paint).Width;
            if (x > Side && x + width > CanvasWidth - Side)
            {
                x = Side;
                y += LegendLine;
            }

            DrawSymbol(entry, canvas, new PixelRect(x, x + symbol, y + 22, y + 4), paint);
            label.Render(canvas, new Pixel(x + symbol + 10, y), paint);
            x += width + 34;
        }

        return entries.Count == 0 ? y : y + LegendLine + 6;
    }

    private static void DrawSymbol(LegendEntry entry, SKCanvas canvas, PixelRect rect, Paint paint)
    {
        if (entry.IsArea)
        {
            Blocks.DrawBlock(canvas, paint, rect, entry.Color, entry.IsHatched);
        }

        if (entry.LineWidth > 0)
        {
            // As a path: the SVG writer of the drawing library cannot dash a plain line.
            using SKPath line = new();
            line.MoveTo(rect.LeftCenter.X, rect.LeftCenter.Y);
            line.LineTo(rect.RightCenter.X, rect.RightCenter.Y);
            new LineStyle(entry.LineWidth, entry.Color, entry.Dash).Render(canvas, line, paint);
            paint.SKPathEffect = null!;
        }

        if (entry.Marker != MarkerShape.None)
        {
            PointCloud.Draw(canvas, rect.Center, entry.Marker, Look.MarkerSize + 2, entry.Color);
        }
    }
}
