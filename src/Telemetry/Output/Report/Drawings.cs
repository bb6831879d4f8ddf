using Telemetry.Aero;
using Telemetry.Fatigue;
using Telemetry.Output.Plots;
using Telemetry.Review;

namespace Telemetry.Output.Report;

/// <summary>Figures of the page that are drawn here: each tells what the still picture of the same name tells, cell by cell, with its numbers as tips.</summary>
internal static class Drawings
{
    private const int Width = 900;

    /// <summary>Cells across a drawn map: each is a rectangle with its numbers, so fewer than in the still picture.</summary>
    private const int MapCells = 36;

    /// <summary>Where the map of both ride heights has an answer, cell by cell; empty when it is withheld. Each cell has four intervals, so that this is work to do before the page is made.</summary>
    public static HeightCells CellsOf(RideHeightMap map)
    {
        if (map.WithheldBecause is not null || map.Region.IsEmpty)
        {
            return new(0, 0, []);
        }

        double lowF = map.Region.Min(h => h.FrontM), highF = map.Region.Max(h => h.FrontM), lowR = map.Region.Min(h => h.RearM), highR = map.Region.Max(h => h.RearM);
        double stepF = (highF - lowF) / MapCells, stepR = (highR - lowR) / MapCells;
        List<(HeightPair At, MapAnswer Answer)> cells = [];
        for (int i = -2; i <= MapCells + 2; i++)
        {
            for (int j = -2; j <= MapCells + 2; j++)
            {
                HeightPair at = new(lowF + (stepF * i), lowR + (stepR * j));
                if (map.At(at.FrontM, at.RearM) is { } answer)
                {
                    cells.Add((at, answer));
                }
            }
        }

        return new(stepF, stepR, cells);
    }

    /// <summary>Three maps over both ride heights; nothing when the map is withheld.</summary>
    public static Html HeightMap(RideHeightMap map, ReportFigures figures)
    {
        if (map.WithheldBecause is not null || map.Region.IsEmpty)
        {
            return Html.None;
        }

        (double stepF, double stepR, IReadOnlyList<(HeightPair At, MapAnswer Answer)> cells) = figures.HeightCells.Value;
        (string Name, Func<MapAnswer, Estimate> Of)[] panels = [("front lift area (m2)", a => a.FrontLiftAreaM2), ("rear lift area (m2)", a => a.RearLiftAreaM2), ("balance, front share (%)", a => a.BalanceFrontPct)];
        Html all = Html.Join(panels.Select((panel, i) => MapPanel(map, cells, stepF, stepR, panel.Name, panel.Of, i)));
        return LiveFigure.Drawing("height-map-figure", RideHeightMapPicture.Name, "Lift areas and balance over both ride heights",
            "Light is low, dark is high; nothing is drawn where the passes do not support an answer. Point at a cell for its numbers.", figures,
            Svg.Of(Width, 350, "Three maps over front and rear ride height: front lift area, rear lift area, balance. The table has the numbers.", all));
    }

