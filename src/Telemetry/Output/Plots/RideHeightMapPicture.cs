using ScottPlot;
using Telemetry.Aero;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Front and rear lift area and balance over both ride heights: lines of equal value inside the supported region, windows as points.</summary>
internal static class RideHeightMapPicture
{
    public const string Name = "aero_ride_height_map";

    public const int Cells = 60;

    /// <summary>Tones.</summary>
    public const int Steps = 6;

    public static Sketch Draw(RunReview review)
    {
        RideHeightMap map = review.HeightMap;
        if (map.WithheldBecause is { } why)
        {
            return Sketch.Without(Name, Say.Name(why, 200));
        }

        string title = map.AlongSpeedLine?.TotalLiftAreaM2PerM is { } slope && map.PerRearHeight?.WithheldBecause is not null
            ? $"As speed lowers the car, the lift area grows by {Say.Interval(new(-slope.Value, -slope.High95, -slope.Low95), 0.001, " m²")} per mm of front ride height; front and rear apart are not told by this run"
            : map.PerFrontHeight?.BalancePctPerM is { } balance
                ? $"Balance moves by {Say.Interval(balance, 0.001, " %")} per mm of front ride height"
                : "Lift area and balance over the ride heights that this run reached";
        Figure figure = new(Name, title, Look.Subtitle(review, "straights; " + Say.Name(map.HeightSource, 90)),
            $"Three maps over front and rear ride height in mm: front lift area, rear lift area and balance, drawn only where straight passes support them. {title}.");
        GridCell[] grid = Grid(map);
        Panel(figure, map, grid, 0, "front lift area (m²)", cell => cell.FrontM2, 3);
        Panel(figure, map, grid, 1, "rear lift area (m²)", cell => cell.RearM2, 3);
        Panel(figure, map, grid, 2, "balance, front share (%)", cell => 100 * cell.FrontM2 / (cell.FrontM2 + cell.RearM2), 2);
        figure.Explain(LegendEntry.Points("0.5 s windows on straights", new(Look.Pale, LinePattern.Solid, MarkerShape.FilledCircle)));
        figure.Explain(LegendEntry.Points("steady at the reference speed", new(Look.Ink, LinePattern.Solid, MarkerShape.OpenSquare)));
        figure.Footnote = $"{Say.Count(map.Passes, "straight pass")}; light is low, dark is high; nothing is drawn where {Say.Number(RideHeightMapOptions.Default.FewestPassesNear, 0)} passes do not support it.";
        return Sketch.Of(figure);
    }

    private static GridCell[] Grid(RideHeightMap map)
    {
        double lowF = map.Region.Min(h => h.FrontM), highF = map.Region.Max(h => h.FrontM);
        double lowR = map.Region.Min(h => h.RearM), highR = map.Region.Max(h => h.RearM);
        List<GridCell> inside = [];
        for (int i = -4; i <= Cells + 4; i++)
        {
            for (int j = -4; j <= Cells + 4; j++)
            {
                HeightPair at = new(lowF + ((highF - lowF) * i / Cells), lowR + ((highR - lowR) * j / Cells));
                if (map.LiftAreasAt(at) is (double front, double rear))
                {
                    inside.Add(new(at, front, rear));
                }
            }
        }

        return [.. inside];
    }

    private static void Panel(Figure figure, RideHeightMap map, GridCell[] grid, int column, string heading, Func<GridCell, double> of, int decimals)
    {
        FigurePanel panel = figure.AddPanel(Share.Cell(column, 3, 0, 1), "Front ride height (mm)", column == 0 ? "Rear ride height (mm)" : "", heading);
        double[] values = [.. grid.Select(of)];
        double left = (map.Region.Min(h => h.FrontM) * Say.MmPerM) - 3, right = (map.Region.Max(h => h.FrontM) * Say.MmPerM) + 3;
        double bottom = (map.Region.Min(h => h.RearM) * Say.MmPerM) - 3, top = (map.Region.Max(h => h.RearM) * Say.MmPerM) + 3;
        double room = 0.34 * (right - left);
        panel.Plot.Axes.SetLimits(left, right + room, bottom, top);
        if (values.Length > 0)
        {
            double low = values.Min(), high = values.Max();
            for (int step = 0; step < Steps; step++)
            {
                // Seven lines of equal value bound six tones of one hue, so that the order shows without colour.
                Coordinates[] cells = [.. grid.Zip(values).Where(pair => Math.Min(Steps - 1, (int)((pair.Second - low) / Math.Max(high - low, 1e-12) * Steps)) == step)
                    .Select(pair => new Coordinates(pair.First.At.FrontM * Say.MmPerM, pair.First.At.RearM * Say.MmPerM))];
                if (cells.Length > 0)
                {
                    Traces.Points(panel.Plot, cells, new(Tone(step), LinePattern.Solid, MarkerShape.FilledSquare), 7, 255, 0);
                }
            }

            Scale(panel.Plot, low, high, decimals, right, room, bottom, top);
        }

        Traces.Points(panel.Plot, [.. map.Points.Select(p => new Coordinates(p.Height.FrontM * Say.MmPerM, p.Height.RearM * Say.MmPerM))], new(Look.Pale, LinePattern.Solid, MarkerShape.FilledCircle), 4, 200);
        if (map.Reference is { } at)
        {
            Traces.Points(panel.Plot, [new(at.FrontM * Say.MmPerM, at.RearM * Say.MmPerM)], new(Look.Ink, LinePattern.Solid, MarkerShape.OpenSquare), 16, 255, 3);
        }
    }

    /// <summary>The six tones above each other at the right, with the values that bound them.</summary>
    private static void Scale(Plot plot, double low, double high, int decimals, double right, double room, double bottom, double top)
    {
        double foot = bottom + (0.12 * (top - bottom)), height = 0.76 * (top - bottom), width = 0.2 * room;
        plot.Add.Plottable(new Blocks([.. Enumerable.Range(0, Steps).Select(step => new Block(
            right, right + width, foot + (height * step / Steps), foot + (height * (step + 1) / Steps), Tone(step)))]));
        for (int line = 0; line <= Steps; line++)
        {
            ScottPlot.Plottables.Text label = plot.Add.Text(Say.Number(low + ((high - low) * line / Steps), decimals), right + (1.3 * width), foot + (height * line / Steps));
            label.LabelAlignment = Alignment.MiddleLeft;
            label.LabelFontColor = Look.Ink;
            label.LabelFontSize = 17;
        }
    }

    /// <summary>From a pale to the full blue, without transparency: cells lie over each other.</summary>
    private static Color Tone(int step) => Tone(step / (Steps - 1.0));

    public static Color Tone(double share) => new((byte)(220 * (1 - share)), (byte)(235 - (121 * share)), (byte)(250 - (72 * share)));

    /// <summary>A place of the map and both lift areas there.</summary>
    private readonly record struct GridCell(HeightPair At, double FrontM2, double RearM2);
}
