using System.Collections.Immutable;
using ScottPlot;
using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Plots;

/// <summary>Strikes along the lap by their peak load, against what the components are allowed.</summary>
internal static class KerbStrikePicture
{
    public const string Name = "kerb_strikes";
    /// <summary>Levels with a name; more would run into each other. Limits come before thresholds, and the lowest of each first.</summary>
    private const int MostLevels = 4;
    private const int MostCallouts = 5;

    public static Sketch Draw(RunReview review)
    {
        KerbResult kerbs = review.Kerbs;
        KerbStrike[] strikes = [.. kerbs.Strikes.Where(s => double.IsFinite(s.PeakLoadN))];
        if (strikes.Length == 0)
        {
            return Sketch.Without(Name, kerbs.WithheldBecause ?? "No kerb strike was found.");
        }

        bool byDistance = strikes.Any(s => double.IsFinite(s.DistanceM));
        KerbStrike[] shown = byDistance ? [.. strikes.Where(s => double.IsFinite(s.DistanceM))] : strikes;
        string title = Title(strikes);
        Figure figure = new(Name, title, Look.Subtitle(review, "peak pushrod load of each strike at the full logging rate, quasi-static part included"),
            $"Peak pushrod load in kN of {Say.Count(shown.Length, "strike")} against {(byDistance ? "distance along the lap in m" : "time in s")}, one sign for each corner, with the limits of the components. {title}.");
        FigurePanel panel = figure.AddPanel(Share.All, byDistance ? "Distance along the lap (m)" : "Time (s)", "Peak pushrod load (kN)");
        Plot plot = panel.Plot;
        Coordinates At(KerbStrike strike) => new(byDistance ? strike.DistanceM : strike.TimeS, strike.PeakLoadN * Say.KnPerN);
        foreach (Corner corner in Corners.All)
        {
            Coordinates[] points = [.. shown.Where(s => s.Corner == corner).Select(At)];
            if (points.Length > 0)
            {
                Traces.Points(plot, Traces.Thin(points, 250, 120), Look.Of(corner), 12, 200);
                figure.Explain(LegendEntry.Points(corner.Code(), Look.Of(corner)));
            }
        }

        KerbStrike[] past = [.. shown.Where(s => s.ExceedsLimit)];
        if (past.Length > 0)
        {
            Sign ring = new(Look.Ink, LinePattern.Solid, MarkerShape.OpenCircle);
            Traces.Points(plot, Traces.Thin([.. past.Select(At)], 250, 120), ring, 24, 255, 2.5f);
            figure.Explain(LegendEntry.Points("past a limit", ring));
        }

        double highest = shown.Max(s => s.PeakLoadN) * Say.KnPerN;
        double right = Limits(plot, review, byDistance, shown);
        Levels(panel, review.Run, byDistance ? 0 : review.Run.Clock.StartS, right, ref highest);
        double low = Math.Min(0, shown.Min(s => s.PeakLoadN) * Say.KnPerN);
        plot.Axes.SetLimitsY(low, highest + (0.14 * (highest - low)));
        plot.Add.Plottable(new Callouts(Labels(shown, At)) { KeepClear = [.. shown.Select(At)] });
        figure.Footnote = Footnote(strikes, shown, kerbs.ThresholdN);
        return Sketch.Of(figure);
    }

    private static string Title(KerbStrike[] strikes)
    {
        KerbStrike worst = strikes.MaxBy(s => s.PeakLoadN)!;
        int past = strikes.Count(s => s.ExceedsLimit);
        string peak = $"{(worst.IsLowerBound ? "at least " : "")}{Say.Number(worst.PeakLoadN * Say.KnPerN, 1)} kN at {worst.Corner.Code()} on lap {worst.Lap}";
        return past > 0
            ? $"{Say.Count(past, "strike")} of {strikes.Length} past a limit; the hardest {peak}"
            : $"{Say.Count(strikes.Length, "kerb strike")}, none past a limit; the hardest {peak}";
    }

