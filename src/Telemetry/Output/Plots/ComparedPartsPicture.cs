using System.Collections.Immutable;
using ScottPlot;
using ScottPlot.TickGenerators;
using Telemetry.Output.Compared;

namespace Telemetry.Output.Plots;

/// <summary>Each part in every run: how much of its limit the largest load used, and what the run cost it.</summary>
internal static class ComparedPartsPicture
{
    public const string Name = "compared_parts";

    private const int MostParts = 12;

    public static Sketch Draw(ComparedSet set)
    {
        ImmutableArray<ComparedPart> all = [.. ComparedPart.Of(set.Runs).Where(part => part.Runs.Any(run => run is not null && (double.IsFinite(Used(run)) || run.DamageRun > 0)))];
        if (all.IsEmpty)
        {
            return Sketch.Without(Name, "No run has a part with a limit or a fatigue strength.");
        }

        // Where there is no room for all: those that came nearest to a limit.
        ComparedPart[] parts = [.. all.OrderByDescending(part => part.Runs.Max(Used)).Take(MostParts)];
        int shown = Math.Min(set.Runs.Length, ComparedCurvesPicture.MostRuns);
        string title = Title(set, all);
        Figure figure = new(Name, title, "largest load as a share of what the part is allowed, its factor included; damage is the Miner sum of the whole run; bars are 95 % intervals",
            $"Two columns, one row for each of {Say.Count(parts.Length, "part")} and a sign for each of {Say.Count(shown, "run")}: limit used in %, and damage of the run. {title}.");
        FigurePanel limits = figure.AddPanel(new(0, 0, 0.56, 1), "Limit used by the largest load (%)", "", "Peaks");
        FigurePanel damage = figure.AddPanel(new(0.56, 0, 1, 1), "Damage of the run (Miner sum)", "", "Damage");
        limits.Room = new(270, 20, 78, 36);
        damage.Room = new(30, 30, 78, 36);
        NumericManual names = new(), none = new();
        for (int p = 0; p < parts.Length; p++)
        {
            names.AddMajor(parts.Length - 1 - p, Say.Name(parts[p].Id, 20));
            none.AddMajor(parts.Length - 1 - p, "");
        }

        double most = AddPeaks(limits.Plot, parts, shown);
        (double low, double high) = AddDamage(damage.Plot, parts, shown);
        limits.Plot.Axes.Left.TickGenerator = names;
        damage.Plot.Axes.Left.TickGenerator = none;
        limits.Plot.Axes.SetLimits(0, Math.Max(110, most * 1.05), -0.6, parts.Length - 0.4);
        damage.Plot.Axes.SetLimits(low, high, -0.6, parts.Length - 0.4);
        damage.Plot.Axes.Bottom.TickGenerator = Ticks(low, high);
        for (int r = 0; r < shown; r++)
        {
            figure.Explain(LegendEntry.Points(Say.Name(set.Runs[r].Label, 34), Look.Signs[r]));
        }

        figure.Explain(new LegendEntry("limit", Look.Vermillion) { LineWidth = 2.5f, Dash = new([14, 6], 0, "dash") });
        string hidden = all.Length > parts.Length ? $" The {parts.Length} of {all.Length} parts that came nearest to a limit; the table holds all." : "";
        figure.Footnote = $"Laps: {string.Join(", ", set.Runs.Take(shown).Select(run => $"{run.Run.Laps} in run {run.Run.Order}"))}. The interval is that of the load cells; how hard a driver takes a kerb is not in it, so a difference in peaks is not the setup's alone.{hidden}";
        return Sketch.Of(figure);
    }

