using Telemetry.Fatigue;
using Telemetry.Kerbs;
using Telemetry.Output.Plots;
using Telemetry.Review;

namespace Telemetry.Output.Report;

/// <summary>Strikes on the lap, and where damage arose: marks that lead to the raw history behind them.</summary>
internal static class StrikeDrawing
{
    private const int Width = 900;

    /// <summary>As many levels as the still picture names.</summary>
    private const int MostLevels = 4;

    private const string Signs = "Round: within limits; diamond: past an inspection threshold; triangle: past a limit; square: not judged. A larger mark is a higher peak. Press a mark for its raw history.";

    /// <summary>Strikes along the lap by their peak, and on the driven line where the position was logged.</summary>
    public static Html Strikes(RunReview review, ReportFigures figures)
    {
        KerbStrike[] strikes = [.. review.Kerbs.Strikes.Where(s => double.IsFinite(s.PeakLoadN))];
        if (strikes.Length == 0)
        {
            return Html.None;
        }

        PushrodLimit[] limits = [.. PushrodLimits.Of(review.Run.Car)];
        PushrodLimit[] inspections = [.. limits.Where(l => l.IsInspection)];
        return Html.Of($"""
            {LiveFigure.Drawing("strikes-figure", KerbStrikePicture.Name, "Kerb strikes along the lap", Signs + " Lines: limits, and dashed the thresholds of inspection.", figures, Along(review, strikes, limits, inspections))}
            {(StrikeMap.Of(review, strikes, inspections) is { } map ? LiveFigure.Drawing("strike-map-figure", KerbMapPicture.Name, "Kerb strikes on the driven line", Signs + " Beside a kerb stands its highest peak.", figures, map) : Html.None)}
            <p class="live tools" hidden><label for="strike-list">Strike</label> <select id="strike-list"></select> <button type="button" id="strike-show">Show its raw history</button></p>
            """);
    }

