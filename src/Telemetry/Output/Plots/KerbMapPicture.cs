using System.Collections.Immutable;
using ScottPlot;
using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Plots;

/// <summary>Strikes on the driven line, where the position was logged.</summary>
internal static class KerbMapPicture
{
    public const string Name = "kerb_map";
    private const int LinePoints = 1500;

    public static Sketch Draw(RunReview review)
    {
        Run run = review.Run;
        if (!run.Has(ChannelRole.PositionEast) || !run.Has(ChannelRole.PositionNorth))
        {
            return Sketch.Without(Name, "The log has no position.");
        }

        if (review.Kerbs.Strikes.IsEmpty)
        {
            return Sketch.Without(Name, review.Kerbs.WithheldBecause ?? "No kerb strike was found.");
        }

        (KerbStrike Strike, Coordinates At)[] strikes = [.. review.Kerbs.Strikes.Select(s => (s, Place(run, s.TimeS))).Where(s => double.IsFinite(s.Item2.X + s.Item2.Y))];
        ImmutableArray<Lap> laps = ModePanels.Comparable(run);
        if (strikes.Length == 0 || laps.IsEmpty)
        {
            return Sketch.Without(Name, "The position is not known at any strike.");
        }

        Kerb? worst = review.Kerbs.Kerbs.IsEmpty ? null : review.Kerbs.Kerbs[0];
        string title = worst is null ? $"{Say.Count(strikes.Length, "kerb strike")} on the driven line"
            : $"The hardest kerb is at {(double.IsFinite(worst.DistanceM) ? Say.Number(worst.DistanceM, 0) + " m" : "an unknown distance")}, {(worst.IsLeft ? "left" : "right")} side: "
                + $"{Say.Number(worst.WorstPeakLoadN * Say.KnPerN, 1)} kN at {worst.WorstCorner.Code()}, struck on {Say.Count(worst.Laps, "lap")}";
        Figure figure = new(Name, title, Look.Subtitle(review, "each sign is one strike, in the colour of its verdict"),
            $"Map of the driven line in m east and north with {Say.Count(strikes.Length, "strike")}, coloured by verdict. {title}.");
        Plot plot = figure.AddPanel(Share.All, "East (m)", "North (m)").Plot;
        Coordinates[] line = AddLine(plot, run, laps.MinBy(lap => lap.DurationS)!);
        AddStrikes(figure, plot, review.Run.Car, strikes);
        AddKerbs(plot, review.Kerbs.Kerbs, strikes, Traces.Thin(line, 220, 140));
        plot.Axes.SquareUnits();
        plot.Axes.Margins(0.06, 0.06);
        figure.Footnote = "Grey: the fastest lap. A larger sign is a higher peak.";
        return Sketch.Of(figure);
    }

    private static Coordinates Place(Run run, double timeS)
    {
        double index = (timeS - run.Clock.StartS) / run.Clock.StepS;
        if (!(index >= 0 && index < run.Count))
        {
            return Coordinates.NaN;
        }

        int i = Math.Min(run.Count - 1, (int)Math.Round(index));
        return new(run.OnClock(ChannelRole.PositionEast)[i], run.OnClock(ChannelRole.PositionNorth)[i]);
    }

    private static Coordinates[] AddLine(Plot plot, Run run, Lap lap)
    {
        SampleSource east = run.OnClock(ChannelRole.PositionEast), north = run.OnClock(ChannelRole.PositionNorth);
        int count = Math.Min(LinePoints, lap.EndIndex - lap.StartIndex);
        double[] xs = new double[count], ys = new double[count];
        for (int i = 0; i < count; i++)
        {
            int at = lap.StartIndex + (int)((long)i * (lap.EndIndex - lap.StartIndex) / count);
            (xs[i], ys[i]) = (east[at], north[at]);
        }

        Traces.Line(plot, xs, ys, new(Look.Frame, LinePattern.Solid, default), 7);
        return [.. xs.Zip(ys, (x, y) => new Coordinates(x, y)).Where(p => double.IsFinite(p.X + p.Y))];
    }

    private static void AddStrikes(Figure figure, Plot plot, CarDefinition car, (KerbStrike Strike, Coordinates At)[] strikes)
    {
        PushrodLimit[] inspections = [.. PushrodLimits.Of(car).Where(l => l.IsInspection)];
        bool Inspect(KerbStrike s) => Array.Exists(inspections, l => s.PeakLoadN > l.LoadN && l.Corners.Contains(s.Corner));
        double lowest = strikes.Min(s => s.Strike.PeakLoadN), highest = strikes.Max(s => s.Strike.PeakLoadN);
        (string Text, Sign Sign, Func<KerbStrike, bool> Is)[] verdicts =
        [
            ("within limits", new(Look.Blue, LinePattern.Solid, MarkerShape.FilledCircle), s => s.NotJudgedBecause is null && !s.ExceedsLimit && !Inspect(s)),
            ("past an inspection threshold", new(Look.Orange, LinePattern.Solid, MarkerShape.FilledDiamond), s => s.NotJudgedBecause is null && !s.ExceedsLimit && Inspect(s)),
            ("past a limit", new(Look.Vermillion, LinePattern.Solid, MarkerShape.FilledTriangleUp), s => s.ExceedsLimit),
            ("not judged, a load cell is not to be relied on", new(Look.Muted, LinePattern.Solid, MarkerShape.OpenCircle), s => s.NotJudgedBecause is not null),
        ];
        foreach ((string text, Sign sign, Func<KerbStrike, bool> isSo) in verdicts)
        {
            (KerbStrike Strike, Coordinates At)[] these = [.. strikes.Where(s => isSo(s.Strike))];
            for (int size = 0; size < 3; size++)
            {
                Coordinates[] points = [.. these.Where(s => Size(s.Strike.PeakLoadN, lowest, highest) == size).Select(s => s.At)];
                if (points.Length > 0)
                {
                    Traces.Points(plot, Traces.Thin(points, 250, 150), sign, 10 + (4 * size), 190);
                }
            }

            if (these.Length > 0)
            {
                figure.Explain(LegendEntry.Points($"{text} ({these.Length})", sign));
            }
        }
    }

    private static int Size(double load, double lowest, double highest) =>
        highest > lowest ? Math.Min(2, (int)(3 * (load - lowest) / (highest - lowest))) : 0;

    private static void AddKerbs(Plot plot, ImmutableArray<Kerb> kerbs, (KerbStrike Strike, Coordinates At)[] strikes, List<Coordinates> line)
    {
        List<Callout> callouts = [];
        foreach (Kerb kerb in kerbs.Take(8))
        {
            (KerbStrike Strike, Coordinates At)[] here = [.. strikes.Where(s => s.Strike.Kerb == kerb.Number)];
            if (here.Length > 0)
            {
                Coordinates at = here.MaxBy(s => s.Strike.PeakLoadN).At;
                string place = double.IsFinite(kerb.DistanceM) ? $"{Say.Number(kerb.DistanceM, 0)} m, " : "";
                callouts.Add(new(at.X, at.Y, $"{place}{(kerb.IsLeft ? "left" : "right")}: {Say.Number(kerb.WorstPeakLoadN * Say.KnPerN, 1)} kN", kerb.Exceedances > 0 ? Look.Ink : Look.Muted));
            }
        }

        plot.Add.Plottable(new Callouts(callouts) { KeepClear = [.. strikes.Select(s => s.At), .. line], Size = 19 });
    }
}
