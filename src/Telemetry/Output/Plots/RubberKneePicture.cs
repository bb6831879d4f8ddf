using ScottPlot;
using Telemetry.Platform;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Load against heave travel of both axles, with the knee where the bump rubber is met.</summary>
internal static class RubberKneePicture
{
    public const string Name = "platform_load_against_travel";

    public static Sketch Draw(RunReview review)
    {
        (string Axle, RubberKnee Knee)[] all = review.Platform.Detail is { } detail
            ? [.. new[] { ("Front", detail.Knee.Front), ("Rear", detail.Knee.Rear) }.Where(one => one.Item2 is { Curve.Length: > 1 }).Select(one => (one.Item1, one.Item2!))]
            : [];
        if (all.Length == 0)
        {
            return Sketch.Without(Name, "No axle has a third element with the travel of both its dampers.");
        }

        string title = string.Join("; ", all.Select(one => one.Knee.KneeM is { } knee
            ? $"{one.Axle} bump rubber met at {Say.Interval(knee, Say.MmPerM, " mm", 1)}"
            : $"{one.Axle} bump rubber not told"));
        Figure figure = new(Name, title, Look.Subtitle(review, "quiet tenths of a second"), $"Force at the dampers against mean damper travel, one plot an axle. {title}.");
        for (int i = 0; i < all.Length; i++)
        {
            RubberKnee knee = all[i].Knee;
            FigurePanel panel = figure.AddPanel(Share.Cell(i, all.Length, 0, 1), "Mean damper travel (mm)", i == 0 ? "Force at both dampers (kN)" : "", all[i].Axle + " axle");
            double[] xs = [.. knee.Curve.Select(p => p.TravelM * Say.MmPerM)];
            Traces.Points(panel.Plot, [.. knee.Curve.Select(p => new Coordinates(p.TravelM * Say.MmPerM, p.LoadN / 1000))], Look.Signs[0], 9, 255);
            Traces.Line(panel.Plot, xs, [.. knee.Curve.Select(p => p.WithoutRubberN / 1000)], Look.Signs[1]);
            panel.Plot.Axes.AutoScale();
            AxisLimits limits = panel.Plot.Axes.GetLimits();
            if (knee.KneeM is { } at)
            {
                // Not the library's span: its hatch is a path effect that an SVG cannot hold, and the canvas says so on standard error.
                panel.Plot.Add.Plottable(new Blocks([new(at.Low95 * Say.MmPerM, at.High95 * Say.MmPerM, limits.Bottom, limits.Top, Look.Green.WithAlpha(60))]));
                Traces.Straight(panel.Plot, new(at.Value * Say.MmPerM, limits.Bottom), new(at.Value * Say.MmPerM, limits.Top), Look.Green, Look.Signs[2].Dash, 3);
            }

            if (knee.CarFileM is double gap)
            {
                Traces.Straight(panel.Plot, new(gap * Say.MmPerM, limits.Bottom), new(gap * Say.MmPerM, limits.Top), Look.Purple, Look.Signs[3].Dash, 3);
            }

            panel.Plot.Axes.SetLimits(limits);
        }

        figure.Explain(LegendEntry.Points("mean of half a millimetre", Look.Signs[0]));
        figure.Explain(LegendEntry.Line("springs without the rubber", Look.Signs[1]));
        figure.Explain(LegendEntry.Line("knee, 95 %", Look.Signs[2]));
        figure.Explain(LegendEntry.Line("car file's gap", Look.Signs[3]));
        figure.Footnote = "Points above the dashed line are what the bump rubber adds.";
        return Sketch.Of(figure);
    }
}
