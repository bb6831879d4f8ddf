using System.Globalization;
using Telemetry.Output.Report;

namespace Telemetry.Output.Days;

/// <summary>A trend as a small drawing in the page itself: it scales to a phone without losing its letters and follows the reader's light or dark ground.</summary>
internal static class TrendPicture
{
    private const double Width = 360, Height = 190, Left = 52, Right = 12, Top = 12, Bottom = 34;
    private const int MostTicks = 12;

    /// <summary>Series are set beside each other by this much of a run's room, so that their intervals do not cover each other.</summary>
    private const double Aside = 0.16;

    /// <summary>The figure: heading, drawing, key.</summary>
    /// <param name="trend">The trend; it has a point at least.</param>
    /// <param name="runs">How many runs the day has.</param>
    public static Html Of(DayTrend trend, int runs)
    {
        (double low, double high, double step) = Scale(trend);
        double X(double run) => Left + ((run - 0.5) / runs * (Width - Left - Right));
        double Y(double value) => Top + ((high - value) / (high - low) * (Height - Top - Bottom));
        int decimals = Math.Clamp((int)Math.Ceiling(-Math.Log10(step) - 1e-9), 0, 6);
        Html levels = Html.Join(Levels(low, high, step).Select(level => Html.Of(
            $"<path class=\"grid\" d=\"M{N(Left)} {N(Y(level))}H{N(Width - Right)}\"/><text class=\"tick\" x=\"{N(Left - 6)}\" y=\"{N(Y(level) + 4)}\" text-anchor=\"end\">{NumberText.Fixed(level, decimals)}</text>")));
        int every = Math.Max(1, (runs + MostTicks - 1) / MostTicks);
        Html numbers = Html.Join(Enumerable.Range(1, runs).Where(run => (run - 1) % every == 0).Select(run => Html.Of(
            $"<text class=\"tick\" x=\"{N(X(run))}\" y=\"{N(Height - Bottom + 16)}\" text-anchor=\"middle\">{run}</text>")));
        Html lines = Html.Join(trend.Series.Select((series, s) => Line(series, s, point => X(point.Run + (Aside * (s - ((trend.Series.Length - 1) / 2.0)))), Y)));
        string label = $"{trend.Title} ({trend.Unit}) by run. {string.Join(" ", trend.Series.Select(Said))}";
        return Html.Of($"""
            <figure><h3>{trend.Title} <span class="muted">({trend.Unit})</span></h3>
            <svg viewBox="0 0 {N(Width)} {N(Height)}" role="img" aria-label="{label}">{levels}{numbers}<text class="tick" x="{N((Left + Width - Right) / 2)}" y="{N(Height - 3)}" text-anchor="middle">run</text>{lines}</svg>
            {Key(trend)}</figure>
            """);
    }

    private static Html Line(DaySeries series, int s, Func<DayPoint, double> x, Func<double, double> y)
    {
        string path = "M" + string.Join("L", series.Points.Select(point => $"{N(x(point))} {N(y(point.Value))}"));
        Html bars = Html.Join(series.Points.Where(point => point is { Low95: not null, High95: not null }).Select(point => Html.Of(
            $"<path class=\"bar\" d=\"M{N(x(point))} {N(y(point.Low95!.Value))}V{N(y(point.High95!.Value))}\"/>")));
        Html marks = Html.Join(series.Points.Select(point => Mark(s, x(point), y(point.Value))));
        return Html.Of($"<g class=\"s{s}\"><path class=\"path\" d=\"{path}\"/>{bars}{marks}</g>");
    }

    /// <summary>Circle, square, triangle, diamond: told apart without colour.</summary>
    private static Html Mark(int s, double x, double y) => s switch
    {
        0 => Html.Of($"<circle class=\"mark\" cx=\"{N(x)}\" cy=\"{N(y)}\" r=\"4.5\"/>"),
        1 => Html.Of($"<path class=\"mark\" d=\"M{N(x - 4)} {N(y - 4)}h8v8h-8z\"/>"),
        2 => Html.Of($"<path class=\"mark\" d=\"M{N(x)} {N(y - 5.5)}l5 9h-10z\"/>"),
        _ => Html.Of($"<path class=\"mark\" d=\"M{N(x)} {N(y - 5.5)}l5.5 5.5l-5.5 5.5l-5.5 -5.5z\"/>"),
    };

    private static Html Key(DayTrend trend) => trend.Series.Length < 2
        ? Html.None
        : Html.Of($"<ul class=\"key\">{Html.Join(trend.Series.Select((series, s) => Html.Of($"<li class=\"s{s}\"><svg viewBox=\"0 0 14 14\" aria-hidden=\"true\">{Mark(s, 7, 7)}</svg>{series.Name}</li>")))}</ul>");

    private static string Said(DaySeries series)
    {
        DayPoint first = series.Points[0], last = series.Points[^1];
        string ends = first == last ? $"{Short(first)} in run {first.Run}" : $"{Short(first)} in run {first.Run}, {Short(last)} in run {last.Run}";
        return string.Create(CultureInfo.InvariantCulture, $"{series.Name}: {ends}.");
    }

    private static string Short(DayPoint point) => point.Value.ToString("G4", CultureInfo.InvariantCulture);

    /// <summary>Ends and step of the axis: 1, 2 or 5 times a power of ten, every interval inside; counts and shares of life begin at 0.</summary>
    private static (double Low, double High, double Step) Scale(DayTrend trend)
    {
        DayPoint[] points = [.. trend.Series.SelectMany(series => series.Points)];
        bool fromZero = trend.Name is "kerb_strikes" or "life_used" or "peak_load";
        double low = fromZero ? 0 : points.Min(point => point.Low95 ?? point.Value), high = points.Max(point => point.High95 ?? point.Value);
        double span = high - low > 0 ? high - low : Math.Max(Math.Abs(high), 1) * 0.1;
        double least = span / 4, decade = Math.Pow(10, Math.Floor(Math.Log10(least))), share = least / decade;
        double step = decade * (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
        step = trend.Name == "kerb_strikes" ? Math.Max(step, 1) : step;
        double bottom = Math.Floor((low / step) - (fromZero ? 0 : 0.15)) * step, top = Math.Ceiling((high / step) + 0.15) * step;
        return (bottom, top > bottom ? top : bottom + step, step);
    }

    private static IEnumerable<double> Levels(double low, double high, double step)
    {
        int count = (int)Math.Round((high - low) / step);
        for (int i = 0; i <= count; i++)
        {
            yield return low + (i * step);
        }
    }

    private static string N(double value) => value.ToString("0.#", CultureInfo.InvariantCulture);
}
