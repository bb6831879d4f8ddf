using System.Collections.Immutable;
using ScottPlot;
using Telemetry.Comparison;
using Telemetry.Output.Compared;

namespace Telemetry.Output.Plots;

/// <summary>Quantities of several runs against speed, one column each: above, the runs with their bands; below, each run less the first with its interval.</summary>
internal static class ComparedCurvesPicture
{
    /// <summary>File name of the aero loads, without ending.</summary>
    public const string AeroName = "compared_aero_load";

    /// <summary>File name of the ride heights, without ending.</summary>
    public const string PlatformName = "compared_platform";

    /// <summary>As many runs as there are signs.</summary>
    public static int MostRuns => Look.Signs.Length;

    private static readonly Sign Paired = new(Look.Ink, LinePattern.Solid, MarkerShape.FilledDiamond);

    /// <summary>Aero loads.</summary>
    public static Sketch Aero(ComparedSet set) => Of(
        set, AeroName, ComparedCurveSets.Aero(set.Runs), 2, "Total load", "Air speed (km/h)",
        $"aero load, downwards, at {Say.Number(ComparisonResult.DensityKgM3, 3)} kg/m³", "What they share cancels and is counted all the same, so these bands are too wide rather than too narrow.", "No run has an aero load against speed.");

    /// <summary>Ride heights and rake.</summary>
    public static Sketch Platform(ComparedSet set) => Of(
        set, PlatformName, ComparedCurveSets.Platform(set.Runs), 0, "Front ride height", "Speed (km/h)", "means of speed bands on straights", "In the first and the last band the runs can have different mean speeds; trust the paired passes there.", "No run has ride heights against speed.");

    private static Sketch Of(ComparedSet set, string name, ImmutableArray<ComparedCurve> curves, int headline, string what, string xLabel, string remark, string caution, string without)
    {
        if (curves.All(curve => curve.Runs.All(run => run.IsEmpty)))
        {
            return Sketch.Without(name, without);
        }

        string title = Title(set, curves[headline], what);
        int shown = Math.Min(set.Runs.Length, MostRuns);
        Figure figure = new(name, title, $"{remark}; bands and bars are 95 % intervals",
            $"{curves.Length} columns ({string.Join(", ", curves.Select(curve => curve.Heading.ToLowerInvariant()))}) against speed in km/h. Above, {Say.Count(shown, "run")} with 95 % bands; below, each run less the first. {title}.");
        for (int i = 0; i < curves.Length; i++)
        {
            AddColumn(figure, set, curves[i], i, curves.Length, shown, xLabel);
        }

        for (int r = 0; r < shown; r++)
        {
            figure.Explain(LegendEntry.Line(Say.Name(set.Runs[r].Label, 34), Look.Signs[r]) with { Marker = curves.All(c => c.Runs[r].Length <= 8) ? Look.Signs[r].Marker : MarkerShape.None });
        }

        if (curves.Any(curve => curve.Kind is { } kind && set.First(kind) is not null))
        {
            figure.Explain(LegendEntry.Points("passes paired at one air speed: the answer", Paired));
        }

        string hidden = set.Runs.Length > shown ? $" The first {shown} of {set.Runs.Length} runs are drawn; the tables hold all." : "";
        figure.Footnote = $"Below: each run less run 1, as if the runs were independent. {caution}{hidden}";
        return Sketch.Of(figure);
    }

    private static string Title(ComparedSet set, ComparedCurve curve, string what)
    {
        if (set.Result.WithheldBecause is string because)
        {
            return $"{what} of each run; nothing is compared: " + Say.Clause(because);
        }

        if (curve.Kind is not { } kind || set.First(kind) is not { } q)
        {
            return $"{what} of each run against speed";
        }

        SetupDifference first = set.Result.Differences[0];
        (string unit, double factor) = ComparedUnits.Of(kind);
        string title = $"{what} of {Say.Name(first.Setup, 24)} less {Say.Name(first.Baseline, 24)}: {ComparedUnits.Change(q.Difference, factor)} {unit} at {Say.Number(set.Result.SpeedMps * Say.KmhPerMps, 0)} km/h, {QuantityNames.VerdictInWords(q)}";
        int other = set.Runs.Select((run, i) => (run, i)).First(pair => pair.run.Run.Setup == first.Setup).i;
        ImmutableArray<CurvePoint> less = curve.LessFirst(other);
        return less.Length < 2 || !q.IsReal
            ? title
            : $"{title}; from {ComparedUnits.Signed(less[0].Y.Value, curve.Decimals)} {curve.Unit} at {Say.Number(less[0].X, 0)} to {ComparedUnits.Signed(less[^1].Y.Value, curve.Decimals)} {curve.Unit} at {Say.Number(less[^1].X, 0)} km/h";
    }

