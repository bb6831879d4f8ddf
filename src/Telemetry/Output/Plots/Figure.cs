using ScottPlot;

namespace Telemetry.Output.Plots;

/// <summary>A picture before it is drawn: title, legend and one or more plots that share the page.</summary>
internal sealed class Figure(string name, string title, string subtitle, string description) : IDisposable
{
    private readonly List<FigurePanel> panels = [];
    private readonly List<LegendEntry> legend = [];

    public string Name { get; } = name;

    public string Title { get; } = title;

    public string Subtitle { get; } = subtitle;

    public string Description { get; } = description;

    /// <summary>How to read the picture, in small print at the foot; empty for none.</summary>
    public string Footnote { get; set; } = "";

    public IReadOnlyList<FigurePanel> Panels => panels;

    public IReadOnlyList<LegendEntry> Legend => legend;

    /// <summary>Adds a plot that takes a share of the page below the title.</summary>
    /// <param name="share">Left, top, right and bottom as shares of the space, 0 to 1, from the upper left.</param>
    /// <param name="xLabel">What the horizontal axis shows, with its unit; empty when a panel below says it.</param>
    /// <param name="yLabel">What the vertical axis shows, with its unit.</param>
    /// <param name="heading">A line above the plot; empty for none.</param>
    public FigurePanel AddPanel(Share share, string xLabel, string yLabel, string heading = "")
    {
        FigurePanel panel = new(Look.NewPlot(), share, heading);
        panel.Plot.Axes.Bottom.Label.Text = xLabel;
        panel.Plot.Axes.Left.Label.Text = yLabel;

        // The library puts this label over wide tick labels when the room is fixed; the writer draws it at the outer edge instead.
        panel.Plot.Axes.Left.Label.IsVisible = false;
        panels.Add(panel);
        return panel;
    }

    /// <summary>Adds an entry to the legend above the plots.</summary>
    public void Explain(LegendEntry entry) => legend.Add(entry);

    public void Dispose()
    {
        foreach (FigurePanel panel in panels)
        {
            panel.Plot.Dispose();
        }
    }
}

/// <summary>A part of the page as shares of its width and height, from the upper left.</summary>
internal readonly record struct Share(double Left, double Top, double Right, double Bottom)
{
    public static Share All { get; } = new(0, 0, 1, 1);

    /// <summary>A cell of an even grid.</summary>
    public static Share Cell(int column, int columns, int row, int rows) =>
        new((double)column / columns, (double)row / rows, (column + 1.0) / columns, (row + 1.0) / rows);
}

/// <summary>One plot on the page and the room around its data, pixels of the 1600 wide canvas.</summary>
internal sealed class FigurePanel(Plot plot, Share share, string heading)
{
    public Plot Plot { get; } = plot;

    public Share Share { get; } = share;

    public string Heading { get; } = heading;

    /// <summary>Names of levels, written beside the right edge.</summary>
    public List<EdgeLabel> EdgeLabels { get; } = [];

    public PixelPadding Room { get; set; } = new(110, 24, 78, heading.Length > 0 ? 36 : 10);
}

/// <summary>What one sign in the picture means.</summary>
/// <param name="Text">The meaning.</param>
/// <param name="Color">Its colour.</param>
internal sealed record LegendEntry(string Text, Color Color)
{
    /// <summary>Width of the line; 0 for none.</summary>
    public float LineWidth { get; init; }

    public LinePattern Dash { get; init; } = LinePattern.Solid;

    public MarkerShape Marker { get; init; } = MarkerShape.None;

    /// <summary>True for a filled area (a band or a bar).</summary>
    public bool IsArea { get; init; }

    public bool IsHatched { get; init; }

    public static LegendEntry Line(string text, Sign sign, float width = 3) => new(text, sign.Color) { LineWidth = width, Dash = sign.Dash };

    public static LegendEntry Points(string text, Sign sign) => new(text, sign.Color) { Marker = sign.Marker };

    public static LegendEntry Area(string text, Color color, bool hatched = false) => new(text, color) { IsArea = true, IsHatched = hatched };
}
