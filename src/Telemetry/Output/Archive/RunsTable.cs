using System.Collections.Immutable;
using Telemetry.Output.Tables;

namespace Telemetry.Output.Archive;

/// <summary>One row a run: what trends over a season are drawn from.</summary>
internal static class RunsTable
{
    public static ResultTable From(Summary summary)
    {
        ImmutableArray<TableColumn> columns =
        [
            new("health", ""), new("laps", "-"), new("duration", "s", 1), new("reference speed", "km/h"),
            .. Interval("front load", "N"), .. Interval("rear load", "N"), .. Interval("total load", "N"),
            .. Interval("front lift area", "m2"), .. Interval("rear lift area", "m2"), .. Interval("total lift area", "m2"), .. Interval("balance front", "%"),
            new("aero withheld because", ""), new("passes", "-"), new("air density", "kg/m3", 4), new("strikes", "-"), new("past a limit", "-"),
            new("most life used", "%", 2), new("most life used by", ""), new("things to do before next run", "-"), new("library version", ""),
        ];
        SummaryAero aero = summary.Aero;
        SummaryComponent? most = summary.Components.Where(part => part.LifeUsedPct is not null).MaxBy(part => part.LifeUsedPct);
        return new("runs", "Headline of each run", columns,
        [
            [
                summary.Health.Verdict, summary.Laps.Length, summary.Run.DurationS, aero.ReferenceSpeedKmh,
                .. Of(aero.Front.LoadN), .. Of(aero.Rear.LoadN), .. Of(aero.Total.LoadN),
                .. Of(aero.Front.ClaM2), .. Of(aero.Rear.ClaM2), .. Of(aero.Total.ClaM2), .. Of(aero.BalanceFrontPct),
                aero.WithheldBecause ?? "", aero.Passes, aero.Air.DensityKgM3, summary.Kerbs.Strikes, summary.Kerbs.Exceedances,
                most?.LifeUsedPct, most?.Id ?? "", summary.Actions.Count(action => action.Urgency == "before_next_run"), summary.LibraryVersion,
            ],
        ]);
    }

    private static TableColumn[] Interval(string name, string unit) => [new(name, unit, 3), new(name + " low95", unit, 3), new(name + " high95", unit, 3)];

    private static TableCell[] Of(SummaryEstimate? estimate) => [estimate?.Value, estimate?.Low95, estimate?.High95];
}