    private static void Levels(FigurePanel panel, Run run, double left, double right, ref double highest)
    {
        ImmutableArray<PushrodLimit> all = PushrodLimits.Of(run.Car);
        double top = Math.Max(highest, all.IsEmpty ? 0 : all[0].LoadN * Say.KnPerN);
        List<PushrodLimit> levels = [.. all.Where(l => l.LoadN * Say.KnPerN <= top * 1.35).OrderBy(l => l.IsInspection).Take(MostLevels)];
        if (levels.Count > 0)
        {
            panel.Room = panel.Room with { Right = 330 };
        }

        foreach (PushrodLimit level in levels)
        {
            Color color = level.IsInspection ? Look.Orange : Look.Vermillion;
            LinePattern dash = level.IsInspection ? new([4, 5], 0, "dot") : new([16, 6], 0, "dash");
            Traces.Straight(panel.Plot, new(left, level.LoadN * Say.KnPerN), new(right, level.LoadN * Say.KnPerN), color, dash);
            string who = Say.Name(level.Components[0], 20) + (level.Components.Length > 1 ? $" +{level.Components.Length - 1}" : "");
            string where = level.Corners.Length == 4 ? "" : " " + string.Join(' ', level.Corners.Select(c => c.Code()));
            panel.EdgeLabels.Add(new(level.LoadN * Say.KnPerN,
                $"{(level.IsInspection ? "inspect" : "limit")}{where} {Say.Number(level.LoadN * Say.KnPerN, 1)} ({who})", color, !level.IsInspection));
            highest = Math.Max(highest, level.LoadN * Say.KnPerN);
        }
    }

    private static List<Callout> Labels(KerbStrike[] shown, Func<KerbStrike, Coordinates> at)
    {
        // Past a limit first, then the hardest of each kerb: the list is placed in this order until there is no room.
        IEnumerable<KerbStrike> worst = shown.Where(s => s.ExceedsLimit).OrderBy(s => s.MarginOfSafety)
            .Concat(shown.GroupBy(s => s.Kerb).Select(g => g.MaxBy(s => s.PeakLoadN)!).OrderByDescending(s => s.PeakLoadN)).Distinct().Take(MostCallouts);
        return [.. worst.Select(s => new Callout(at(s).X, at(s).Y,
            $"lap {s.Lap} {s.Corner.Code()} {(s.IsLowerBound ? "≥ " : "")}{Say.Number(s.PeakLoadN * Say.KnPerN, 1)} kN", s.ExceedsLimit ? Look.Ink : Look.Muted))];
    }

    private static double Limits(Plot plot, RunReview review, bool byDistance, KerbStrike[] shown)
    {
        double right = byDistance ? Math.Max(shown.Max(s => s.DistanceM), ModePanels.Comparable(review.Run) is { IsEmpty: false } laps ? new LapAxis(review.Run, laps).Length : 0) : review.Run.Clock.LastS;
        plot.Axes.SetLimitsX(byDistance ? 0 : review.Run.Clock.StartS, right);
        return right;
    }

    private static string Footnote(KerbStrike[] strikes, KerbStrike[] shown, PerCorner<double> threshold)
    {
        string from = "A strike is counted from " + string.Join(", ", threshold.Each().Select(t => $"{t.Corner.Code()} {Say.Number(t.Value * Say.KnPerN, 1)}")) + " kN above the quasi-static load.";
        double underRead = strikes.Max(s => double.IsFinite(s.WorstUnderReadShare) ? s.WorstUnderReadShare : 0);
        string rate = underRead > 0 ? $" At this logging rate a peak can be up to {Say.Number(100 * underRead, 1)} % higher than shown." : "";
        string bound = strikes.Any(s => s.IsLowerBound) ? " '≥': the real peak may be higher (range of the sensor, gap, or logging rate)." : "";
        string left = shown.Length < strikes.Length ? $" {Say.Count(strikes.Length - shown.Length, "strike")} without a place on the lap not shown." : "";
        return from + rate + bound + left;
    }
}
