using ScottPlot;
using Telemetry.Fatigue;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Load range against the number of cycles that reach it, one line a component.</summary>
internal static class ExceedancePicture
{
    public const string Name = "exceedance";

    /// <summary>Points kept along a decade of counts: finer than a pixel of the line.</summary>
    private const int PointsPerDecade = 60;

    /// <summary>Cells of the range from zero to the largest: several to a pixel.</summary>
    private const int Cells = 8192;

    public static Sketch Draw(RunReview review)
    {
        ComponentResult[] all = Counted(review.Fatigue);
        if (all.Length == 0)
        {
            return Sketch.Without(Name, review.Fatigue.WithheldBecause ?? "No component has counted cycles.");
        }

        ComponentResult[] shown = Shown(review.Fatigue);
        (ComponentResult Result, double[] Counts, double[] Ranges)[] lines = [.. shown.Select(c => (c, Counts: Curve(c.Cycles), 0)).Select(c => (c.c, c.Counts.Counts, c.Counts.Ranges))];
        (ComponentResult Result, double[] Counts, double[] Ranges) top = lines.MaxBy(l => l.Ranges[0]);
        string title = $"The largest range is {Say.Number(top.Ranges[0], 1)} kN on {Say.Name(top.Result.Component.Id)}; {Reached(top)}";
        Figure figure = new(Name, title, Look.Subtitle(review, "rainflow cycles of this run, the residue as half cycles"),
            $"Load range in kN against the cumulative number of cycles on a logarithmic axis, {Say.Count(shown.Length, "component")}. {title}.");
        Plot plot = figure.AddPanel(Share.All, "Cycles that reach the range (count, logarithmic)", "Load range (kN)").Plot;
        bool hasBand = ExceedanceBand.Of(lines[0].Result, review.Run.Laps) is { } band && AddBand(plot, band);
        for (int i = 0; i < lines.Length; i++)
        {
            Sign sign = Look.Signs[i];
            double[] xs = [.. lines[i].Counts.Select(Math.Log10)];
            Traces.Line(plot, xs, lines[i].Ranges, sign);
            Traces.Points(plot, Marked(xs, lines[i].Ranges, i), sign, 10, 255);
            figure.Explain(LegendEntry.Line($"{Say.Name(lines[i].Result.Component.Id, 24)}, {Say.Name(lines[i].Result.Component.Description, 24)}", sign) with { Marker = sign.Marker });
        }

        double right = lines.Max(l => Math.Log10(l.Counts[^1])), left = lines.Min(l => Math.Log10(l.Counts[0]));
        plot.Axes.Bottom.TickGenerator = Look.Decades(left, right);
        plot.Axes.SetLimits(left - 0.05, right + 0.1, 0, top.Ranges[0] * 1.08);
        string hidden = all.Length > shown.Length ? $" The {shown.Length} of {all.Length} components that this run cost the most." : "";
        figure.Footnote = $"A point says: this range or a larger one came that many times.{(hasBand ? $" Band: 95 % over laps like these, for {Say.Name(lines[0].Result.Component.Id)} (bootstrap)." : "")}{hidden}";
        return Sketch.Of(figure);
    }

    /// <summary>The parts that have a line, those that the run cost the most first: as many as there are signs.</summary>
    public static ComponentResult[] Shown(FatigueResult fatigue) => [.. Counted(fatigue).Take(Look.Signs.Length)];

    private static ComponentResult[] Counted(FatigueResult fatigue) => [.. fatigue.Components.Where(c => c.Cycles.Count > 0)
        .OrderByDescending(c => c.DamageRun is { } damage ? damage / (c.Component.Fatigue?.CriticalDamage ?? 1) : -1)];

    /// <summary>The band over counts at each level; the picture has counts across, so each level is a flat strip.</summary>
    private static bool AddBand(Plot plot, ExceedanceBand band)
    {
        List<Block> strips = [];
        for (int level = 0; level + 1 < band.LevelsN.Length; level++)
        {
            if (band.High95[level] > 0)
            {
                strips.Add(new(Math.Log10(Math.Max(band.Low95[level], 0.5)), Math.Log10(Math.Max(band.High95[level], 0.5)),
                    band.LevelsN[level] * Say.KnPerN, band.LevelsN[level + 1] * Say.KnPerN, Look.Signs[0].Color.WithAlpha(Look.BandAlpha)));
            }
        }

        plot.Add.Plottable(new Blocks(strips));
        return strips.Count > 0;
    }

    private static string Reached((ComponentResult Result, double[] Counts, double[] Ranges) line)
    {
        int at = Array.FindIndex(line.Counts, c => c >= 10);
        return at < 0 ? $"{Say.Number(line.Counts[^1], 0)} cycles in all" : $"ten cycles reach {Say.Number(line.Ranges[at], 1)} kN";
    }

    /// <summary>
    /// Cumulative counts and ranges, largest range first; the first point is the largest range itself. Each further point says how many cycles reach
    /// the lower edge of one of many narrow cells, which is exact and needs no sorting of some hundred thousand cycles.
    /// </summary>
    public static (double[] Counts, double[] Ranges) Curve(CycleCount cycles)
    {
        ReadOnlySpan<double> weights = cycles.Weight.AsSpan(), from = cycles.FromN.AsSpan(), to = cycles.ToN.AsSpan();
        double largest = cycles.LargestRangeN();

        double[] inCell = new double[Cells];
        double atTop = 0;
        for (int i = 0; i < weights.Length; i++)
        {
            double range = Math.Abs(to[i] - from[i]);
            inCell[Math.Min(Cells - 1, (int)(range / largest * Cells))] += weights[i];
            atTop += range == largest ? weights[i] : 0;
        }

        List<double> counts = [atTop], levels = [largest * Say.KnPerN];
        double count = 0;
        int lastStep = int.MinValue;
        for (int cell = Cells - 1; cell >= 0; cell--)
        {
            count += inCell[cell];
            int step = (int)Math.Floor(Math.Log10(count) * PointsPerDecade);
            if (inCell[cell] > 0 && count > counts[^1] && (step != lastStep || cell == 0))
            {
                counts.Add(count);
                levels.Add(largest * cell / Cells * Say.KnPerN);
                lastStep = step;
            }
        }

        return ([.. counts], [.. levels]);
    }

    /// <summary>A few points of the line that carry its sign, shifted from line to line so that they do not lie on each other.</summary>
    private static List<Coordinates> Marked(double[] xs, double[] ys, int line)
    {
        List<Coordinates> marked = [];
        double next = xs[0] + 0.1 + (0.09 * line);
        for (int i = 0; i < xs.Length; i++)
        {
            if (xs[i] >= next)
            {
                marked.Add(new(xs[i], ys[i]));
                next += 0.7;
            }
        }

        return marked;
    }
}
