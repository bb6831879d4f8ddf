using System.Collections.Immutable;
using ScottPlot;
using Telemetry.Aero;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Aero load against speed: curves with bands, the windows they rest on, and those that were turned away.</summary>
internal static class AeroLoadPicture
{
    public const string Name = "aero_load_by_speed";
    private const int MostPassLines = 40;

    /// <summary>Windows further apart than this do not follow each other, s: two windows of half a second with one missing between them.</summary>
    private const double MostStepS = 1.1;

    private static readonly (string What, Sign Sign, Func<AeroAtSpeed, Estimate> Curve, Func<QuasiSteadyWindow, double> Window)[] Series =
    [
        ("total", Look.Signs[0], at => at.TotalLoadN, w => w.FrontLoadN + w.RearLoadN),
        ("rear", Look.Signs[1], at => at.RearLoadN, w => w.RearLoadN),
        ("front", Look.Signs[2], at => at.FrontLoadN, w => w.FrontLoadN),
    ];

    public static Sketch Draw(RunReview review)
    {
        AeroResult aero = review.Aero;
        QuasiSteadyWindow[] known = [.. aero.Windows.Where(w => double.IsFinite(w.SpeedMps) && double.IsFinite(w.FrontLoadN + w.RearLoadN))];
        if (aero.Curve.IsEmpty && known.Length == 0)
        {
            return Sketch.Without(Name, aero.WithheldBecause ?? "No quasi-steady window was found.");
        }

        string title = Title(aero);
        Figure figure = new(Name, title, Look.Subtitle(review, "estimate; load that the sprung mass sees, moment of drag included"),
            $"Aero load in kN against air speed in km/h, front, rear and total with 95 % bands, and the quasi-steady windows of {Say.Count(aero.Passes.Length, "straight pass")}. {title}.");
        Plot plot = figure.AddPanel(Share.All, "Air speed (km/h)", "Aero load, downwards (kN)").Plot;
        QuasiSteadyWindow[] used = [.. known.Where(w => w.RejectedBecause is null)];
        Coordinates[] rejected = [.. known.Where(w => w.RejectedBecause is not null).Select(w => At(w, Series[0].Window))];
        Sign pale = new(Look.Pale, LinePattern.Solid, MarkerShape.Eks);
        Traces.Points(plot, Traces.Thin(rejected, 120, 60), pale, 9, 200);
        foreach (var series in Series)
        {
            AddWindows(plot, used, series.Window, series.Sign, aero.WithheldBecause is not null);
        }

        foreach (var series in Series)
        {
            AddCurve(figure, plot, aero.Curve, series.What, series.Curve, series.Sign);
        }

        Limits(plot, aero, used, known);
        AxisLimits limits = plot.Axes.GetLimits();
        Explain(figure, aero, used.Length, rejected.Length, rejected.Count(p => !limits.Contains(p)), pale);
        if (aero.AtReference is { } reference)
        {
            AddReference(plot, reference, Covered(aero.Curve, used));
        }

        return Sketch.Of(figure);
    }

    private static string Title(AeroResult aero)
    {
        if (aero.AtReference is not { } at)
        {
            return "Aero load withheld: " + Say.Clause(aero.WithheldBecause ?? "no reason was given");
        }

        return $"Aero load at {Say.Number(at.SpeedMps * Say.KmhPerMps, 0)} km/h: {Say.Interval(at.TotalLoadN, Say.KnPerN, " kN")}, "
            + $"{Say.Interval(at.BalanceFrontPct, 1, " %", 1)} front";
    }

    private static void AddWindows(Plot plot, QuasiSteadyWindow[] used, Func<QuasiSteadyWindow, double> value, Sign sign, bool isWithheld)
    {
        Color color = isWithheld ? sign.Color.WithAlpha(130) : sign.Color;
        IGrouping<int, QuasiSteadyWindow>[] passes = [.. used.GroupBy(w => w.Pass).Where(g => g.Key > 0)];
        if (passes.Length <= MostPassLines)
        {
            foreach (IGrouping<int, QuasiSteadyWindow> pass in passes)
            {
                foreach (Coordinates[] points in Stretches([.. pass.OrderBy(w => w.TimeS)], value))
                {
                    Traces.Line(plot, [.. points.Select(p => p.X)], [.. points.Select(p => p.Y)], sign with { Color = color.WithAlpha(70), Dash = LinePattern.Solid }, 1.2f);
                }
            }
        }

        Traces.Points(plot, Traces.Thin([.. used.Select(w => At(w, value))], 150, 110), sign, 7, isWithheld ? (byte)110 : (byte)150);
    }

    /// <summary>Windows that follow each other: nothing is drawn over a stretch of the straight that was turned away.</summary>
    private static IEnumerable<Coordinates[]> Stretches(QuasiSteadyWindow[] pass, Func<QuasiSteadyWindow, double> value)
    {
        int start = 0;
        for (int i = 1; i <= pass.Length; i++)
        {
            if (i == pass.Length || pass[i].TimeS - pass[i - 1].TimeS > MostStepS)
            {
                yield return [.. pass[start..i].Select(w => At(w, value))];
                start = i;
            }
        }
    }