    private static Html MapPanel(RideHeightMap map, IReadOnlyList<(HeightPair At, MapAnswer Answer)> cells, double stepF, double stepR, string name, Func<MapAnswer, Estimate> of, int column)
    {
        double left = (map.Region.Min(h => h.FrontM) * 1000) - 2, right = (map.Region.Max(h => h.FrontM) * 1000) + 2;
        double bottom = (map.Region.Min(h => h.RearM) * 1000) - 2, top = (map.Region.Max(h => h.RearM) * 1000) + 2;
        SvgPlane plane = new(left, right, bottom, top, 62 + (column * 292), 34, 226, 236);
        double low = cells.Count > 0 ? cells.Min(c => of(c.Answer).Value) : 0, high = cells.Count > 0 ? cells.Max(c => of(c.Answer).Value) : 1;
        Html tones = Html.Join(cells.Select(cell =>
        {
            int tone = Math.Min(RideHeightMapPicture.Steps - 1, (int)((of(cell.Answer).Value - low) / Math.Max(high - low, 1e-12) * RideHeightMapPicture.Steps));
            return plane.Box((cell.At.FrontM - (stepF / 2)) * 1000, (cell.At.FrontM + (stepF / 2)) * 1000, (cell.At.RearM - (stepR / 2)) * 1000, (cell.At.RearM + (stepR / 2)) * 1000,
                Fill(RideHeightMapPicture.Tone(tone / (RideHeightMapPicture.Steps - 1.0))),
                $"front {Say.Number(cell.At.FrontM * 1000, 1)} mm, rear {Say.Number(cell.At.RearM * 1000, 1)} mm: {name} {NumberText.Interval(of(cell.Answer))}");
        }));
        Html points = Html.Join(map.Points.Select(p => Html.Of($"<circle r=\"1.3\" fill=\"#5b6875\" cx=\"{Svg.N(plane.AtX(p.Height.FrontM * 1000))}\" cy=\"{Svg.N(plane.AtY(p.Height.RearM * 1000))}\"/>")));
        Html reference = map.Reference is { } at
            ? Html.Of($"<rect class=\"frame\" stroke-width=\"2.5\" x=\"{Svg.N(plane.AtX(at.FrontM * 1000) - 7)}\" y=\"{Svg.N(plane.AtY(at.RearM * 1000) - 7)}\" width=\"14\" height=\"14\"><title>steady at the reference speed</title></rect>")
            : Html.None;
        return Html.Of($"{plane.Frame("Front ride height (mm)", name)}{tones}{points}{reference}<text x=\"{Svg.N(plane.X)}\" y=\"{Svg.N(plane.Y + plane.Height + 58)}\">light {Say.Number(low, 3)}, dark {Say.Number(high, 3)}</text>{(column == 0 ? Html.Of($"<text transform=\"translate(16 {Svg.N(plane.Y + (plane.Height / 2))}) rotate(-90)\" text-anchor=\"middle\">Rear ride height (mm)</text>") : Html.None)}");
    }

    /// <summary>Cycles by range and mean of the part that the run cost the most.</summary>
    public static Html RangeMean(FatigueResult fatigue, ReportFigures figures)
    {
        if (RangeMeanPicture.MostDamaged(fatigue) is not { } part)
        {
            return Html.None;
        }

        var matrix = RangeMeanPicture.Matrix(part.Cycles);
        double most = Math.Max(1, matrix.Counts.Max()), least = matrix.Counts.Where(c => c > 0).DefaultIfEmpty(0.5).Min();
        (double from, double to) = (Math.Log10(least), Math.Max(Math.Log10(most), Math.Log10(least) + 0.5));
        SvgPlane plane = new(matrix.LowestMean - matrix.MeanStep, matrix.LowestMean + ((matrix.Columns + 1) * matrix.MeanStep), 0, (matrix.Rows + 1) * matrix.RangeStep, 56, 34, 820, 380);
        List<Html> cells = [];
        for (int i = 0; i < matrix.Counts.Length; i++)
        {
            if (matrix.Counts[i] > 0)
            {
                double x = matrix.LowestMean + (i % matrix.Columns * matrix.MeanStep), y = i / matrix.Columns * matrix.RangeStep;
                cells.Add(plane.Box(x, x + matrix.MeanStep, y, y + matrix.RangeStep, Fill(RangeMeanPicture.Shade((Math.Log10(matrix.Counts[i]) - from) / (to - from))),
                    $"range {Say.Tick(y)} to {Say.Tick(y + matrix.RangeStep)} kN, mean {Say.Tick(x)} to {Say.Tick(x + matrix.MeanStep)} kN: {Say.Number(matrix.Counts[i], 1)} cycles"));
            }
        }

        return LiveFigure.Drawing("range-mean-figure", RangeMeanPicture.Name, $"Load cycles of {part.Component.Id} by range and mean",
            $"{part.Component.Id}: dark is {Say.Tick(least)}, pale is {Say.Number(most, 0)} cycles in a cell, on a logarithmic scale; point at a cell for its count.", figures,
            Svg.Of(Width, 460, $"Load cycles of {part.Component.Id} by range and mean. The table has the numbers.", Html.Of($"{plane.Frame("Mean load (kN, compression positive)", "Range (kN)", "paper")}{Html.Join(cells)}")));
    }

    /// <summary>Health findings as spans over the run, a row a channel.</summary>
    public static Html Health(RunReview review, ReportFigures figures)
    {
        (double start, double end) = (review.Run.Clock.StartS, review.Run.Clock.LastS);
        string[] rows = [.. review.Health.Findings.Select(f => f.Channel).Distinct().Take(24)];
        if (!(end > start) || rows.Length == 0)
        {
            return Html.None;
        }

        SvgPlane plane = new(start, end, 0, rows.Length, 250, 12, 630, 24 * rows.Length);
        Html bars = Html.Join(rows.Select((row, i) => Html.Of($"""
            <text x="242" y="{Svg.N(plane.AtY(rows.Length - i - 0.5) + 4)}" text-anchor="end">{Say.Name(row, 30)}</text>
            {plane.Box(start, end, rows.Length - i - 0.9, rows.Length - i - 0.1, Html.Constant("class=\"row\""), "nothing found")}
            {Html.Join(review.Health.Findings.Where(f => f.Channel == row).OrderBy(f => f.Severity).SelectMany(f => HealthPicture.Places(f, review.Run.Clock).Take(200).Select(place => plane.Box(
                Math.Max(start, place.From), Math.Max(Math.Max(start, place.From) + ((end - start) / 300), Math.Min(end, place.To)), rows.Length - i - 0.9, rows.Length - i - 0.1, Severity(f.Severity),
                $"{f.Kind.Replace('_', ' ')}, {Word(f.Severity)}: {f.Message}"))))}
            """)));
        SvgPlane axis = plane with { Bottom = double.NaN };
        return LiveFigure.Drawing("health-figure", HealthPicture.Name, "What was found in each channel, over the run",
            "Each span is a finding: point at it for its words; a finding without a time spans the run, a short one is drawn wider than it is.", figures,
            Svg.Of(Width, (24 * rows.Length) + 56, "Findings of the log by channel and time. The table has them in words.", Html.Of($"{axis.Frame("Time (s)", "")}{bars}")));
    }

    private static Html Severity(Telemetry.Health.HealthVerdict verdict) => verdict switch
    {
        Telemetry.Health.HealthVerdict.Good => Html.Constant("class=\"noted\""),
        Telemetry.Health.HealthVerdict.Doubtful => Html.Constant("class=\"doubtful\""),
        _ => Html.Constant("class=\"unusable\""),
    };

    private static string Word(Telemetry.Health.HealthVerdict verdict) => verdict switch
    {
        Telemetry.Health.HealthVerdict.Good => "noted",
        Telemetry.Health.HealthVerdict.Doubtful => "doubtful",
        _ => "unusable",
    };

    /// <summary>A fill as an attribute.</summary>
    internal static Html Fill(ScottPlot.Color colour) => Html.Of($"fill=\"{colour.ToHex()}\"");
}

/// <summary>The map of both ride heights in even cells.</summary>
/// <param name="StepFrontM">Width of a cell, m of front ride height.</param>
/// <param name="StepRearM">Height of a cell, m of rear ride height.</param>
/// <param name="Cells">Middles of the cells that have an answer, with it.</param>
internal sealed record HeightCells(double StepFrontM, double StepRearM, IReadOnlyList<(HeightPair At, MapAnswer Answer)> Cells);
