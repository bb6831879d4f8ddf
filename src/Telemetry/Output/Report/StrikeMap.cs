using System.Text;
using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Output.Plots;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Report;

/// <summary>Strikes on the driven line, where the position was logged.</summary>
internal static class StrikeMap
{
    private const int LinePoints = 1200;

    /// <summary>Room beside the circuit, as a share of it.</summary>
    private const double Room = 1.12;

    /// <summary>Largest width and height of the circuit on the drawing.</summary>
    private const double MostWide = 680, MostHigh = 380;

    /// <summary>Least of both.</summary>
    private const double LeastWide = 240, LeastHigh = 200;

    /// <summary>Room at either side for the peaks, so that they need not stand on the line.</summary>
    private const double Beside = 70;

    /// <summary>A drawing up to this width is read on a phone as it is; a wider one is scrolled.</summary>
    private const double Compact = 520;

    /// <summary>As many kerbs have their peak written as on the still picture.</summary>
    private const int MostKerbs = 8;

    /// <summary>Lines of names stand this far apart; a letter of a name takes up to so much.</summary>
    private const double LineHeight = 17, LetterWidth = 7.4;

    /// <summary>Room between a mark and its name.</summary>
    private const double BesideMark = 14;

    /// <summary>As many lines a name may move up or down to be out of the way.</summary>
    private const int MostSteps = 4;

    /// <summary>Right of a mark, and left of it.</summary>
    private static readonly bool[] Sides = [true, false];

    /// <summary>True when the driven line can be drawn.</summary>
    public static bool CanDraw(RunReview review) => review.Run.Has(ChannelRole.PositionEast) && review.Run.Has(ChannelRole.PositionNorth) && !ModePanels.Comparable(review.Run).IsEmpty;

    /// <summary>The map; null where the position is not known.</summary>
    public static Html? Of(RunReview review, KerbStrike[] strikes, PushrodLimit[] inspections)
    {
        if (!CanDraw(review))
        {
            return null;
        }

        Run run = review.Run;
        SampleSource east = run.OnClock(ChannelRole.PositionEast), north = run.OnClock(ChannelRole.PositionNorth);
        List<(double X, double Y)> line = Line(ModePanels.Comparable(run).MinBy(l => l.DurationS)!, east, north);
        List<(KerbStrike Strike, double X, double Y)> places = [];
        foreach (KerbStrike strike in strikes)
        {
            if (strike.PeakIndex >= 0 && strike.PeakIndex < east.Length && double.IsFinite(east[strike.PeakIndex] + north[strike.PeakIndex]))
            {
                places.Add((strike, east[strike.PeakIndex], north[strike.PeakIndex]));
            }
        }

        (double X, double Y)[] all = [.. line.Where(p => double.IsFinite(p.X + p.Y)), .. places.Select(p => (p.X, p.Y))];
        if (all.Length == 0)
        {
            return null;
        }

        SvgPlane plane = PlaneOf(all);
        Html svg = Html.Of($"{plane.Frame("East (m)", "North (m)")}<path class=\"track\" d=\"{PathOf(plane, line)}\"/>{StrikeDrawing.Marks(plane, places, inspections)}{Kerbs(plane, review, places, line)}");
        return Svg.Of((int)(plane.X + plane.Width + 24), (int)(plane.Y + plane.Height + 46), "Kerb strikes on the driven line. The table has their numbers.", svg, plane.Width <= Compact);
    }

    private static List<(double X, double Y)> Line(Lap lap, SampleSource east, SampleSource north)
    {
        int count = Math.Min(LinePoints, lap.EndIndex - lap.StartIndex);
        List<(double X, double Y)> line = [];
        for (int i = 0; i < count; i++)
        {
            int at = lap.StartIndex + (int)((long)i * (lap.EndIndex - lap.StartIndex) / count);
            line.Add((east[at], north[at]));
        }

        return line;
    }

    /// <summary>A plane as wide and as high as the circuit needs, with one scale for both directions, or the circuit would be bent.</summary>
    private static SvgPlane PlaneOf((double X, double Y)[] all)
    {
        (double left, double right, double low, double high) = (all.Min(p => p.X), all.Max(p => p.X), all.Min(p => p.Y), all.Max(p => p.Y));
        // A standing car has no extent.
        double wide = Math.Max(right - left, 1) * Room, tall = Math.Max(high - low, 1) * Room;
        double scale = Math.Max(wide / MostWide, tall / MostHigh);
        double width = Math.Max(LeastWide, wide / scale) + (2 * Beside), height = Math.Max(LeastHigh, tall / scale);
        (double midX, double midY) = ((left + right) / 2, (low + high) / 2);
        return new(midX - (width * scale / 2), midX + (width * scale / 2), midY - (height * scale / 2), midY + (height * scale / 2), 56, 24, width, height);
    }