    private static void AddCurve(Figure figure, Plot plot, ImmutableArray<AeroAtSpeed> curve, string what, Func<AeroAtSpeed, Estimate> pick, Sign sign)
    {
        if (!curve.IsEmpty)
        {
            double[] xs = [.. curve.Select(at => at.SpeedMps * Say.KmhPerMps)];
            Traces.Band(plot, xs, [.. curve.Select(at => pick(at).Low95 * Say.KnPerN)], [.. curve.Select(at => pick(at).High95 * Say.KnPerN)], sign.Color, 60);
            Traces.Line(plot, xs, [.. curve.Select(at => pick(at).Value * Say.KnPerN)], sign);
        }

        figure.Explain(LegendEntry.Points(what, sign) with { LineWidth = curve.IsEmpty ? 0 : 3, Dash = sign.Dash });
    }

    private static void Explain(Figure figure, AeroResult aero, int used, int rejected, int outside, Sign pale)
    {
        if (!aero.Curve.IsEmpty)
        {
            figure.Explain(LegendEntry.Area("95 % interval", Look.Blue.WithAlpha(60)));
        }

        if (rejected > 0)
        {
            string why = string.Join(", ", aero.Windows.Where(w => w.RejectedBecause is not null).GroupBy(w => w.RejectedBecause!)
                .OrderByDescending(g => g.Count()).ThenBy(g => g.Key, StringComparer.Ordinal).Take(3).Select(g => Say.Name(g.Key)));
            figure.Explain(LegendEntry.Points($"total of {Say.Count(rejected, "window")} turned away ({why})", pale));
        }

        string hidden = outside > 0 ? $"; {outside} of those turned away lie outside the picture" : "";
        figure.Footnote = $"{Say.Count(used, "window")} used{hidden}; windows of one pass are joined by a thin line, at road speed. "
            + (aero.Wind.SpeedMps is { } wind ? $"Curves are for still air; the wind was found to be {Say.Number(wind.Value, 1)} m/s." : "Curves are for still air.");
    }

    private static void Limits(Plot plot, AeroResult aero, QuasiSteadyWindow[] used, QuasiSteadyWindow[] known)
    {
        double[] speeds = [.. (used.Length > 0 ? used : known).Select(w => w.SpeedMps * Say.KmhPerMps), .. aero.Curve.Select(at => at.SpeedMps * Say.KmhPerMps)];
        double[] loads =
        [
            .. (used.Length > 0 ? used : known).SelectMany(w => Series.Select(s => s.Window(w) * Say.KnPerN)),
            .. aero.Curve.SelectMany(at => Series.Select(s => s.Curve(at).High95 * Say.KnPerN)),
        ];
        double low = Math.Min(0, loads.Min()), high = Math.Max(loads.Max(), low + 0.1);
        // A few windows of the pit lane would leave most of the picture empty: the curve says where the answer is.
        double slowest = aero.Curve.IsEmpty ? speeds.Min() : Math.Max(speeds.Min(), (aero.Curve[0].SpeedMps * Say.KmhPerMps) - 20);
        plot.Axes.SetLimits(slowest - 6, speeds.Max() + 8, low, high + (0.06 * (high - low)));
    }

    private static void AddReference(Plot plot, AeroAtSpeed at, IReadOnlyList<Coordinates> clear)
    {
        double x = at.SpeedMps * Say.KmhPerMps;
        AxisLimits limits = plot.Axes.GetLimits();
        Traces.Straight(plot, new(x, limits.Bottom), new(x, limits.Top), Look.Muted, new([6, 6], 0, "dash"), 1.6f);
        List<Callout> callouts = [];
        foreach (var series in Series)
        {
            Estimate load = series.Curve(at);
            callouts.Add(new(x, load.Value * Say.KnPerN, $"{series.What} {Say.Interval(load, Say.KnPerN, " kN")}", Look.Ink));
        }

        plot.Add.Plottable(new Callouts(callouts) { Size = 20, KeepClear = clear });
    }

    /// <summary>Where curves and points lie, so that no text is put over them.</summary>
    private static List<Coordinates> Covered(ImmutableArray<AeroAtSpeed> curve, QuasiSteadyWindow[] used)
    {
        const int between = 6;
        List<Coordinates> covered = [];
        foreach (var series in Series)
        {
            covered.AddRange(used.Select(w => At(w, series.Window)));
            for (int i = 0; i + 1 < curve.Length; i++)
            {
                Estimate from = series.Curve(curve[i]), to = series.Curve(curve[i + 1]);
                for (int k = 0; k < between; k++)
                {
                    double share = (double)k / between;
                    double x = ((1 - share) * curve[i].SpeedMps) + (share * curve[i + 1].SpeedMps);
                    covered.Add(new(x * Say.KmhPerMps, (((1 - share) * from.Low95) + (share * to.Low95)) * Say.KnPerN));
                    covered.Add(new(x * Say.KmhPerMps, (((1 - share) * from.High95) + (share * to.High95)) * Say.KnPerN));
                }
            }
        }

        return covered;
    }

    private static Coordinates At(QuasiSteadyWindow window, Func<QuasiSteadyWindow, double> value) =>
        new(window.SpeedMps * Say.KmhPerMps, value(window) * Say.KnPerN);
}
