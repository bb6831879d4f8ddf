using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Platform;
using Telemetry.Review;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Tables;

/// <summary>Tables of the ride-height map, the balance by condition and the platform, in the trade's units.</summary>
internal static class PlatformTables
{
    private const double MmPerM = 1000;

    /// <summary>Sensitivities of the map at its reference heights; a blank is withheld and the last column says why.</summary>
    public static ResultTable Map(RunReview review)
    {
        RideHeightMap map = review.HeightMap;
        ImmutableArray<TableColumn> columns =
        [
            new("change of", ""), new("front ride height", "mm", 1), new("rear ride height", "mm", 1),
            .. Columns("front lift area", "m2/mm", 5), .. Columns("rear lift area", "m2/mm", 5), .. Columns("total lift area", "m2/mm", 5), .. Columns("balance front", "%/mm", 3),
            new("withheld because", ""),
        ];
        (string Name, MapSensitivity? Given)[] rows =
        [
            ("front ride height", map.PerFrontHeight), ("rear ride height", map.PerRearHeight), ("rake, rear less front", map.PerRake), ("along the line of speed, per front ride height", map.AlongSpeedLine),
        ];
        return new("ride_height_map", "Lift area and balance against ride height", columns, [.. rows.Where(row => row.Given is not null).Select(row => ImmutableArray.CreateRange<TableCell>(
        [
            row.Name, map.Reference!.Value.FrontM * MmPerM, map.Reference.Value.RearM * MmPerM,
            .. Cells(row.Given!.FrontLiftAreaM2PerM, 1 / MmPerM), .. Cells(row.Given.RearLiftAreaM2PerM, 1 / MmPerM), .. Cells(row.Given.TotalLiftAreaM2PerM, 1 / MmPerM),
            .. Cells(row.Given.BalancePctPerM, 1 / MmPerM), row.Given.WithheldBecause ?? "",
        ]))]);
    }

    /// <summary>Aero balance in each condition.</summary>
    public static ResultTable Balance(RunReview review)
    {
        ImmutableArray<TableColumn> columns =
        [
            new("condition", ""), .. Columns("balance front", "%", 2), .. Columns("balance on straights at this speed", "%", 2), new("units", "-"), new("windows", "-"), new("speed", "km/h"),
            new("longitudinal", "g", 2), new("lateral", "g", 2), new("steer angle", "deg", 1), new("front ride height", "mm", 1), new("rear ride height", "mm", 1), new("withheld because", ""),
        ];
        return new("aero_balance", "Aero balance by condition", columns, [.. (review.Balance?.All ?? []).Select(one => ImmutableArray.CreateRange<TableCell>(
        [
            one.Name, .. Cells(one.BalanceFrontPct, 1), .. Cells(one.StraightAtSameSpeedPct, 1), one.Units, one.Windows, one.SpeedMps * KmhPerMps,
            one.LongitudinalMps2 / StandardGravity.Mps2, one.LateralMps2 / StandardGravity.Mps2, one.SteerRad * 180 / Math.PI,
            one.Heights.FrontM * MmPerM, one.Heights.RearM * MmPerM, one.WithheldBecause ?? "",
        ]))]);
    }

    /// <summary>Bump rubbers, stiffness by mode, lateral transfer and lowest ride heights: one row a figure.</summary>
    public static ResultTable Platform(RunReview review)
    {
        ImmutableArray<TableColumn> columns = [new("what", ""), new("unit", ""), new("value", "", 3), new("low 95 %", "", 3), new("high 95 %", "", 3), new("car file", "", 3), new("verdict", "")];
        ImmutableArray<ImmutableArray<TableCell>>.Builder rows = ImmutableArray.CreateBuilder<ImmutableArray<TableCell>>();
        if (review.Platform.Detail is { } detail)
        {
            Knee("front", detail.Knee.Front);
            Knee("rear", detail.Knee.Rear);
            foreach (ModeStiffness mode in detail.Stiffness)
            {
                bool isAngle = mode.Unit.EndsWith("rad", StringComparison.Ordinal);
                Row("stiffness in " + mode.Name, isAngle ? "N m/deg" : "N/mm", mode.Measured, isAngle ? Math.PI / 180 : 1 / MmPerM, mode.CarFile, mode.Verdict);
            }

            if (detail.Transfer is { } transfer)
            {
                Row("lateral transfer by the pushrods, front", "N/g", transfer.FrontPerMps2, StandardGravity.Mps2, null, "");
                Row("lateral transfer by the pushrods, rear", "N/g", transfer.RearPerMps2, StandardGravity.Mps2, null, "");
                Row("front share of the lateral transfer at the tyres", "%", transfer.FrontSharePct, 1, null, transfer.WithheldBecause ?? "geometric parts from the car file");
                Row("front share of the roll stiffness", "%", transfer.RollStiffnessFrontPct, 1, null, "");
            }

            Lowest("front", detail.Lowest.Front);
            Lowest("rear", detail.Lowest.Rear);
        }

        return new("platform", "Platform: rubbers, stiffness, roll, lowest ride heights", columns, rows.ToImmutable());

        void Row(string what, string unit, Estimate? estimate, double factor, double? file, string verdict) =>
            rows.Add([what, unit, .. Cells(estimate, factor), file is double stated ? stated * factor : double.NaN, verdict]);

        void Knee(string axle, RubberKnee? knee)
        {
            if (knee is not null)
            {
                Row($"bump rubber met, {axle}, mean damper travel", "mm", knee.KneeM, MmPerM, knee.CarFileM, knee.Verdict);
                Row($"load of the bump rubber at the reference speed, {axle}", "N", knee.LoadAtReferenceN, 1, null, "");
            }
        }

        void Lowest(string axle, LowestHeight? lowest)
        {
            if (lowest is not null)
            {
                Row($"lowest {axle} ride height", "mm", lowest.HeightM, MmPerM, null,
                    FormattableString.Invariant($"mean over 0.1 s, lap {lowest.Lap}, {lowest.DistanceM:0} m, {lowest.SpeedMps * KmhPerMps:0} km/h"));
            }
        }
    }

    private static TableColumn[] Columns(string name, string unit, int decimals) =>
        [new(name, unit, decimals), new(name + " low 95", unit, decimals), new(name + " high 95", unit, decimals)];

    private static TableCell[] Cells(Estimate? estimate, double factor) =>
        estimate is null ? [double.NaN, double.NaN, double.NaN] : [estimate.Value * factor, estimate.Low95 * factor, estimate.High95 * factor];
}
