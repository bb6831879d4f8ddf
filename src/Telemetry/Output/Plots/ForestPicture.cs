using ScottPlot;
using ScottPlot.TickGenerators;
using Telemetry.Comparison;
using Telemetry.Output.Compared;

namespace Telemetry.Output.Plots;

/// <summary>Differences with their intervals on one axis in %, the line of no change and the wanted difference beside them.</summary>
public static class ForestPicture
{
    /// <summary>File name without ending.</summary>
    public const string Name = "differences";

    /// <summary>Draws the picture; null when nothing was compared.</summary>
    public static PlotFile? Draw(ComparisonResult result, double wantedShare, PlotOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(result);
        options ??= PlotOptions.Default;
        options.Check();
        PlotFonts.Register();
        using Figure? figure = Sketch(result, wantedShare);
        if (figure is null)
        {
            return null;
        }

        (var png, var svg) = FigureWriter.Write(figure, options);
        return new(figure.Name, figure.Title, figure.Description, png, svg);
    }

    /// <summary>The figure before it is drawn.</summary>
    internal static Figure? Sketch(ComparisonResult result, double wantedShare)
    {
        (SetupDifference Of, QuantityDifference Q)[] rows =
        [
            .. from difference in result.Differences
               from quantity in difference.Quantities
               where quantity.Percent is not null && !QuantityNames.IsOfArea(quantity.Kind)
               select (difference, quantity),
        ];
        if (rows.Length == 0)
        {
            return null;
        }

        string title = Title(result);
        Figure figure = new(Name, title, $"{string.Join("  ·  ", result.Runs.Select(run => $"{run.Setup}: {Say.Name(run.Name)}"))}  ·  at {Say.Number(result.SpeedMps * Say.KmhPerMps, 0)} km/h and {Say.Number(ComparisonResult.DensityKgM3, 3)} kg/m³",
            $"Differences of {rows.Length} quantities in percent of the baseline, each as a point with its 95 % interval. {title}.");
        FigurePanel panel = figure.AddPanel(Share.All, "Difference (% of the baseline; of the balance: points of %)", "");
        panel.Room = new(330, 420, 78, 10);
        NumericManual ticks = new();
        List<Coordinates> real = [], open = [], doubted = [];
        double low = 0, high = 0;
        for (int i = 0; i < rows.Length; i++)
        {
            (SetupDifference of, QuantityDifference q) = rows[i];
            Estimate percent = q.Percent!;
            double row = rows.Length - 1 - i;
            string label = result.Differences.Length > 1 ? $"{of.Setup}: {QuantityNames.Of(q.Kind)}" : QuantityNames.Of(q.Kind);
            ticks.AddMajor(row, Say.Name(label, 28));
            Traces.Straight(panel.Plot, new(percent.Low95, row), new(percent.High95, row), q.IsReal ? Look.Blue : Look.Muted, LinePattern.Solid, q.IsReal ? 6 : 3);
            (q.IsReal ? real : q.IsInDoubt ? doubted : open).Add(new(percent.Value, row));
            low = Math.Min(low, percent.Low95);
            high = Math.Max(high, percent.High95);
        }

        double wanted = 100 * wantedShare;
        low = Math.Min(low, -wanted);
        high = Math.Max(high, wanted);
        double margin = 0.06 * (high - low);
        Traces.Straight(panel.Plot, new(0, -0.6), new(0, rows.Length - 0.4), Look.Ink, LinePattern.Solid, 2.5f);
        foreach (double at in (double[])[-wanted, wanted])
        {
            Traces.Straight(panel.Plot, new(at, -0.6), new(at, rows.Length - 0.4), Look.Vermillion, new([14, 6], 0, "dash"), 2);
        }

        Sign realSign = new(Look.Blue, LinePattern.Solid, MarkerShape.FilledSquare);
        Sign openSign = new(Look.Muted, LinePattern.Solid, MarkerShape.OpenCircle);
        Traces.Points(panel.Plot, real, realSign, 18, 255);
        Sign doubtSign = new(Look.Vermillion, LinePattern.Solid, MarkerShape.Eks);
        Traces.Points(panel.Plot, open, openSign, 18, 255, 3);
        Traces.Points(panel.Plot, doubted, doubtSign, 18, 255, 3);
        for (int i = 0; i < rows.Length; i++)
        {
            QuantityDifference q = rows[i].Q;
            (string unit, double factor) = ComparedUnits.Of(q.Kind);
            string verdict = QuantityNames.Verdict(q);
            panel.EdgeLabels.Add(new EdgeLabel(rows.Length - 1 - i, $"{ComparedUnits.Change(q.Difference, factor)} {unit}, {verdict}", Look.Ink, q.IsReal));
        }

        panel.Plot.Axes.Left.TickGenerator = ticks;
        panel.Plot.Grid.YAxisStyle.IsVisible = false;
        panel.Plot.Axes.SetLimits(low - margin, high + margin, -0.6, rows.Length - 0.4);
        figure.Explain(LegendEntry.Points("real at 95 %, with its interval", realSign));
        figure.Explain(LegendEntry.Points("not shown", openSign));
        if (doubted.Count > 0)
        {
            figure.Explain(LegendEntry.Points("in doubt: the runs by themselves contradict it", doubtSign));
        }

        figure.Explain(new LegendEntry("wanted difference", Look.Vermillion) { LineWidth = 2, Dash = new([14, 6], 0, "dash") });
        figure.Footnote = "An interval that crosses the solid line holds no change. 'Not shown' is not 'the same': see what these runs could have shown.";
        return figure;
    }

    private static string Title(ComparisonResult result)
    {
        SetupDifference first = result.Differences[0];
        QuantityDifference? total = first.Quantities.FirstOrDefault(q => q.Kind == ComparedKind.TotalLoad);
        string what = total is null ? "The comparison" : $"Total load of {first.Setup} against {first.Baseline}: {ComparedUnits.Change(total.Percent!)} %";
        return total is null ? what : $"{what}, {QuantityNames.VerdictInWords(total)}";
    }
}
