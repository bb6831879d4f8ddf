using ScottPlot;
using ScottPlot.TickGenerators;
using Telemetry.Aero;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>What the interval of the total aero load is made of, largest part on top.</summary>
internal static class AeroBudgetPicture
{
    public const string Name = "aero_budget";
    private const int MostParts = 12;

    public static Sketch Draw(RunReview review)
    {
        AeroResult aero = review.Aero;
        UncertaintyPart[] parts = [.. aero.Budget.Where(p => double.IsFinite(p.TotalLoadN) && p.TotalLoadN >= 0).OrderByDescending(p => p.TotalLoadN)];
        double variance = parts.Sum(p => p.TotalLoadN * p.TotalLoadN);
        if (parts.Length == 0 || variance <= 0)
        {
            return Sketch.Without(Name, aero.WithheldBecause ?? "The aero load has no uncertainty budget.");
        }

        string title = $"The largest part of the total load's uncertainty is {Say.Name(parts[0].Name)}: {Say.Number(parts[0].TotalLoadN, 0)} N of {Say.Number(Math.Sqrt(variance), 0)} N";
        Figure figure = new(Name, title, Look.Subtitle(review, $"standard uncertainties at {Say.Number(aero.ReferenceSpeedMps * Say.KmhPerMps, 0)} km/h, one standard deviation"),
            $"Bars of the parts of the standard uncertainty of the total aero load in N, largest first. {title}.");
        FigurePanel panel = figure.AddPanel(Share.All, "Standard uncertainty of the load (N)", "");
        parts = parts[..Math.Min(parts.Length, MostParts)];
        panel.Room = new(400, 30, 78, 10);
        NumericManual ticks = new();
        List<Block> bars = [];
        List<Coordinates> front = [], rear = [];
        double longest = parts.Max(p => Math.Max(p.TotalLoadN, Math.Max(p.FrontLoadN, p.RearLoadN)));
        for (int i = 0; i < parts.Length; i++)
        {
            UncertaintyPart part = parts[i];
            double row = parts.Length - 1 - i;
            ticks.AddMajor(row, Say.Name(part.Name, 34));
            bars.Add(new(0, part.TotalLoadN, row - 0.32, row + 0.32, part.IsSystematic ? Look.Vermillion : Look.Sky, part.IsSystematic));
            front.Add(new(part.FrontLoadN, row));
            rear.Add(new(part.RearLoadN, row));
            double share = 100 * part.TotalLoadN * part.TotalLoadN / variance;
            double end = Math.Max(part.TotalLoadN, Math.Max(part.FrontLoadN, part.RearLoadN));
            Text(panel.Plot, end, row, -11, $"{Say.Number(part.TotalLoadN, 0)} N, {Say.Number(share, 0)} % of the variance", Look.Ink, 19);
            Text(panel.Plot, end, row, 11, Say.Name(part.Remark, 90), Look.Muted, 17);
        }

        panel.Plot.Add.Plottable(new Blocks(bars));
        Sign frontSign = new(Look.Ink, LinePattern.Solid, MarkerShape.FilledTriangleUp);
        Sign rearSign = new(Look.Ink, LinePattern.Solid, MarkerShape.OpenSquare);
        Traces.Points(panel.Plot, front, frontSign, 11, 255);
        Traces.Points(panel.Plot, rear, rearSign, 11, 255);
        panel.Plot.Axes.Left.TickGenerator = ticks;
        panel.Plot.Grid.YAxisStyle.IsVisible = false;
        panel.Plot.Axes.SetLimits(0, longest * 2.1, -0.6, parts.Length - 0.4);
        figure.Explain(LegendEntry.Area("total, shrinks with more passes", Look.Sky));
        figure.Explain(LegendEntry.Area("total, systematic", Look.Vermillion, true));
        figure.Explain(LegendEntry.Points("front", frontSign));
        figure.Explain(LegendEntry.Points("rear", rearSign));
        figure.Footnote = "Parts add as squares (GUM, JCGM 100:2008, 5.1.2); front and rear of one part may lean against each other, so they need not add to the total.";
        return Sketch.Of(figure);
    }

    /// <summary>A line of text beside a bar, pixels below its middle, so that two lines never lie on each other however many bars there are.</summary>
    private static void Text(Plot plot, double x, double y, float downPx, string text, Color color, float size)
    {
        ScottPlot.Plottables.Text label = plot.Add.Text(text, x, y);
        label.LabelFontSize = size;
        label.LabelFontColor = color;
        label.LabelAlignment = Alignment.MiddleLeft;
        label.OffsetX = 14;
        label.OffsetY = downPx;
    }
}
