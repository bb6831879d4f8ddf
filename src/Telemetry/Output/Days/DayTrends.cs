using System.Collections.Immutable;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Days;

/// <summary>Reads the trends of a day off the runs' headlines.</summary>
internal static class DayTrends
{
    /// <summary>Parts whose life is drawn: as many as can be told apart in a small picture.</summary>
    private const int MostParts = 4;

    /// <summary>Standard uncertainties on each side of a 95 % interval (normal distribution).</summary>
    private const double Coverage = 1.96;

    /// <summary>Of the runs' reference speeds the one that the curves of most runs cover; of several, the highest.</summary>
    public static double? CommonSpeed(ImmutableArray<DayRun> runs) => runs
        .Select(run => run.Headline is { Aero.IsEmpty: false } head ? head.ReferenceSpeedKmh : null).OfType<double>().Distinct()
        .OrderByDescending(speed => runs.Count(run => Aero(run, speed) is not null)).ThenByDescending(speed => speed)
        .Select(speed => (double?)speed)
        .FirstOrDefault();

    public static ImmutableArray<DayTrend> From(ImmutableArray<DayRun> runs, double? speedKmh)
    {
        double q = speedKmh is double speed ? DayResult.DensityKgM3 * Math.Pow(speed / KmhPerMps, 2) / 2 : 0;
        string at = speedKmh is double kmh ? $"at {Fixed(kmh, 0)} km/h" : "";
        DayTrend[] all =
        [
            new("aero_front_load", $"Front aero load {at}", "kN", [Line("front", runs, run => Aero(run, speedKmh) is { } aero ? Point(aero.FrontClaM2, q / 1000) : null)]),
            new("aero_rear_load", $"Rear aero load {at}", "kN", [Line("rear", runs, run => Aero(run, speedKmh) is { } aero ? Point(aero.RearClaM2, q / 1000) : null)]),
            new("aero_balance", $"Front share {at}", "%", [Line("front share", runs, run => Aero(run, speedKmh) is { } aero ? Point(aero.BalanceFrontPct, 1) : null)]),
            new("peak_load", "Largest load of any part", "kN", [Line("largest load", runs, run => run.Headline?.Peak is { } peak ? Peak(peak) : null)]),
            new("kerb_strikes", "Kerb strikes", "count",
            [
                Line("all", runs, run => run.Headline?.Strikes is int count ? (count, null, null) : null),
                Line("past a limit", runs, run => run.Headline?.Exceedances is int count ? (count, null, null) : null),
            ]),
            new("life_used", runs.Any(run => run.IsDone && !run.HasLedger) ? "Life used by each run alone" : "Life used", "%",
                [.. MostUsed(runs).Select(part => Line(part, runs, run => run.Headline?.Life.FirstOrDefault(life => life.Part == part)?.UsedPct is double used ? (used, null, null) : null))]),
        ];
        return [.. all.Select(trend => trend with { Series = [.. trend.Series.Where(series => !series.Points.IsEmpty)] }).Where(trend => !trend.Series.IsEmpty)];
    }

    /// <summary>Aero of a run at a speed, on the straight line between two points of its curve; null outside of the curve.</summary>
    /// <remarks>A curve has a point every few km/h and bends little: the line between two differs from it by far less than its interval.</remarks>
    internal static DayAero? Aero(DayRun run, double? speedKmh)
    {
        DayAero[] curve = [.. (run.Headline?.Aero ?? []).OrderBy(at => at.SpeedKmh)];
        for (int i = 0; i < curve.Length; i++)
        {
            if (curve[i].SpeedKmh == speedKmh)
            {
                return curve[i];
            }

            if (i > 0 && curve[i - 1].SpeedKmh < speedKmh && speedKmh < curve[i].SpeedKmh)
            {
                (DayAero from, DayAero to) = (curve[i - 1], curve[i]);
                double share = (speedKmh.Value - from.SpeedKmh) / (to.SpeedKmh - from.SpeedKmh);
                return new(
                    speedKmh.Value, Between(from.FrontClaM2, to.FrontClaM2, share), Between(from.RearClaM2, to.RearClaM2, share),
                    Between(from.BalanceFrontPct, to.BalanceFrontPct, share));
            }
        }

        return null;
    }

    private static SummaryEstimate Between(SummaryEstimate from, SummaryEstimate to, double share)
    {
        return new(At(from.Value, to.Value), At(from.Low95, to.Low95), At(from.High95, to.High95));

        double? At(double? a, double? b) => a + ((b - a) * share);
    }

    private static (double, double?, double?)? Point(SummaryEstimate estimate, double factor) =>
        estimate.Value is double value ? (value * factor, estimate.Low95 * factor, estimate.High95 * factor) : null;

    private static (double, double?, double?)? Peak(DayPeak peak)
    {
        double half = Coverage * (peak.StandardUncertaintyN ?? double.NaN);
        return double.IsFinite(half) ? (peak.LoadN / 1000, (peak.LoadN - half) / 1000, (peak.LoadN + half) / 1000) : (peak.LoadN / 1000, null, null);
    }

    private static IEnumerable<string> MostUsed(ImmutableArray<DayRun> runs) => runs
        .SelectMany(run => run.Headline?.Life ?? [])
        .Where(life => life.UsedPct is not null)
        .GroupBy(life => life.Part, StringComparer.Ordinal)
        .OrderByDescending(group => group.Max(life => life.UsedPct)).ThenBy(group => group.Key, StringComparer.Ordinal)
        .Take(MostParts)
        .Select(group => group.Key);

    private static DaySeries Line(string name, ImmutableArray<DayRun> runs, Func<DayRun, (double Value, double? Low, double? High)?> of) => new(name,
    [
        .. runs.Select((run, i) => of(run) is { } at && Rounded(at.Value) is double value
            ? new DayPoint(i + 1, value, at.Low is double low ? Rounded(low) : null, at.High is double high ? Rounded(high) : null)
            : null).OfType<DayPoint>(),
    ]);
}