    private static double AddPeaks(Plot plot, ComparedPart[] parts, int runs)
    {
        double most = 100;
        Traces.Straight(plot, new(100, -0.6), new(100, parts.Length - 0.4), Look.Vermillion, new([14, 6], 0, "dash"), 2.5f);
        for (int r = 0; r < runs; r++)
        {
            List<Coordinates> points = [];
            for (int p = 0; p < parts.Length; p++)
            {
                if (parts[p].Runs[r] is { } part && double.IsFinite(Used(part)))
                {
                    double value = Used(part), row = Row(p, parts.Length, r, runs);
                    double end = ComparedPart.LimitUsedPct(part.MarginLow95);
                    double half = double.IsFinite(end) ? Math.Abs(end - value) : 0;
                    Traces.Straight(plot, new(value - half, row), new(value + half, row), Look.Signs[r].Color, LinePattern.Solid, 4);
                    points.Add(new(value, row));
                    most = Math.Max(most, value + half);
                }
            }

            Traces.Points(plot, points, Look.Signs[r], 13, 255);
        }

        return most;
    }

    private static (double Low, double High) AddDamage(Plot plot, ComparedPart[] parts, int runs)
    {
        double low = double.PositiveInfinity, high = double.NegativeInfinity;
        for (int r = 0; r < runs; r++)
        {
            List<Coordinates> points = [];
            for (int p = 0; p < parts.Length; p++)
            {
                if (parts[p].Runs[r] is not { DamageRun: > 0 and double value } part)
                {
                    continue;
                }

                double row = Row(p, parts.Length, r, runs);
                double from = Math.Log10(part.DamageRunLow95 is > 0 and double least ? least : value), to = Math.Log10(part.DamageRunHigh95 is > 0 and double largest ? largest : value);
                Traces.Straight(plot, new(from, row), new(to, row), Look.Signs[r].Color, LinePattern.Solid, 4);
                points.Add(new(Math.Log10(value), row));
                (low, high) = (Math.Min(low, from), Math.Max(high, to));
            }

            Traces.Points(plot, points, Look.Signs[r], 13, 255);
        }

        return low > high ? (-8, 0) : (low - 0.15, high + 0.15);
    }

    /// <summary>Small numbers on a scale of logs, at 1, 2 and 5 of each decade: the runs of a comparison seldom span one.</summary>
    private static NumericManual Ticks(double low, double high)
    {
        NumericManual ticks = new();
        for (int decade = (int)Math.Floor(low); decade <= high; decade++)
        {
            foreach (int k in (int[])[1, 2, 5])
            {
                double at = decade + Math.Log10(k);
                if (at >= low && at <= high && (k == 1 || high - low < 2.5))
                {
                    ticks.AddMajor(at, $"{k}e{Say.Number(decade, 0)}");
                }
            }
        }

        return ticks;
    }

    private static double Row(int part, int parts, int run, int runs) => parts - 1 - part - (0.62 * ((run + 0.5) / runs - 0.5));

    private static double Used(SummaryComponent? part) => part is null ? double.NaN : ComparedPart.LimitUsedPct(part.MarginOfSafety);

    private static string Title(ComparedSet set, ImmutableArray<ComparedPart> parts)
    {
        (ComparedPart Part, int Run, double Used)[] peaks =
        [
            .. from part in parts
               from run in Enumerable.Range(0, set.Runs.Length)
               let used = Used(part.Runs[run])
               where double.IsFinite(used)
               orderby used descending
               select (part, run, used),
        ];
        string nearest = peaks.Length == 0
            ? "No part has a limit"
            : $"{Say.Name(peaks[0].Part.Id, 24)} came nearest to its limit: {Say.Number(peaks[0].Used, 0)} % in run {set.Runs[peaks[0].Run].Run.Order}";
        (ComparedPart Part, int Run, double Ratio)[] changes =
        [
            .. from part in parts
               where part.Runs[0]?.DamageRun > 0
               from run in Enumerable.Range(1, set.Runs.Length - 1)
               where part.Runs[run]?.DamageRun > 0
               let ratio = part.Runs[run]!.DamageRun!.Value / part.Runs[0]!.DamageRun!.Value
               orderby Math.Abs(Math.Log(ratio)) descending
               select (part, run, ratio),
        ];
        return changes.Length == 0
            ? nearest
            : $"{nearest}; damage changed the most on {Say.Name(changes[0].Part.Id, 24)}: {Say.Number(changes[0].Ratio, 2)} times run 1's in run {set.Runs[changes[0].Run].Run.Order}";
    }
}