    /// <summary>Damage of the part that the run cost the most by place on the lap; nothing without damage or distance.</summary>
    public static Html DamageByPlace(RunReview review, ReportFigures figures)
    {
        if (review.Fatigue.Components.Where(c => c.DamageRun > 0 && !c.DamageByCycle.IsDefaultOrEmpty).MaxBy(c => c.DamageRun!.Value / (c.Component.Fatigue?.CriticalDamage ?? 1)) is not { } part)
        {
            return Html.None;
        }

        KeyDamage[] byPlace = [.. (review.DamageSources.FirstOrDefault(source => source.ComponentId == part.Component.Id)?.ByPlace?.ByKey ?? []).OrderBy(k => k.Key)];
        if (byPlace.Length == 0)
        {
            return Html.None;
        }

        double highest = byPlace.Max(k => k.Damage), run = part.DamageRun!.Value;
        SvgPlane plane = new(0, (byPlace[^1].Key + 1) * DamageSource.PieceM, 0, Math.Max(100 * highest / run * 1.1, 1e-9), 56, 34, 820, 200);
        Html bars = Html.Join(byPlace.Select(k =>
        {
            (double from, double to) = (k.Key * DamageSource.PieceM, (k.Key + 1) * DamageSource.PieceM);
            return plane.Box(from, to, 0, 100 * k.Damage / run, Html.Of($"class=\"{(k.Damage == highest ? "bar most" : "bar")}\" data-place-from=\"{Svg.N(from)}\" data-place-to=\"{Svg.N(to)}\""),
                $"{Say.Number(from, 0)} to {Say.Number(to, 0)} m: {Say.Number(100 * k.Damage / run, 1)} % of the run's damage");
        }));
        return LiveFigure.Drawing("damage-place-figure", "", $"Damage of {part.Component.Id} by place on the lap",
            $"{part.Component.Id}, all laps together; press a bar to see the channels there. tables/damage_charges.csv has the numbers.", figures,
            Svg.Of(Width, 280, $"Bars of the share of the damage of {part.Component.Id} by place on the lap.", Html.Of($"{plane.Frame("Distance along the lap (m)", "Share of the run's damage (%)")}{bars}")));
    }

    private static Html Along(RunReview review, KerbStrike[] strikes, PushrodLimit[] limits, PushrodLimit[] inspections)
    {
        bool byDistance = strikes.Any(s => double.IsFinite(s.DistanceM));
        List<(KerbStrike Strike, double X, double Y)> places = [.. strikes.Where(s => !byDistance || double.IsFinite(s.DistanceM)).Select(s => (s, byDistance ? s.DistanceM : s.TimeS, s.PeakLoadN / 1000))];
        PushrodLimit[] lines = [.. limits.Where(l => l.LoadN / 1000 <= places.Max(p => p.Y) * 1.35).OrderBy(l => l.IsInspection).Take(MostLevels)];
        double right = byDistance ? places.Max(p => p.X) * 1.02 : review.Run.Clock.LastS;
        SvgPlane plane = new(byDistance ? 0 : review.Run.Clock.StartS, Math.Max(right, 1), Math.Min(0, places.Min(p => p.Y)), Math.Max(Math.Max(places.Max(p => p.Y), lines.Select(l => l.LoadN / 1000).DefaultIfEmpty(0).Max()) * 1.08, 0.1), 56, 34, 820, 360);
        PushrodLimit[] upward = [.. lines.OrderBy(l => l.LoadN)];
        // Names after all lines and with a rim: two limits may be closer than a name is high.
        Html levels = Html.Of($"""
            {Html.Join(upward.Select(l => Html.Of($"<line class=\"{(l.IsInspection ? "level inspect" : "level")}\" x1=\"{Svg.N(plane.X)}\" x2=\"{Svg.N(plane.X + plane.Width)}\" y1=\"{Svg.N(plane.AtY(l.LoadN / 1000))}\" y2=\"{Svg.N(plane.AtY(l.LoadN / 1000))}\"/>")))}
            {Html.Join(upward.Select((l, i) => Html.Of($"<text class=\"named\" x=\"{Svg.N(i % 2 == 0 ? plane.X + 6 : plane.X + (plane.Width / 2))}\" y=\"{Svg.N(plane.AtY(l.LoadN / 1000) - 4)}\">{(l.IsInspection ? "inspect" : "limit")} {Say.Number(l.LoadN / 1000, 1)} kN ({Say.Name(l.Components[0], 20)}{(l.Components.Length > 1 ? $" and {l.Components.Length - 1} more" : "")})</text>")))}
            """);
        return Svg.Of(Width, 450, "Kerb strikes along the lap by their peak load. The table has their numbers.",
            Html.Of($"{plane.Frame(byDistance ? "Distance along the lap (m)" : "Time (s)", "Peak pushrod load (kN)")}{levels}{Marks(plane, places, inspections)}"));
    }

    /// <summary>A mark for each strike, the hardest on top; its shape says the same as its colour.</summary>
    public static Html Marks(SvgPlane plane, List<(KerbStrike Strike, double X, double Y)> places, PushrodLimit[] inspections)
    {
        double lowest = places.Count > 0 ? places.Min(p => p.Strike.PeakLoadN) : 0, highest = places.Count > 0 ? places.Max(p => p.Strike.PeakLoadN) : 1;
        return Html.Join(places.OrderBy(p => p.Strike.ExceedsLimit).ThenBy(p => p.Strike.Number).Select(p =>
        {
            KerbStrike strike = p.Strike;
            bool near = Array.Exists(inspections, l => strike.PeakLoadN > l.LoadN && l.Corners.Contains(strike.Corner));
            string kind = strike.NotJudgedBecause is not null ? "unjudged" : strike.ExceedsLimit ? "past" : near ? "near" : "within";
            double r = 4.5 + (highest > lowest ? 3.5 * (strike.PeakLoadN - lowest) / (highest - lowest) : 0), x = plane.AtX(p.X), y = plane.AtY(p.Y);
            // The shape says the same as the colour.
            string path = kind switch
            {
                "past" => $"M{Svg.N(x)} {Svg.N(y - (1.3 * r))}L{Svg.N(x + (1.2 * r))} {Svg.N(y + r)}H{Svg.N(x - (1.2 * r))}Z",
                "near" => $"M{Svg.N(x)} {Svg.N(y - (1.3 * r))}L{Svg.N(x + (1.3 * r))} {Svg.N(y)}L{Svg.N(x)} {Svg.N(y + (1.3 * r))}L{Svg.N(x - (1.3 * r))} {Svg.N(y)}Z",
                "unjudged" => $"M{Svg.N(x - r)} {Svg.N(y - r)}H{Svg.N(x + r)}V{Svg.N(y + r)}H{Svg.N(x - r)}Z",
                _ => $"M{Svg.N(x - r)} {Svg.N(y)}A{Svg.N(r)} {Svg.N(r)} 0 1 0 {Svg.N(x + r)} {Svg.N(y)}A{Svg.N(r)} {Svg.N(r)} 0 1 0 {Svg.N(x - r)} {Svg.N(y)}Z",
            };
            return Html.Of($"<path class=\"mark {kind}\" data-strike-number=\"{strike.Number}\" d=\"{path}\"><title>{StrikeText.Of(strike)}</title></path>");
        }));
    }
}
