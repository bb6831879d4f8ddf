using System.Collections.Immutable;
using ScottPlot;
using ScottPlot.TickGenerators;
using Telemetry.Car;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Plots;

/// <summary>One channel of a mode picture.</summary>
/// <param name="Label">What it is, with the shown unit.</param>
/// <param name="Samples">One value a sample of the clock, SI.</param>
/// <param name="Factor">Shown unit per SI unit.</param>
internal sealed record ModeChannel(string Label, SampleSource Samples, double Factor);

/// <summary>Four channels above one another along the lap, the laps laid over each other: what both mode pictures share.</summary>
internal static class ModePanels
{
    /// <summary>Columns of the hardest lap: a little over two pixels each.</summary>
    private const int Columns = 620;

    /// <summary>Columns of the other laps: coarser, so that the hardest stands out and the SVG stays small.</summary>
    private const int OtherColumns = 310;
    private const int MostOtherLaps = 4;

    /// <summary>Laps that may stand beside each other: the complete ones, or all where none is complete.</summary>
    public static ImmutableArray<Lap> Comparable(Run run)
    {
        ImmutableArray<Lap> complete = [.. run.Laps.Laps.Where(lap => lap.IsComplete && lap.EndIndex > lap.StartIndex)];
        return complete.Length > 0 ? complete : [.. run.Laps.Laps.Where(lap => lap.EndIndex > lap.StartIndex)];
    }

    /// <summary>The lap with the largest pushrod load, that load, its corner and its sample; null when no load is known.</summary>
    public static (Lap Lap, double LoadN, Corner Corner, int Index)? Hardest(RunReview review, ImmutableArray<Lap> laps)
    {
        (Lap Lap, Corner Corner)? hardest = null;
        double largest = double.NegativeInfinity;
        foreach ((Corner corner, SampleSource load) in review.Wheels.Pushrods.PushrodLoadN.Each())
        {
            if (load.IsEmpty)
            {
                continue;
            }

            foreach (Lap lap in laps)
            {
                double high = Extremes.Of(load, lap.StartIndex, lap.EndIndex).High;
                if (high > largest)
                {
                    largest = high;
                    hardest = (lap, corner);
                }
            }
        }

        return hardest is (Lap found, Corner of)
            ? (found, largest, of, found.StartIndex + review.Wheels.Pushrods.PushrodLoadN[of].Between(found.StartIndex, found.EndIndex).IndexOf(largest))
            : null;
    }

    /// <summary>Adds the four panels, the legend and the footnote.</summary>
    public static void Add(Figure figure, Run run, ImmutableArray<Lap> laps, Lap hardest, IReadOnlyList<IReadOnlyList<ModeChannel>> rows)
    {
        LapAxis axis = new(run, laps);
        Lap fastest = laps.MinBy(lap => lap.DurationS)!;
        Lap[] others = [.. laps.Where(lap => lap != hardest && lap != fastest)];
        double[] xs = LapTrace.Middles(axis.Length, Columns);

        // The channels are modes of the same corners: these are made once a stretch for all of them.
        ModeChannel[] all = [.. rows.SelectMany(row => row)];
        SampleSource[] samples = new SharedParts(SampleSource.RoomForBlock().Length).Of(all.Select(channel => channel.Samples));
        (SampleSource, double)[] channels = [.. samples.Zip(all, (values, channel) => (values, channel.Factor))];
        (SampleSource, double)[] firsts = [.. rows.Select(row => channels[Array.IndexOf(all, row[0])])];
        LapTrace[] hard = LapTrace.Of(channels, axis, hardest, Columns);
        LapTrace[][] other = [.. others.Select(lap => LapTrace.Of(firsts, axis, lap, OtherColumns))];
        LapTrace[]? fast = fastest == hardest ? null : LapTrace.Of(firsts, axis, fastest, OtherColumns);
        int drawn = 0;
        for (int row = 0; row < rows.Count; row++)
        {
            bool isLast = row == rows.Count - 1;

            // The lowest panel also holds the axis: it gets that much more of the page, so that all data areas are equally high.
            const double foot = 0.105;
            double each = (1 - foot) / rows.Count;
            FigurePanel panel = figure.AddPanel(new(0, row * each, 1, ((row + 1) * each) + (isLast ? foot : 0)), isLast ? axis.Label : "", rows[row][0].Label);
            panel.Room = new(110, 24, isLast ? 78 : 12, 6);
            panel.Plot.Axes.Bottom.TickLabelStyle.IsVisible = isLast;
            ((NumericAutomatic)panel.Plot.Axes.Left.TickGenerator).TickDensity = 1;
            int first = row;
            AddFirst(panel.Plot, xs, LapTrace.Middles(axis.Length, OtherColumns), hard[drawn++], fast?[first], [.. other.Select(lap => lap[first])]);
            foreach (ModeChannel _ in rows[row].Skip(1))
            {
                Traces.Line(panel.Plot, xs, hard[drawn++].Mean, new(Look.Vermillion, new([3, 4], 0, "dot"), default), 2.6f);
            }

            panel.Plot.Axes.AutoScale();
            panel.Plot.Axes.SetLimitsX(0, axis.Length);
        }

        Explain(figure, hardest, fastest, others, axis);
    }

