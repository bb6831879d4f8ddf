using Telemetry.Car;
using Telemetry.Platform;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>How much of the time each damper moves how fast: four histograms on one scale.</summary>
internal static class DamperVelocityPicture
{
    public const string Name = "damper_velocity";
    private const double ShownShare = 0.997;

    public static Sketch Draw(RunReview review)
    {
        (Corner Corner, VelocityHistogram Histogram)[] all = [.. review.Platform.DamperVelocity.Each()
            .Where(h => h.Value is { Shares.IsDefaultOrEmpty: false }).Select(h => (h.Corner, h.Value!))];
        if (all.Length == 0)
        {
            return Sketch.Without(Name, "No damper travel was logged.");
        }

        (Corner Corner, double Within)[] within = [.. all.Select(h => (h.Corner, Within(h.Histogram, 0.95)))];
        (Corner corner, double busiest) = within.MaxBy(w => w.Within);

        // Speeds are known to the edge of a bin: nearer than that, no corner is the busiest.
        bool isTie = busiest - within.Min(w => w.Within) < all.Max(h => h.Histogram.BinWidthMps) / 2;
        string title = (isTie ? "All dampers move alike" : $"{corner.Code()} works its damper hardest") + $": 95 % of the time within ± {Say.Number(busiest * Say.MmPerM, 0)} mm/s";
        Figure figure = new(Name, title, Look.Subtitle(review, "share of the running time, bump positive"),
            $"Histograms of damper velocity in mm/s, share of the running time in %, {Say.Count(all.Length, "corner")}. {title}.");
        double reach = all.Max(h => Within(h.Histogram, ShownShare)) * Say.MmPerM;
        double highest = all.Max(h => h.Histogram.Shares.Max()) * 100;
        foreach ((Corner at, VelocityHistogram histogram) in all)
        {
            double half = within.First(w => w.Corner == at).Within;
            AddPanel(figure, at, histogram, half, reach, highest);
        }

        figure.Explain(LegendEntry.Area("bump", Look.Blue));
        figure.Explain(LegendEntry.Area("rebound", Look.Vermillion, true));
        figure.Footnote = "All plots have the same scale. What lies beyond the edges is at most 0.3 % of the time.";
        return Sketch.Of(figure);
    }

    private static void AddPanel(Figure figure, Corner corner, VelocityHistogram histogram, double within, double reach, double highest)
    {
        int place = (int)corner;
        bool isBottom = place >= 2, isLeft = place % 2 == 0;
        string heading = $"{corner.Code()}: {Say.Number(100 * histogram.BumpShare, 1)} % of the moving time in bump, 95 % within ± {Say.Number(within * Say.MmPerM, 0)} mm/s";
        Share share = new(isLeft ? 0 : 0.5, isBottom ? 0.5 : 0, isLeft ? 0.5 : 1, isBottom ? 1 : 0.5);
        FigurePanel panel = figure.AddPanel(share, isBottom ? "Damper velocity (mm/s)" : "", isLeft ? "Time (% in a bin)" : "", heading);
        panel.Room = new(100, 20, isBottom ? 78 : 46, 40);
        List<Block> bars = [];
        for (int i = 0; i < histogram.Shares.Length; i++)
        {
            double from = (histogram.LowestMps + (i * histogram.BinWidthMps)) * Say.MmPerM, to = from + (histogram.BinWidthMps * Say.MmPerM);
            if (histogram.Shares[i] > 0 && from < reach && to > -reach)
            {
                bool isBump = from + to > 0;
                bars.Add(new(from, to, 0, 100 * histogram.Shares[i], isBump ? Look.Blue : Look.Vermillion, !isBump));
            }
        }

        panel.Plot.Add.Plottable(new Blocks(bars) { GapPx = 1 });
        panel.Plot.Axes.SetLimits(-reach, reach, 0, highest * 1.06);
    }

    /// <summary>The speed that holds a share of the time on both sides of 0, to the edge of a bin, m/s.</summary>
    private static double Within(VelocityHistogram histogram, double share)
    {
        double total = histogram.Shares.Sum();
        (double Speed, double Share)[] bins = [.. histogram.Shares.Select((s, i) =>
        {
            double from = histogram.LowestMps + (i * histogram.BinWidthMps);
            return (Math.Max(Math.Abs(from), Math.Abs(from + histogram.BinWidthMps)), s);
        }).OrderBy(b => b.Item1)];
        double sum = 0;
        foreach ((double speed, double part) in bins)
        {
            sum += part;
            if (sum >= share * total)
            {
                return speed;
            }
        }

        return bins[^1].Speed;
    }
}
