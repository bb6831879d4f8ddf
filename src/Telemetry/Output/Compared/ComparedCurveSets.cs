using System.Collections.Immutable;
using Telemetry.Comparison;

namespace Telemetry.Output.Compared;

/// <summary>The curves that a comparison shows, from the summaries of its runs.</summary>
internal static class ComparedCurveSets
{
    private const double KmhPerMps = 3.6;

    private const double KnPerN = 0.001;

    /// <summary>Front, rear and total aero load against air speed, kN, at the density of the comparison, so that the weather of a day does not count.</summary>
    public static ImmutableArray<ComparedCurve> Aero(ImmutableArray<ComparedSubject> runs) =>
    [
        Load(runs, "Front load", ComparedKind.FrontLoad, at => at.Front.ClaM2),
        Load(runs, "Rear load", ComparedKind.RearLoad, at => at.Rear.ClaM2),
        Load(runs, "Total load", ComparedKind.TotalLoad, at => at.Total.ClaM2),
    ];

    /// <summary>Ride heights and rake on straights against speed.</summary>
    public static ImmutableArray<ComparedCurve> Platform(ImmutableArray<ComparedSubject> runs) =>
    [
        Height(runs, "Front ride height", "mm", 1, ComparedKind.FrontRideHeight, at => at.FrontRideHeightMm),
        Height(runs, "Rear ride height", "mm", 1, ComparedKind.RearRideHeight, at => at.RearRideHeightMm),
        Height(runs, "Rake, nose-down positive", "°", 3, null, at => at.RakeDeg),
    ];

    private static ComparedCurve Load(ImmutableArray<ComparedSubject> runs, string heading, ComparedKind kind, Func<SummaryAeroAtSpeed, SummaryEstimate?> area) => new(
        heading, "kN", 2, [.. runs.Select(run => Points(run.Summary.Aero.Curve, at => at.SpeedKmh, area, kmh => KnPerN * 0.5 * ComparisonResult.DensityKgM3 * kmh * kmh / (KmhPerMps * KmhPerMps)))], kind, KnPerN);

    private static ComparedCurve Height(ImmutableArray<ComparedSubject> runs, string heading, string unit, int decimals, ComparedKind? kind, Func<SummaryPlatformAtSpeed, SummaryEstimate?> pick) => new(
        heading, unit, decimals, [.. runs.Select(run => Points(run.Summary.Platform.BySpeed, at => at.SpeedKmh, pick, _ => 1))], kind, NumberText.MmPerM);

    private static ImmutableArray<CurvePoint> Points<T>(ImmutableArray<T> rows, Func<T, double?> speed, Func<T, SummaryEstimate?> pick, Func<double, double> factor) =>
    [
        .. (rows.IsDefault ? [] : rows)
            .Where(row => speed(row) is not null && pick(row) is { Value: not null, Low95: not null, High95: not null })
            .Select(row =>
            {
                (double kmh, SummaryEstimate value) = (speed(row)!.Value, pick(row)!);
                double scale = factor(kmh);
                return new CurvePoint(kmh, new(value.Value!.Value * scale, value.Low95!.Value * scale, value.High95!.Value * scale));
            })
            .OrderBy(point => point.X),
    ];
}
