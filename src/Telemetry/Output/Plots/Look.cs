using ScottPlot;
using ScottPlot.TickGenerators;
using Telemetry.Car;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Colours, sizes and axes that all pictures share.</summary>
/// <remarks>
/// Colours: the palette of Okabe and Ito (Color Universal Design, 2008, from memory) without its yellow, which is lost on white.
/// Colour is never the only sign: each series also has its own dash or marker. Sizes are for a canvas 1600 wide, so half of them when it is shown at 800.
/// </remarks>
internal static class Look
{
    public const float TitleSize = 32;
    public const float TextSize = 22;
    public const float LabelSize = 23;
    public const float TickSize = 22;
    public const float MarkerSize = 10;
    public const byte BandAlpha = 46;

    public static Color Ink { get; } = Color.FromHex("#1B2733");

    public static Color Muted { get; } = Color.FromHex("#5B6875");

    public static Color Pale { get; } = Color.FromHex("#9AA5B0");

    public static Color Frame { get; } = Color.FromHex("#AEB8C2");

    public static Color Grid { get; } = Color.FromHex("#E3E8ED");

    public static Color Blue { get; } = Color.FromHex("#0072B2");

    public static Color Vermillion { get; } = Color.FromHex("#D55E00");

    public static Color Green { get; } = Color.FromHex("#009E73");

    public static Color Purple { get; } = Color.FromHex("#CC79A7");

    public static Color Orange { get; } = Color.FromHex("#E69F00");

    public static Color Sky { get; } = Color.FromHex("#56B4E9");

    /// <summary>Seven signs that can be told apart with and without colour, in the order in which series take them.</summary>
    public static Sign[] Signs { get; } =
    [
        new(Blue, LinePattern.Solid, MarkerShape.FilledCircle),
        new(Vermillion, new([14, 6], 0, "dash"), MarkerShape.FilledSquare),
        new(Green, new([3, 4], 0, "dot"), MarkerShape.FilledTriangleUp),
        new(Purple, new([14, 5, 3, 5], 0, "dash dot"), MarkerShape.FilledDiamond),
        new(Orange, new([7, 4], 0, "short dash"), MarkerShape.FilledTriangleDown),
        new(Sky, new([20, 5, 3, 5, 3, 5], 0, "dash dot dot"), MarkerShape.OpenCircle),
        new(Colors.Black, new([1.5f, 5], 0, "fine dot"), MarkerShape.OpenSquare),
    ];

    public static Sign Of(Corner corner) => Signs[(int)corner];

    /// <summary>A bare plot in the house style, to be put into a figure.</summary>
    public static Plot NewPlot()
    {
        Plot plot = new();
        plot.FigureBackground.Color = Colors.Transparent;
        plot.RenderManager.ClearCanvasBeforeEachRender = false;
        plot.Legend.IsVisible = false;

        // The library draws a plot again while its limits still count as new, on top of itself: once is enough here.
        plot.RenderManager.RenderFinished = (_, _) => plot.RenderManager.EnableRendering = false;
        plot.Benchmark.IsVisible = false;
        plot.Grid.MajorLineColor = Grid;
        plot.Grid.MajorLineWidth = 1.2f;
        plot.Axes.Title.IsVisible = false;
        plot.Axes.Right.FrameLineStyle.Width = 0;
        plot.Axes.Top.FrameLineStyle.Width = 0;
        Axis(plot.Axes.Bottom);
        Axis(plot.Axes.Left);
        plot.Axes.Margins(0.02, 0.08);
        return plot;
    }

    /// <summary>The line below the title: what was run, with which car, and the caution.</summary>
    public static string Subtitle(RunReview review, string caution) =>
        $"{Say.Name(review.Run.Name)}  ·  {Say.Name(review.Run.Car.Name)}  ·  {caution}";

    /// <summary>Ticks for an axis that holds log10 of the values: at decades, and at 2 and 5 times as much where there are few decades.</summary>
    public static NumericManual Decades(double lowest, double highest)
    {
        NumericManual ticks = new();
        int first = (int)Math.Floor(lowest), last = (int)Math.Ceiling(highest);
        int step = Math.Max(1, (last - first + 7) / 8);
        bool isShort = highest - lowest < 3.2;
        for (int decade = first; decade <= last; decade++)
        {
            if ((decade - first) % step == 0)
            {
                ticks.AddMajor(decade, PowerOfTen(decade));
            }

            for (int k = 2; k < 10; k++)
            {
                double at = decade + Math.Log10(k);
                if (isShort && k is 2 or 5 && decade is >= -3 and <= 4)
                {
                    ticks.AddMajor(at, Say.Tick(k * Math.Pow(10, decade)));
                }
                else
                {
                    ticks.AddMinor(at);
                }
            }
        }

        return ticks;
    }

    /// <summary>A power of ten as a reader says it: plain from 0.0001 to 100 000, else with an exponent (the font has no raised minus).</summary>
    private static string PowerOfTen(int exponent) =>
        exponent is >= -4 and <= 5 ? Say.Tick(Math.Pow(10, exponent)) : $"1e{Say.Number(exponent, 0)}";

    private static void Axis(IAxis axis)
    {
        axis.FrameLineStyle.Width = 1.5f;
        axis.FrameLineStyle.Color = Frame;
        axis.MajorTickStyle.Length = 6;
        axis.MajorTickStyle.Color = Frame;
        axis.MinorTickStyle.Length = 0;
        axis.TickLabelStyle.FontSize = TickSize;
        axis.TickLabelStyle.ForeColor = Ink;
        axis.Label.FontSize = LabelSize;
        axis.Label.Bold = false;
        axis.Label.ForeColor = Ink;
        axis.TickGenerator = new NumericAutomatic { TickDensity = 0.5, LabelFormatter = Say.Tick };
    }
}

/// <summary>How one series is told from another.</summary>
internal readonly record struct Sign(Color Color, LinePattern Dash, MarkerShape Marker);
