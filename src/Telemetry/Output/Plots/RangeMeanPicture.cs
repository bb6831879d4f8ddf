using ScottPlot;
using ScottPlot.TickGenerators;
using Telemetry.Fatigue;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>How often which range came about which mean, for the component that the run cost the most.</summary>
internal static class RangeMeanPicture
{
    public const string Name = "range_mean_matrix";

    /// <summary>Bins wanted along an axis: a cell is then wide enough to be seen and narrow enough to show the shape.</summary>
    private const int Bins = 40;

    public static Sketch Draw(RunReview review)
    {
        if (MostDamaged(review.Fatigue) is not { } result)
        {
            return Sketch.Without(Name, review.Fatigue.WithheldBecause ?? "No component has counted cycles.");
        }

        (double highRange, double lowest, double meanStep, int columns, double rangeStep, int rows, double[] counts) = Matrix(result.Cycles);
        string id = Say.Name(result.Component.Id);
        string cost = result.DamageRun is { } damage ? $", damage {Say.SmallPercent(100 * damage / (result.Component.Fatigue?.CriticalDamage ?? 1))} of its life" : "";
        string title = $"{id}: {Say.Number(result.Cycles.Weight.Sum(), 0)} cycles, the largest range {Say.Number(highRange, 1)} kN{cost}";
        Figure figure = new(Name, title, Look.Subtitle(review, $"{Say.Name(result.Component.Description)}; rainflow cycles, the residue as half cycles"),
            $"Matrix of load cycles of {id}: mean load in kN across, range in kN upward, colour for the number of cycles on a logarithmic scale. {title}.");
        FigurePanel panel = figure.AddPanel(new(0, 0, 0.9, 1), "Mean load (kN, compression positive)", "Range (kN)");
        double most = Math.Max(1, counts.Max()), least = counts.Where(c => c > 0).DefaultIfEmpty(0.5).Min();
        (double from, double to) = (Math.Log10(least), Math.Max(Math.Log10(most), Math.Log10(least) + 0.5));
        List<Block> cells = [];
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                double count = counts[(row * columns) + column];
                if (count > 0)
                {
                    double x = lowest + (column * meanStep), y = row * rangeStep;
                    cells.Add(new(x, x + meanStep, y, y + rangeStep, Shade((Math.Log10(count) - from) / (to - from))));
                }
            }
        }

        panel.Plot.Add.Plottable(new Blocks(cells) { GapPx = 1, LeastWidthPx = 3 });
        panel.Plot.Axes.SetLimits(lowest - meanStep, lowest + ((columns + 1) * meanStep), 0, (rows + 1) * rangeStep);
        AddScale(figure, from, to);
        figure.Footnote = $"Cells are {Say.Tick(meanStep)} kN of mean by {Say.Tick(rangeStep)} kN of range; white: none.";
        return Sketch.Of(figure);
    }

    /// <summary>Cycles by even cells of mean (across) and range (upward), kN; row by row from the smallest range.</summary>
    public static (double HighRange, double LowestMean, double MeanStep, int Columns, double RangeStep, int Rows, double[] Counts) Matrix(CycleCount cycles)
    {
        (double lowMean, double highMean, double highRange) = Span(cycles);
        double meanStep = Nice((highMean - lowMean) / Bins), rangeStep = Nice(highRange / Bins);
        double lowest = Math.Floor(lowMean / meanStep) * meanStep;
        int columns = Math.Max(1, (int)Math.Floor((highMean - lowest) / meanStep) + 1), rows = Math.Max(1, (int)Math.Floor(highRange / rangeStep) + 1);
        return (highRange, lowest, meanStep, columns, rangeStep, rows, Count(cycles, lowest, meanStep, columns, rangeStep, rows));
    }

    public static ComponentResult? MostDamaged(FatigueResult fatigue) =>
        fatigue.Components.Where(c => c.Cycles.Count > 0)
            .MaxBy(c => (c.DamageRun is { } damage ? damage / (c.Component.Fatigue?.CriticalDamage ?? 1) : -1, c.Cycles.Count));

    private static (double LowMean, double HighMean, double HighRange) Span(CycleCount cycles)
    {
        double low = double.PositiveInfinity, high = double.NegativeInfinity, range = 0;
        for (int i = 0; i < cycles.Count; i++)
        {
            double mean = (cycles.FromN[i] + cycles.ToN[i]) / 2 * Say.KnPerN;
            (low, high) = (Math.Min(low, mean), Math.Max(high, mean));
            range = Math.Max(range, Math.Abs(cycles.ToN[i] - cycles.FromN[i]) * Say.KnPerN);
        }

        return (low, high, range);
    }

    private static double[] Count(CycleCount cycles, double lowest, double meanStep, int columns, double rangeStep, int rows)
    {
        double[] counts = new double[columns * rows];
        for (int i = 0; i < cycles.Count; i++)
        {
            double mean = (cycles.FromN[i] + cycles.ToN[i]) / 2 * Say.KnPerN;
            double range = Math.Abs(cycles.ToN[i] - cycles.FromN[i]) * Say.KnPerN;
            int column = Math.Clamp((int)((mean - lowest) / meanStep), 0, columns - 1);
            int row = Math.Clamp((int)(range / rangeStep), 0, rows - 1);
            counts[(row * columns) + column] += cycles.Weight[i];
        }

        return counts;
    }

    /// <summary>The next step of 1, 2 or 5 times a power of ten.</summary>
    private static double Nice(double step)
    {
        if (!(step > 0))
        {
            return 0.1;
        }

        double power = Math.Pow(10, Math.Floor(Math.Log10(step)));
        double lead = step / power;
        return power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
    }

    /// <summary>Viridis, perceptually even (Smith and van der Walt, 2015), without its palest end, which is lost on white: few are dark.</summary>
    public static Color Shade(double share) => Map.GetColor(Math.Clamp(share, 0, 1) * 0.93);

    private static ScottPlot.Colormaps.Viridis Map { get; } = new();

    private static void AddScale(Figure figure, double from, double to)
    {
        const int steps = 48;
        FigurePanel bar = figure.AddPanel(new(0.9, 0, 1, 1), "", "", "cycles");
        bar.Room = new(8, 90, 78, 36);
        List<Block> cells = [];
        for (int i = 0; i < steps; i++)
        {
            cells.Add(new(0, 1, from + (i * (to - from) / steps), from + ((i + 1.04) * (to - from) / steps), Shade((i + 0.5) / steps)));
        }

        bar.Plot.Add.Plottable(new Blocks(cells)).Axes.YAxis = bar.Plot.Axes.Right;
        bar.Plot.Axes.SetLimits(0, 1, from, to);
        bar.Plot.Axes.Right.Min = from;
        bar.Plot.Axes.Right.Max = to;
        bar.Plot.Axes.Bottom.IsVisible = false;
        bar.Plot.Axes.Left.IsVisible = false;
        bar.Plot.Grid.IsVisible = false;
        NumericManual ticks = Look.Decades(from, to);
        bar.Plot.Axes.Right.TickGenerator = ticks;
        bar.Plot.Axes.Right.TickLabelStyle.FontSize = Look.TickSize;
        bar.Plot.Axes.Right.TickLabelStyle.ForeColor = Look.Ink;
    }
}
