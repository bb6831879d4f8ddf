using ScottPlot.TickGenerators;
using Telemetry.Fatigue;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Plots;

/// <summary>What each lap cost each component: one small plot a component, one bar a lap.</summary>
internal static class DamagePicture
{
    public const string Name = "damage_by_lap";
    private const int MostPanels = 9;

    /// <summary>Panels share one scale up to this ratio of the largest to the smallest; beyond it the small ones would be empty.</summary>
    private const double LargestRatioOnOneScale = 12;

    public static Sketch Draw(RunReview review)
    {
        (ComponentResult Result, double[] Percent)[] all = [.. review.Fatigue.Components
            .Where(c => c.DamageRun is not null && !c.DamageByLap.IsDefaultOrEmpty)
            .Select(c => (c, c.DamageByLap.Select(d => 100 * d / (c.Component.Fatigue?.CriticalDamage ?? 1)).ToArray()))
            .OrderByDescending(c => c.Item2.Sum())];
        if (all.Length == 0)
        {
            return Sketch.Without(Name, review.Fatigue.WithheldBecause ?? "No component has a fatigue strength in the car file.");
        }

        (ComponentResult Result, double[] Percent)[] shown = all[..Math.Min(all.Length, MostPanels)];
        Lap[] laps = [.. review.Run.Laps.Laps];
        int worst = Array.IndexOf(shown[0].Percent, shown[0].Percent.Max());
        string title = $"Lap {LapNumber(laps, worst)} cost {Say.Name(shown[0].Result.Component.Id)} the most: {Say.SmallPercent(shown[0].Percent[worst])} of its life, "
            + $"{Say.SmallPercent(shown[0].Percent.Sum())} over the run";
        Figure figure = new(Name, title, Look.Subtitle(review, "estimate; Miner sum of each lap as a share of the life that the designer allows"),
            $"Bars of the fatigue damage of each lap in % of life, one small plot for each of {Say.Count(shown.Length, "component")}. {title}.");
        bool oneScale = shown.Max(s => s.Percent.Max()) <= LargestRatioOnOneScale * shown.Min(s => s.Percent.Max());
        (int columns, int rows) = Grid(shown.Length);
        for (int i = 0; i < shown.Length; i++)
        {
            AddPanel(figure, shown[i], laps, Share.Cell(i % columns, columns, i / columns, rows), i % columns == 0, oneScale ? shown.Max(s => s.Percent.Max()) : shown[i].Percent.Max());
        }

        figure.Explain(LegendEntry.Area("lap", Look.Blue));
        figure.Explain(LegendEntry.Area("the lap that cost the part the most", Look.Vermillion, true));
        string scale = oneScale ? "All plots have the same scale." : "Each plot has its own scale.";
        string hidden = all.Length > shown.Length ? $" The {shown.Length} of {all.Length} components that this run cost the most." : "";
        figure.Footnote = $"{scale} A cycle's damage is shared equally between the laps of its two turning points.{hidden}";
        return Sketch.Of(figure);
    }

    private static void AddPanel(Figure figure, (ComponentResult Result, double[] Percent) part, Lap[] laps, Share share, bool isLeft, double highest)
    {
        string used = part.Result.LifeUsedPct is { } life ? $", life used {Say.SmallPercent(life)}" : "";
        FigurePanel panel = figure.AddPanel(share, "Lap", isLeft ? "Damage (% of life)" : "", $"{Say.Name(part.Result.Component.Id, 22)}: {Say.SmallPercent(part.Percent.Sum())}{used}");
        panel.Room = new(132, 14, 70, 40);
        int most = Array.IndexOf(part.Percent, part.Percent.Max());
        panel.Plot.Add.Plottable(new Blocks([.. part.Percent.Select((percent, i) => new Block(i - 0.38, i + 0.38, 0, percent, i == most ? Look.Vermillion : Look.Blue, i == most))]));
        NumericManual ticks = new();
        int step = Math.Max(1, (part.Percent.Length + 7) / 8);
        for (int i = 0; i < part.Percent.Length; i += step)
        {
            ticks.AddMajor(i, LapNumber(laps, i));
        }

        panel.Plot.Axes.Bottom.TickGenerator = ticks;
        panel.Plot.Grid.XAxisStyle.IsVisible = false;
        panel.Plot.Axes.SetLimits(-0.7, part.Percent.Length - 0.3, 0, highest > 0 ? highest * 1.1 : 1);
    }

    private static string LapNumber(Lap[] laps, int index) =>
        (index < laps.Length ? laps[index].Number : index + 1).ToString(System.Globalization.CultureInfo.InvariantCulture);

    private static (int Columns, int Rows) Grid(int count) => count switch
    {
        1 => (1, 1),
        2 => (2, 1),
        3 => (3, 1),
        4 => (2, 2),
        <= 6 => (3, 2),
        _ => (3, 3),
    };
}
