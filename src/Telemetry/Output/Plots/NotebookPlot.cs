using System.Runtime.InteropServices;
using ScottPlot;

namespace Telemetry.Output.Plots;

/// <summary>Plots that a notebook makes by hand, in the look and with the fonts of the tool's own pictures.</summary>
public static class NotebookPlot
{
    // Sizes in the shared look are for a canvas 1600 wide; a notebook shows half of that.
    private const double Scale = 0.5;

    /// <summary>An empty plot to add series to.</summary>
    /// <param name="title">The finding that it shows.</param>
    /// <param name="xLabel">What the horizontal axis shows, with its unit.</param>
    /// <param name="yLabel">What the vertical axis shows, with its unit.</param>
    /// <remarks>Registers the embedded fonts with the plotting library, for the whole process. The caller disposes of the plot.</remarks>
    public static Plot New(string title, string xLabel, string yLabel)
    {
        PlotFonts.Register();
        Plot plot = Look.NewPlot();
        plot.FigureBackground.Color = Colors.White;
        plot.RenderManager.ClearCanvasBeforeEachRender = true;
        plot.RenderManager.RenderFinished = (_, _) => { };
        plot.ScaleFactor = Scale;
        plot.Add.Palette = new ScottPlot.Palettes.Custom([.. Look.Signs.Select(sign => sign.Color.ToHex())]);
        plot.Axes.Title.IsVisible = true;
        plot.Axes.Title.Label.Text = title;
        plot.Axes.Title.Label.FontSize = Look.TitleSize;
        plot.Axes.Title.Label.Bold = true;
        plot.Axes.Title.Label.ForeColor = Look.Ink;
        plot.Axes.Bottom.Label.Text = xLabel;
        plot.Axes.Left.Label.Text = yLabel;
        plot.Legend.FontSize = Look.TextSize;
        plot.Legend.FontColor = Look.Ink;
        plot.Legend.OutlineWidth = 0;
        plot.Legend.ShadowColor = Colors.Transparent;
        return plot;
    }

    /// <summary>Draws a plot as a picture that a notebook shows inline.</summary>
    /// <param name="plot">The plot, left as it is.</param>
    /// <param name="widthPx">Width, pixels. Default 800: the width of a notebook's column.</param>
    /// <param name="heightPx">Height, pixels. Default 420: two to a screen.</param>
    /// <remarks>The same plot gives the same bytes, whatever fonts the machine has.</remarks>
    /// <exception cref="ArgumentOutOfRangeException">A size is not above 0.</exception>
    public static Picture Draw(Plot plot, int widthPx = 800, int heightPx = 420)
    {
        ArgumentNullException.ThrowIfNull(plot);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(widthPx);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(heightPx);
        using Image image = plot.GetImage(widthPx, heightPx);
        return new(ImmutableCollectionsMarshal.AsImmutableArray(image.GetImageBytes(ImageFormat.Png)));
    }
}
