using ScottPlot;
using ScottPlot.TickGenerators;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Channels over time, with what was found in them as spans.</summary>
internal static class HealthPicture
{
    public const string Name = "health_strip";
    private const int MostRows = 24;
    private const int MostSpans = 600;

    private static readonly (HealthVerdict Verdict, string Text, Color Color, bool IsHatched)[] Severities =
    [
        (HealthVerdict.Good, "noted, no answer touched", Look.Sky, false),
        (HealthVerdict.Doubtful, "doubtful", Look.Orange, true),
        (HealthVerdict.Unusable, "unusable", Look.Vermillion, false),
    ];

    public static Sketch Draw(RunReview review)
    {
        double start = review.Run.Clock.StartS, end = review.Run.Clock.LastS;
        if (!(end > start))
        {
            return Sketch.Without(Name, "The run has no length.");
        }

        HealthFinding[] findings = [.. review.Health.Findings];
        List<string> rows = Rows(review, findings, out int hidden);
        string title = Title(review.Health, rows.Count + hidden);
        Figure figure = new(Name, title, Look.Subtitle(review, "what was found in each channel; a finding without a time spans the run"),
            $"A row for each channel over time in s, with {Say.Count(findings.Length, "finding")} as spans by severity. {title}.");
        FigurePanel panel = figure.AddPanel(Share.All, "Time (s)", "");
        panel.Room = new(320, 30, 78, 10);
        Dictionary<string, int> rowOf = [];
        NumericManual ticks = new();
        for (int i = 0; i < rows.Count; i++)
        {
            rowOf[rows[i]] = rows.Count - 1 - i;
            ticks.AddMajor(rows.Count - 1 - i, Say.Name(rows[i], 26));
        }

        Color quiet = Color.FromHex("#EEF2F5");
        panel.Plot.Add.Plottable(new Blocks([.. rows.Select(r => new Block(start, end, rowOf[r] - 0.36, rowOf[r] + 0.36, quiet))]));
        AddSpans(figure, panel.Plot, findings, rowOf, review.Run.Clock, start, end);
        panel.Plot.Axes.Left.TickGenerator = ticks;
        panel.Plot.Axes.Left.TickLabelStyle.FontSize = rows.Count > 16 ? 17 : Look.TickSize;
        panel.Plot.Grid.YAxisStyle.IsVisible = false;
        panel.Plot.Axes.SetLimits(start, end, -0.6, rows.Count - 0.4);
        figure.Explain(LegendEntry.Area("nothing found", quiet));
        figure.Footnote = "A span shorter than the eye can see is drawn wider than it is." + (hidden > 0 ? $" {Say.Count(hidden, "channel")} without a finding not shown." : "");
        return Sketch.Of(figure);
    }

    /// <summary>Channels with findings first (the worst on top), then those without, as many as there is room for.</summary>
    private static List<string> Rows(RunReview review, HealthFinding[] findings, out int hidden)
    {
        List<string> rows = [.. findings.GroupBy(f => f.Channel).OrderByDescending(g => g.Max(f => f.Severity)).ThenBy(g => Array.FindIndex(findings, f => f.Channel == g.Key)).Select(g => g.Key)];
        string[] clean = [.. review.Run.Channels.Select(c => c.SourceName).Distinct().Where(c => !rows.Contains(c))];
        int room = Math.Max(0, MostRows - rows.Count);
        hidden = Math.Max(0, clean.Length - room);
        rows.AddRange(clean.Take(room));
        if (rows.Count > MostRows)
        {
            hidden += rows.Count - MostRows;
            rows.RemoveRange(MostRows, rows.Count - MostRows);
        }

        return rows;
    }

    private static string Title(RunHealth health, int channels)
    {
        string verdict = health.Verdict switch
        {
            HealthVerdict.Good => "The log can be trusted",
            HealthVerdict.Doubtful => "The log is doubtful",
            _ => "The log is not usable for absolute loads",
        };
        HealthFinding[] grave = [.. health.Findings.Where(f => f.Severity > HealthVerdict.Good)];
        return grave.Length == 0
            ? $"{verdict}: nothing found in {Say.Count(channels, "channel")} that changes an answer"
            : $"{verdict}: {Say.Count(grave.Length, "finding")} in {Say.Count(grave.Select(f => f.Channel).Distinct().Count(), "channel")}; first, {Say.Name(grave[0].Channel, 30)}: {Say.Name(grave[0].Message, 70).TrimEnd('.')}";
    }

    /// <summary>Where a finding lies, s: its own samples where it names them, else from its start to its end; a finding without a time is everywhere.</summary>
    public static IEnumerable<(double From, double To)> Places(HealthFinding finding, TimeBase clock)
    {
        if (!finding.Spans.IsEmpty)
        {
            return finding.Spans.Select(span => (clock.At(span.First), clock.At(span.End - 1)));
        }

        return double.IsFinite(finding.StartS) && double.IsFinite(finding.EndS)
            ? [(finding.StartS, finding.EndS)]
            : [(double.NegativeInfinity, double.PositiveInfinity)];
    }

    private static void AddSpans(Figure figure, Plot plot, HealthFinding[] findings, Dictionary<string, int> rowOf, TimeBase clock, double start, double end)
    {
        List<Callout> labels = [];
        foreach ((HealthVerdict verdict, string text, Color color, bool isHatched) in Severities)
        {
            List<Block> spans = [];
            int shown = 0;
            foreach (HealthFinding finding in findings.Where(f => f.Severity == verdict && rowOf.ContainsKey(f.Channel)))
            {
                int row = rowOf[finding.Channel];
                (double From, double To)[] places = [.. Places(finding, clock).Where(place => place.To >= start && place.From <= end).Take(MostSpans - spans.Count)];
                if (places.Length > 0)
                {
                    shown++;
                    spans.AddRange(places.Select(place => new Block(Math.Max(start, place.From), Math.Min(end, place.To), row - 0.36, row + 0.36, color, isHatched)));
                    bool isWhole = double.IsInfinity(places[0].To);
                    labels.Insert(0, new(isWhole ? (start + end) / 2 : Math.Min(end, places[^1].To), row, Say.Name(finding.Kind.Replace('_', ' '), 24), Look.Ink));
                }
            }

            if (spans.Count > 0)
            {
                plot.Add.Plottable(new Blocks(spans) { LeastWidthPx = 7 });
                figure.Explain(LegendEntry.Area($"{text} ({shown})", color, isHatched));
            }
        }

        plot.Add.Plottable(new Callouts([.. labels.Take(60)]) { IsInRow = true });
    }
}