    /// <summary>The channel that every lap is drawn of.</summary>
    private static void AddFirst(Plot plot, double[] xs, double[] coarse, LapTrace hard, LapTrace? fast, LapTrace[] others)
    {
        Traces.Band(plot, xs, hard.Low, hard.High, Look.Vermillion, 62);
        if (others.Length > MostOtherLaps)
        {
            (double[] low, double[] high) = Spread(others);
            Traces.Band(plot, coarse, low, high, Look.Muted, 90);
        }
        else
        {
            foreach (LapTrace lap in others)
            {
                Traces.Line(plot, coarse, lap.Mean, new(Look.Pale, LinePattern.Solid, default), 1.6f);
            }
        }

        if (fast is not null)
        {
            Traces.Line(plot, coarse, fast.Mean, new(Look.Blue, new([12, 5], 0, "dash"), default), 2.2f);
        }

        Traces.Line(plot, xs, hard.Mean, new(Look.Vermillion, LinePattern.Solid, default), 2.2f);
    }

    private static (double[] Low, double[] High) Spread(LapTrace[] laps)
    {
        double[] low = new double[OtherColumns], high = new double[OtherColumns];
        Array.Fill(low, double.NaN);
        Array.Fill(high, double.NaN);
        foreach (LapTrace lap in laps)
        {
            for (int i = 0; i < OtherColumns; i++)
            {
                if (double.IsFinite(lap.Mean[i]))
                {
                    low[i] = double.IsNaN(low[i]) ? lap.Mean[i] : Math.Min(low[i], lap.Mean[i]);
                    high[i] = double.IsNaN(high[i]) ? lap.Mean[i] : Math.Max(high[i], lap.Mean[i]);
                }
            }
        }

        return (low, high);
    }

    private static void Explain(Figure figure, Lap hardest, Lap fastest, Lap[] others, LapAxis axis)
    {
        string both = hardest == fastest ? ", also the fastest" : "";
        figure.Explain(LegendEntry.Line($"lap {hardest.Number}, the hardest{both}", new(Look.Vermillion, LinePattern.Solid, default)));
        figure.Explain(LegendEntry.Area($"lap {hardest.Number}, lowest to highest sample", Look.Vermillion.WithAlpha(62)));
        if (fastest != hardest)
        {
            figure.Explain(LegendEntry.Line($"lap {fastest.Number}, the fastest ({Say.Number(fastest.DurationS, 1)} s)", new(Look.Blue, new([12, 5], 0, "dash"), default)));
        }

        if (others.Length > MostOtherLaps)
        {
            figure.Explain(LegendEntry.Area($"spread of the other {others.Length} laps", Look.Muted.WithAlpha(90)));
        }
        else if (others.Length > 0)
        {
            figure.Explain(LegendEntry.Line(others.Length == 1 ? $"lap {others[0].Number}" : "laps " + string.Join(", ", others.Select(lap => lap.Number)), new(Look.Pale, LinePattern.Solid, default), 2));
        }

        figure.Footnote = $"Lines are means over {Say.Number(axis.Length / Columns, 1)} {axis.Unit} (other laps {Say.Number(axis.Length / OtherColumns, 1)} {axis.Unit}); the band holds every sample at the full logging rate.";
    }
}