    private static string PathOf(SvgPlane plane, List<(double X, double Y)> line)
    {
        StringBuilder path = new();
        bool isDown = false;
        foreach ((double x, double y) in line)
        {
            if (double.IsFinite(x + y))
            {
                path.Append(isDown ? 'L' : 'M').Append(Svg.N(plane.AtX(x))).Append(' ').Append(Svg.N(plane.AtY(y)));
            }

            isDown = double.IsFinite(x + y);
        }

        return path.ToString();
    }

    /// <summary>The highest peak of the hardest kerbs beside their marks: none over another, and where there is room not over the line.</summary>
    private static Html Kerbs(SvgPlane plane, RunReview review, List<(KerbStrike Strike, double X, double Y)> places, List<(double X, double Y)> line)
    {
        (double X, double Y)[] drawn = [.. line.Where(p => double.IsFinite(p.X + p.Y)).Concat(places.Select(p => (p.X, p.Y))).Select(p => (plane.AtX(p.X), plane.AtY(p.Y)))];
        List<NameBox> taken = [];
        List<Html> names = [];
        foreach (Kerb kerb in review.Kerbs.Kerbs.Take(MostKerbs))
        {
            (KerbStrike Strike, double X, double Y)[] here = [.. places.Where(p => p.Strike.Kerb == kerb.Number)];
            if (here.Length == 0)
            {
                continue;
            }

            (_, double atX, double atY) = here.MaxBy(p => p.Strike.PeakLoadN);
            (double x, double y) = (plane.AtX(atX), plane.AtY(atY));
            string text = $"{Say.Number(kerb.WorstPeakLoadN * Say.KnPerN, 1)} kN";
            if (Best(plane, x, y, text.Length * LetterWidth, taken, drawn) is not { } box)
            {
                continue;
            }

            taken.Add(box);
            Html leader = Math.Abs(box.Y - y) > 1.5 * LineHeight ? Html.Of($"<line class=\"leader\" x1=\"{Svg.N(x)}\" y1=\"{Svg.N(y)}\" x2=\"{Svg.N(box.Left > x ? box.Left - 2 : box.Right + 2)}\" y2=\"{Svg.N(box.Y - 4)}\"/>") : Html.None;
            names.Add(Html.Of($"{leader}<text class=\"named\" x=\"{Svg.N(box.Left > x ? box.Left : box.Right)}\" y=\"{Svg.N(box.Y)}\" text-anchor=\"{(box.Left > x ? "start" : "end")}\">{text}</text>"));
        }

        return Html.Join(names);
    }

    /// <summary>The place for a name that covers least of what is drawn and is near to its mark; null when every place is taken.</summary>
    private static NameBox? Best(SvgPlane plane, double x, double y, double width, List<NameBox> taken, (double X, double Y)[] drawn)
    {
        IEnumerable<NameBox> all =
            from step in Enumerable.Range(-MostSteps, (2 * MostSteps) + 1)
            from isRight in Sides
            let left = isRight ? x + BesideMark : x - BesideMark - width
            select new NameBox(left, left + width, y + 4 + (step * LineHeight), Math.Abs(step));
        return all
            .Where(box => box.Left > plane.X && box.Right < plane.X + plane.Width && box.Y > plane.Y + LineHeight && box.Y < plane.Y + plane.Height - 4)
            .Where(box => !taken.Exists(other => other.Left < box.Right && box.Left < other.Right && Math.Abs(other.Y - box.Y) < LineHeight - 0.5))
            .OrderBy(box => (4 * box.Steps) + drawn.Count(p => p.X > box.Left - 3 && p.X < box.Right + 3 && p.Y > box.Y - LineHeight && p.Y < box.Y + 5))
            .FirstOrDefault();
    }

    /// <summary>Where a name may stand: its edges, the foot of its letters, and how many lines that is from its mark.</summary>
    private sealed record NameBox(double Left, double Right, double Y, int Steps);
}
