using System.Collections.Immutable;
using Telemetry.Output.Tables;
using Telemetry.Platform;
using Telemetry.Review;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Report;

/// <summary>Ride height, rake, third elements, roll share, damper velocity.</summary>
internal static class PlatformSection
{
    public static Html Of(RunReview review, ReportFigures figures)
    {
        PlatformResult platform = review.Platform;
        return Html.Of($"""
            <h2>Platform</h2>
            <p>Front share of the roll moment that the pushrods carry: {Interval(platform.RollMomentFrontPct)} %. Ride heights from: {platform.RideHeightSource}.</p>
            {Third("Front", platform.Third.Front)}{Third("Rear", platform.Third.Rear)}
            {ReportParts.Table(BySpeed(platform))}
            {ReportParts.Table(figures.Table("platform"))}
            {ReportParts.Notes(platform.Notes)}
            {ReportParts.Pictures(figures, IsOfPlatform)}
            """);
    }

    internal static bool IsOfPlatform(string name) =>
        name.Contains("mode", StringComparison.Ordinal) || name.Contains("velocity", StringComparison.Ordinal) || name.Contains("platform", StringComparison.Ordinal);

    private static Html Third(string axle, ThirdElementUse? use)
    {
        if (use is null)
        {
            return Html.None;
        }

        string rubber = use.RubberEngagedShare is not double share
            ? "no bump rubber"
            : use.RubberEngagesAboveMps is double speed
                ? $"bump rubber touched {Fixed(share * 100, 1)} % of the running time, mostly above {Fixed(speed * KmhPerMps, 0)} km/h on straights"
                : $"bump rubber touched {Fixed(share * 100, 1)} % of the running time";
        return Html.Of($"<p>{axle} third element: spring engaged {Fixed(use.SpringEngagedShare * 100, 1)} % of the running time, {rubber}; largest force {Kn(use.LargestForceN)} kN.</p>");
    }

    private static ResultTable BySpeed(PlatformResult platform) => new(
        "platform",
        "Ride height and rake on straights (rake nose-down positive; low and high are the 95 % interval)",
        [
            new("speed", "km/h"),
            new("front ride height", "mm", 1), new("low", "mm", 1), new("high", "mm", 1),
            new("rear ride height", "mm", 1), new("low", "mm", 1), new("high", "mm", 1),
            new("rake", "deg", 3), new("low", "deg", 3), new("high", "deg", 3), new("passes", "-"),
        ],
        [.. platform.BySpeed.Select(at => ImmutableArray.CreateRange<TableCell>(
        [
            at.SpeedMps * KmhPerMps,
            .. Of(at.FrontRideHeightM, MmPerM), .. Of(at.RearRideHeightM, MmPerM), .. Of(at.RakeRad, DegPerRad),
            at.Passes,
        ]))]);

    private static TableCell[] Of(Estimate estimate, double scale) => [estimate.Value * scale, estimate.Low95 * scale, estimate.High95 * scale];
}
