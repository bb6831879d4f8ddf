using ScottPlot;
using Telemetry.Aero;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Aero balance in each condition with its interval, beside that of straights at the same speed.</summary>
internal static class BalancePicture
{
    public const string Name = "aero_balance_by_condition";

    public static Sketch Draw(RunReview review)
    {
        ConditionBalance[] given = [.. (review.Balance?.All ?? []).Where(one => one.BalanceFrontPct is not null)];
        if (given.Length == 0)
        {
            return Sketch.Without(Name, Say.Name(review.Balance?.Straight.WithheldBecause ?? "No balance was asked for.", 200));
        }

        string title = string.Join(", ", given.Where(one => one.Name is not ("fast corners to the left" or "fast corners to the right")).Select(one => $"{one.Name} {Say.Interval(one.BalanceFrontPct!, 1, " %", 1)}"));
        title = "Front share of the aero load: " + title;
        Figure figure = new(Name, title, Look.Subtitle(review, "each condition by itself"), $"Intervals of the aero balance, one row a condition. {title}.");
        FigurePanel panel = figure.AddPanel(Share.All, "Front share of the aero load (%)", "");
        panel.Room = new(520, 24, 78, 10);
        double[] places = [.. given.Select((_, i) => (double)(given.Length - 1 - i))];
        bool hasStraight = false;
        for (int i = 0; i < given.Length; i++)
        {
            Draw(panel.Plot, given[i].BalanceFrontPct!, places[i], Look.Signs[0]);
            if (i > 0 && given[i].StraightAtSameSpeedPct is { } straight)
            {
                Draw(panel.Plot, straight, places[i] - 0.22, Look.Signs[1]);
                hasStraight = true;
            }
        }

        string[] names = [.. given.Select(one => $"{one.Name}, {Say.Number(one.SpeedMps * Say.KmhPerMps, 0)} km/h, n = {one.Units}")];
        panel.Plot.Axes.Left.TickGenerator = new ScottPlot.TickGenerators.NumericManual(places, names);
        panel.Plot.Axes.AutoScale();
        panel.Plot.Axes.SetLimitsY(-0.6, given.Length - 0.4);
        figure.Explain(LegendEntry.Points("balance in the condition, 95 %", Look.Signs[0]));
        if (hasStraight)
        {
            figure.Explain(LegendEntry.Points("straights at the same speed, 95 %", Look.Signs[1]));
        }

        ConditionBalance[] withheld = [.. review.Balance!.All.Where(one => one.BalanceFrontPct is null)];
        figure.Footnote = withheld.Length == 0 ? "n: straight passes, brakings or corner visits." : "Withheld: " + Say.Name(string.Join("; ", withheld.Select(one => one.Name)), 120) + ".";
        return Sketch.Of(figure);
    }

    private static void Draw(Plot plot, Estimate estimate, double y, Sign sign)
    {
        Traces.Straight(plot, new(estimate.Low95, y), new(estimate.High95, y), sign.Color, LinePattern.Solid, 4);
        Traces.Points(plot, [new(estimate.Value, y)], sign, 14, 255);
    }
}
