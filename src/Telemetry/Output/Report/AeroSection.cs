using Telemetry.Aero;
using Telemetry.Output.Tables;
using Telemetry.Review;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Report;

/// <summary>Aero load: headline, curve, what the interval is made of, what was assumed.</summary>
internal static class AeroSection
{
    public static Html Of(RunReview review, ReportFigures figures)
    {
        AeroResult aero = review.Aero;
        return Html.Of($"""
            <h2>Aero load</h2>
            {ReportParts.Withheld(aero.WithheldBecause)}
            {Headline(aero)}
            {(figures.Live.Contains(Plots.AeroLoadPicture.Name) ? LiveFigure.Plot("aero-figure", Plots.AeroLoadPicture.Name, "Aero load against air speed", figures) : Html.None)}
            {(figures.Live.Contains(Plots.RideHeightMapPicture.Name) ? Drawings.HeightMap(review.HeightMap, figures) : Html.None)}
            {ReportParts.Pictures(figures, name => name.StartsWith("aero", StringComparison.Ordinal))}
            {BySpeed(aero)}
            {Budget(aero)}
            <h3>Air, wind and assumptions</h3>
            <p>Air density {Fixed(aero.Air.DensityKgM3, 4)} kg/m3, standard uncertainty {Fixed(aero.Air.StandardUncertaintyKgM3, 4)} kg/m3 ({aero.Air.Source}). {aero.Wind.Statement}</p>
            {ReportParts.Table(figures.Table("aero_balance"))}
            {ReportParts.Table(figures.Table("ride_height_map"))}
            {ReportParts.Notes(aero.Notes)}
            """);
    }

    private static Html Headline(AeroResult aero)
    {
        if (aero.AtReference is not AeroAtSpeed at)
        {
            return Html.None;
        }

        return Html.Of($"""
            <p>At {Fixed(at.SpeedMps * KmhPerMps, 0)} km/h true air speed, from {Count(aero.Passes.Length, "straight pass", "straight passes")}; value, then the 95 % interval. Downwards is positive.</p>
            <div class="scroll" tabindex="0" role="region" aria-label="Aero load at the reference speed"><table>
            <thead><tr><th scope="col"></th><th scope="col" class="n">Load<span class="unit">kN</span></th><th scope="col" class="n">Lift area<span class="unit">m2</span></th></tr></thead>
            <tbody>
            {Row("Front", at.FrontLoadN, at.FrontLiftAreaM2)}
            {Row("Rear", at.RearLoadN, at.RearLiftAreaM2)}
            {Row("Total", at.TotalLoadN, at.TotalLiftAreaM2)}
            </tbody></table></div>
            <p>Aero balance: {Interval(at.BalanceFrontPct)} % front.</p>
            """);
    }

    private static Html BySpeed(AeroResult aero)
    {
        if (aero.Curve.IsEmpty)
        {
            return Html.None;
        }

        Html rows = Html.Join(aero.Curve.Select(at => Html.Of(
            $"<tr><td class=\"n\">{Fixed(at.SpeedMps * KmhPerMps, 0)}</td><td class=\"n\">{Interval(at.FrontLoadN, 0.001)}</td><td class=\"n\">{Interval(at.RearLoadN, 0.001)}</td><td class=\"n\">{Interval(at.TotalLoadN, 0.001)}</td><td class=\"n\">{Interval(at.TotalLiftAreaM2)}</td><td class=\"n\">{Interval(at.BalanceFrontPct)}</td></tr>")));
        return Html.Of($"""
            <div class="scroll" tabindex="0" role="region" aria-label="Aero load by air speed"><table>
            <caption>Aero load by air speed, each with its 95 % interval; lift area by axle is in tables/aero_by_speed.csv</caption>
            <thead><tr><th scope="col" class="n">Air speed<span class="unit">km/h</span></th><th scope="col" class="n">Front load<span class="unit">kN</span></th><th scope="col" class="n">Rear load<span class="unit">kN</span></th><th scope="col" class="n">Total load<span class="unit">kN</span></th><th scope="col" class="n">Total lift area<span class="unit">m2</span></th><th scope="col" class="n">Balance front<span class="unit">%</span></th></tr></thead>
            <tbody>{rows}</tbody></table></div>
            """);
    }

    private static Html Row(string name, Estimate load, Estimate area) => Html.Of(
        $"<tr><th scope=\"row\">{name}</th><td class=\"n\">{Interval(load, 0.001)}</td><td class=\"n\">{Interval(area)}</td></tr>");

    private static Html Budget(AeroResult aero)
    {
        ResultTable table = new(
            "budget",
            "What the interval is made of: standard uncertainties at the reference speed, largest first",
            [new("part", ""), new("front load", "N", 1), new("rear load", "N", 1), new("total load", "N", 1), new("more passes shrink it", ""), new("what would improve it", "")],
            [.. aero.Budget.Select(part => System.Collections.Immutable.ImmutableArray.CreateRange<TableCell>(
                [part.Name, part.FrontLoadN, part.RearLoadN, part.TotalLoadN, ReviewTables.YesNo(!part.IsSystematic), part.Remark]))]);
        return ReportParts.Table(table);
    }
}
