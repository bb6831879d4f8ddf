using ScottPlot;
using Telemetry.Output.Compared;

namespace Telemetry.Output.Plots;

/// <summary>The hardest strike on each kerb along the lap, every run beside the others.</summary>
internal static class ComparedKerbsPicture
{
    public const string Name = "compared_kerbs";

    public static Sketch Draw(ComparedSet set)
    {
        int shown = Math.Min(set.Runs.Length, ComparedCurvesPicture.MostRuns);
        SummaryKerb[][] kerbs = [.. set.Runs.Take(shown).Select(run => run.Summary.Kerbs.Kerbs.Where(kerb => kerb is { DistanceM: not null, WorstPeakLoadN: not null }).ToArray())];
        if (kerbs.All(run => run.Length == 0))
        {
            return Sketch.Without(Name, "No run has a kerb strike with a place on the lap.");
        }

        string title = Title(set, kerbs);
        Figure figure = new(Name, title, "largest pushrod load of all strikes on a kerb; along the lap, runs side by side",
            $"Stems of the largest pushrod load in kN on each kerb against distance along the lap in m, a sign for each of {Say.Count(shown, "run")}. {title}.");
        Plot plot = figure.AddPanel(Share.All, "Distance along the lap (m)", "Largest pushrod load (kN)").Plot;
        double last = kerbs.SelectMany(run => run).Max(kerb => kerb.DistanceM!.Value), apart = Math.Max(last, 100) * 0.008;
        List<Coordinates> past = [], bounds = [];
        for (int r = 0; r < shown; r++)
        {
            List<Coordinates> points = [];
            foreach (SummaryKerb kerb in kerbs[r])
            {
                Coordinates top = new(kerb.DistanceM!.Value + (apart * (r - ((shown - 1) / 2.0))), kerb.WorstPeakLoadN!.Value * Say.KnPerN);
                Traces.Straight(plot, new(top.X, 0), top, Look.Signs[r].Color, Look.Signs[r].Dash, 3);
                points.Add(top);
                (kerb.Exceedances > 0 ? past : []).Add(top);
                (kerb.WorstPeakIsLowerBound ? bounds : []).Add(top);
            }

            Traces.Points(plot, points, Look.Signs[r], 14, 255);
            figure.Explain(LegendEntry.Points(Say.Name(set.Runs[r].Label, 34), Look.Signs[r]) with { LineWidth = 3, Dash = Look.Signs[r].Dash });
        }

        Mark(figure, plot, past, "past a part's limit", new(Look.Vermillion, LinePattern.Solid, MarkerShape.OpenCircle));
        Mark(figure, plot, bounds, "lower bound: the real peak is larger", new(Look.Ink, LinePattern.Solid, MarkerShape.OpenTriangleUp));
        plot.Axes.SetLimits(-0.03 * last, last * 1.05, 0, kerbs.SelectMany(run => run).Max(kerb => kerb.WorstPeakLoadN!.Value) * Say.KnPerN * 1.12);
        figure.Footnote = "No interval: which kerbs are taken, and how hard, is the driver's choice and differs from lap to lap. The table has strikes and laps of each kerb.";
        return Sketch.Of(figure);
    }

    private static void Mark(Figure figure, Plot plot, List<Coordinates> points, string meaning, Sign sign)
    {
        if (points.Count > 0)
        {
            Traces.Points(plot, points, sign, 30, 255, 3.5f);
            figure.Explain(LegendEntry.Points(meaning, sign));
        }
    }

    private static string Title(ComparedSet set, SummaryKerb[][] kerbs)
    {
        (SummaryKerb Kerb, int Run) hardest = kerbs.SelectMany((run, r) => run.Select(kerb => (kerb, r))).MaxBy(pair => pair.kerb.WorstPeakLoadN!.Value);
        string counts = string.Join(", ", set.Runs.Take(kerbs.Length).Select(run => $"{(run.Summary.Kerbs.Strikes is int strikes ? $"{strikes} ({run.Summary.Kerbs.Exceedances ?? 0} past a limit)" : "withheld")} in run {run.Run.Order}"));
        return $"Hardest strike {(hardest.Kerb.WorstPeakIsLowerBound ? "at least " : "")}{Say.Number(hardest.Kerb.WorstPeakLoadN!.Value * Say.KnPerN, 1)} kN at {Say.Number(hardest.Kerb.DistanceM!.Value, 0)} m in run {set.Runs[hardest.Run].Run.Order}; strikes: {counts}";
    }
}