    private static void AddColumn(Figure figure, ComparedSet set, ComparedCurve curve, int column, int columns, int shown, string xLabel)
    {
        (double left, double right) = ((double)column / columns, (column + 1.0) / columns);
        FigurePanel values = figure.AddPanel(new(left, 0, right, 0.53), "", $"{Short(curve.Heading)} ({curve.Unit})", curve.Heading);
        FigurePanel differences = figure.AddPanel(new(left, 0.53, right, 1), xLabel, $"Difference ({curve.Unit})", "Less run 1");
        values.Room = new(118, 12, 46, 36);
        differences.Room = new(118, 12, 78, 36);
        double low = double.PositiveInfinity, high = double.NegativeInfinity;
        for (int r = 0; r < shown; r++)
        {
            foreach (CurvePoint point in curve.Runs[r])
            {
                (low, high) = (Math.Min(low, point.X), Math.Max(high, point.X));
            }
        }

        if (low > high)
        {
            return;
        }

        double margin = Math.Max(2, 0.04 * (high - low));
        Traces.Straight(differences.Plot, new(low - margin, 0), new(high + margin, 0), Look.Ink, LinePattern.Solid, 2.5f);
        for (int r = 0; r < shown; r++)
        {
            Draw(values.Plot, curve.Runs[r], Look.Signs[r]);
            if (r > 0)
            {
                Draw(differences.Plot, curve.LessFirst(r), Look.Signs[r]);
            }
        }

        AddPaired(differences.Plot, set, curve);
        foreach (FigurePanel panel in (FigurePanel[])[values, differences])
        {
            panel.Plot.Axes.AutoScale();
            panel.Plot.Axes.SetLimitsX(low - margin, high + margin);
        }
    }

    private static void Draw(Plot plot, ImmutableArray<CurvePoint> points, Sign sign)
    {
        double[] xs = [.. points.Select(point => point.X)], ys = [.. points.Select(point => point.Y.Value)];
        Traces.Band(plot, xs, [.. points.Select(point => point.Y.Low95)], [.. points.Select(point => point.Y.High95)], sign.Color, 50);
        if (xs.Length > 0)
        {
            Traces.Line(plot, xs, ys, sign);
        }

        // Few points are means of speed bands and are shown as such; many are a curve.
        if (xs.Length is > 0 and <= 8)
        {
            Traces.Points(plot, [.. xs.Zip(ys, (x, y) => new Coordinates(x, y))], sign, 11, 255);
        }
    }

    /// <summary>The answer of the comparison itself: a point for each setup, at its speed.</summary>
    private static void AddPaired(Plot plot, ComparedSet set, ComparedCurve curve)
    {
        if (curve.Kind is not { } kind)
        {
            return;
        }

        double x = set.Result.SpeedMps * Say.KmhPerMps;
        for (int i = 0; i < set.Result.Differences.Length; i++)
        {
            if (set.Result.Differences[i].Quantities.FirstOrDefault(q => q.Kind == kind) is { } q)
            {
                // Side by side, where several setups would lie on top of each other.
                double at = x + (1.2 * (i - ((set.Result.Differences.Length - 1) / 2.0)));
                Traces.Straight(plot, new(at, q.Difference.Low95 * curve.KindFactor), new(at, q.Difference.High95 * curve.KindFactor), Look.Ink, LinePattern.Solid, 4);
                Traces.Points(plot, [new(at, q.Difference.Value * curve.KindFactor)], Paired, 16, 255);
            }
        }
    }

    private static string Short(string heading) => heading.Split(',')[0];
}
