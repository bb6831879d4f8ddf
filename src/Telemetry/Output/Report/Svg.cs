using System.Globalization;

namespace Telemetry.Output.Report;

/// <summary>A plane of numbers on a drawing, with its frame, ticks and names.</summary>
/// <param name="Left">Smallest x.</param>
/// <param name="Right">Largest x.</param>
/// <param name="Bottom">Smallest y.</param>
/// <param name="Top">Largest y.</param>
/// <param name="X">Left edge on the drawing.</param>
/// <param name="Y">Upper edge.</param>
/// <param name="Width">Width on the drawing.</param>
/// <param name="Height">Height.</param>
internal sealed record SvgPlane(double Left, double Right, double Bottom, double Top, double X, double Y, double Width, double Height)
{
    private const int Ticks = 6;

    public double AtX(double x) => X + ((x - Left) / (Right - Left) * Width);

    public double AtY(double y) => Y + Height - ((y - Bottom) / (Top - Bottom) * Height);

    /// <summary>A rectangle between two corners of the plane, with what it says.</summary>
    public Html Box(double left, double right, double bottom, double top, Html attributes, string says) => Html.Of(
        $"<rect x=\"{Svg.N(AtX(left))}\" y=\"{Svg.N(AtY(top))}\" width=\"{Svg.N(Math.Max(0.5, AtX(right) - AtX(left)))}\" height=\"{Svg.N(Math.Max(0.5, AtY(bottom) - AtY(top)))}\" {attributes}><title>{says}</title></rect>");

    /// <summary>Grid, frame, ticks and names of both axes.</summary>
    /// <param name="xName">What is across, with its unit.</param>
    /// <param name="yName">What is upward, with its unit.</param>
    /// <param name="ground">"ground" for the page's, "paper" for white in the dark too, where the cells' colours need it.</param>
    public Html Frame(string xName, string yName, string ground = "ground") => Html.Of($"""
        <rect class="{ground}" x="{Svg.N(X)}" y="{Svg.N(Y)}" width="{Svg.N(Width)}" height="{Svg.N(Height)}"/>
        {Html.Join(Steps(Left, Right).Select(x => Html.Of($"<line class=\"grid\" x1=\"{Svg.N(AtX(x))}\" x2=\"{Svg.N(AtX(x))}\" y1=\"{Svg.N(Y)}\" y2=\"{Svg.N(Y + Height)}\"/><text x=\"{Svg.N(AtX(x))}\" y=\"{Svg.N(Y + Height + 17)}\" text-anchor=\"middle\">{Plots.Say.Tick(x)}</text>")))}
        {Html.Join(Steps(Bottom, Top).Select(y => Html.Of($"<line class=\"grid\" x1=\"{Svg.N(X)}\" x2=\"{Svg.N(X + Width)}\" y1=\"{Svg.N(AtY(y))}\" y2=\"{Svg.N(AtY(y))}\"/><text x=\"{Svg.N(X - 6)}\" y=\"{Svg.N(AtY(y) + 4)}\" text-anchor=\"end\">{Plots.Say.Tick(y)}</text>")))}
        <rect class="frame" x="{Svg.N(X)}" y="{Svg.N(Y)}" width="{Svg.N(Width)}" height="{Svg.N(Height)}"/>
        <text x="{Svg.N(X + (Width / 2))}" y="{Svg.N(Y + Height + 36)}" text-anchor="middle">{xName}</text>
        <text x="{Svg.N(X)}" y="{Svg.N(Y - 8)}">{yName}</text>
        """);

    private static IEnumerable<double> Steps(double from, double to)
    {
        double least = (to - from) / Ticks, power = Math.Pow(10, Math.Floor(Math.Log10(least))), lead = least / power;
        double step = power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
        if (!double.IsFinite(step) || step <= 0)
        {
            yield break;
        }

        for (double k = Math.Ceiling((from / step) - 1e-9); k * step <= to + (1e-9 * step); k++)
        {
            yield return k * step;
        }
    }
}

/// <summary>Pieces of a drawing.</summary>
internal static class Svg
{
    /// <summary>A place on a drawing: hundredths are finer than any screen.</summary>
    public static string N(double value) => Math.Round(value, 2).ToString(CultureInfo.InvariantCulture);

    /// <summary>A drawing whose picture, for who cannot see it, is its label.</summary>
    /// <param name="width">Width of the plane of the drawing.</param>
    /// <param name="height">Its height.</param>
    /// <param name="label">What it shows.</param>
    /// <param name="inside">What is drawn.</param>
    /// <param name="isCompact">True for a drawing that a phone shows whole; a wide page then shows it at its left.</param>
    public static Html Of(int width, int height, string label, Html inside, bool isCompact = false) => Html.Of(
        $"<svg{(isCompact ? Html.Constant(" class=\"compact\" preserveAspectRatio=\"xMinYMid meet\"") : Html.None)} viewBox=\"0 0 {width} {height}\" role=\"img\" aria-label=\"{label}\">{inside}</svg>");
}
