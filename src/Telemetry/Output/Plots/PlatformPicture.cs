using System.Collections.Immutable;
using ScottPlot;
using Telemetry.Platform;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Ride heights and rake on straights against speed, with their intervals.</summary>
internal static class PlatformPicture
{
    public const string Name = "platform_by_speed";

    public static Sketch Draw(RunReview review)
    {
        ImmutableArray<PlatformAtSpeed> bands = [.. review.Platform.BySpeed.Where(b => double.IsFinite(b.FrontRideHeightM.Value + b.RearRideHeightM.Value)).OrderBy(b => b.SpeedMps)];
        if (bands.IsEmpty)
        {
            return Sketch.Without(Name, review.Platform.Notes.IsEmpty ? "Neither ride heights nor dampers were logged." : Say.Name(review.Platform.Notes[0], 200));
        }

        PlatformAtSpeed at = double.IsFinite(review.Aero.ReferenceSpeedMps) ? bands.MinBy(b => Math.Abs(b.SpeedMps - review.Aero.ReferenceSpeedMps))! : bands[^1];
        string title = $"At {Say.Number(at.SpeedMps * Say.KmhPerMps, 0)} km/h: front {Say.Interval(at.FrontRideHeightM, Say.MmPerM, " mm", 1)}, rear {Say.Interval(at.RearRideHeightM, Say.MmPerM, " mm", 1)}, "
            + $"rake {Say.Interval(at.RakeRad, Say.DegPerRad, "°")}";
        Figure figure = new(Name, title, Look.Subtitle(review, "on straights; " + Say.Name(review.Platform.RideHeightSource, 90)),
            $"Two plots against speed in km/h: ride heights in mm, front and rear, and rake in degrees, with 95 % bands. {title}.");
        double[] xs = [.. bands.Select(b => b.SpeedMps * Say.KmhPerMps)];
        FigurePanel heights = figure.AddPanel(new(0, 0, 1, 0.58), "", "Ride height (mm)");
        heights.Room = new(110, 24, 46, 10);
        Add(figure, heights.Plot, xs, [.. bands.Select(b => b.FrontRideHeightM)], Say.MmPerM, "front ride height", Look.Signs[0]);
        Add(figure, heights.Plot, xs, [.. bands.Select(b => b.RearRideHeightM)], Say.MmPerM, "rear ride height", Look.Signs[1]);
        FigurePanel rake = figure.AddPanel(new(0, 0.58, 1, 1), "Speed (km/h)", "Rake (°)");
        Add(figure, rake.Plot, xs, [.. bands.Select(b => b.RakeRad)], Say.DegPerRad, "rake, nose-down positive", Look.Signs[2]);
        foreach (FigurePanel panel in figure.Panels)
        {
            panel.Plot.Axes.AutoScale();
            panel.Plot.Axes.SetLimitsX(xs[0] - 6, xs[^1] + 6);
        }

        figure.Explain(LegendEntry.Area("95 % interval", Look.Blue.WithAlpha(60)));
        int fewest = bands.Min(b => b.Passes), most = bands.Max(b => b.Passes);
        figure.Footnote = $"{Say.Count(bands.Length, "speed band")}, each the mean of {(fewest == most ? "" : $"{fewest} to ")}{Say.Count(most, "straight pass")}.";
        return Sketch.Of(figure);
    }

    private static void Add(Figure figure, Plot plot, double[] xs, Estimate[] values, double factor, string what, Sign sign)
    {
        Traces.Band(plot, xs, [.. values.Select(v => v.Low95 * factor)], [.. values.Select(v => v.High95 * factor)], sign.Color, 60);
        double[] ys = [.. values.Select(v => v.Value * factor)];
        Traces.Line(plot, xs, ys, sign);
        Traces.Points(plot, [.. xs.Zip(ys, (x, y) => new Coordinates(x, y))], sign, 11, 255);
        figure.Explain(LegendEntry.Line(what, sign) with { Marker = sign.Marker });
    }
}
