using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.CrossChecks;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Review;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Tables;

/// <summary>The tables of a review, in the trade's units.</summary>
public static class ReviewTables
{
    /// <summary>All of them, in the order in which a person reads them.</summary>
    public static ImmutableArray<ResultTable> From(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        return
        [
            AeroBySpeed(review.Aero),
            BudgetTable.From(review.Aero),
            KerbStrikes(review.Kerbs),
            CycleTables.Cycles(review.Fatigue),
            CycleTables.Exceedance(review.Fatigue),
            Components(review.Fatigue),
            LapTables.Laps(review),
            Health(review.Health),
            RepairTables.Repairs(review),
            RepairTables.Effects(review),
            CrossCheckTable(review.CrossChecks),
            DamageTables.Charges(review),
            DamageTables.Sensitivity(review.Fatigue),
            KerbTables.Kerbs(review),
            KerbTables.OtherEvents(review.Kerbs),
            InspectionTables.Inspection(review),
            InspectionTables.Readings(review),
            InspectionTables.StaticChecks(review),
            PlatformTables.Map(review),
            PlatformTables.Balance(review),
            PlatformTables.Platform(review),
        ];
    }

    /// <summary>Aero load, lift area and balance over the speeds that the passes cover; empty when withheld.</summary>
    public static ResultTable AeroBySpeed(AeroResult aero)
    {
        ArgumentNullException.ThrowIfNull(aero);
        ImmutableArray<TableColumn> columns =
        [
            new("air speed", "km/h"),
            .. Interval("front load", "N", 0),
            .. Interval("rear load", "N", 0),
            .. Interval("total load", "N", 0),
            .. Interval("front lift area", "m2", 3),
            .. Interval("rear lift area", "m2", 3),
            .. Interval("total lift area", "m2", 3),
            .. Interval("balance front", "%", 2),
        ];
        return new("aero_by_speed", "Aero load by speed", columns, [.. aero.Curve.Select(at => ImmutableArray.CreateRange<TableCell>(
        [
            at.SpeedMps * KmhPerMps,
            .. Interval(at.FrontLoadN),
            .. Interval(at.RearLoadN),
            .. Interval(at.TotalLoadN),
            .. Interval(at.FrontLiftAreaM2),
            .. Interval(at.RearLiftAreaM2),
            .. Interval(at.TotalLiftAreaM2),
            .. Interval(at.BalanceFrontPct),
        ]))]);
    }

    /// <summary>Every strike in time order.</summary>
    public static ResultTable KerbStrikes(KerbResult kerbs)
    {
        ArgumentNullException.ThrowIfNull(kerbs);
        ImmutableArray<TableColumn> columns =
        [
            new("strike", "-"), new("kerb", "-"), new("corner", ""), new("lap", "-"), new("time", "s", 3), new("distance", "m"),
            new("speed", "km/h"), new("peak load", "N"), new("worst under-read of the peak", "%", 1), new("peak is a lower bound", ""), new("repaired samples", "-"),
            new("dynamic peak", "N"), new("lowest load", "N"), new("rise", "kN/s"), new("duration", "ms", 1), new("impulse", "N s", 1),
            new("damper velocity", "mm/s"), new("paired with strike", "-"), new("nearest limit of", ""), new("margin of safety", "-", 2), new("past the limit", ""),
            new("best estimate of the true peak", "N"), new("its standard uncertainty", "N"), new("probability past the limit", "-", 2),
            new("nearest inspection threshold of", ""), new("probability past the threshold", "-", 2),
            new("probability of a kerb", "-", 2), new("motion of the axle's other wheel", "%"), new("why a kerb", ""),
        ];
        return new("kerb_strikes", "Kerb strikes in time order", columns, [.. kerbs.Strikes.Select(strike => ImmutableArray.CreateRange<TableCell>(
        [
            strike.Number, strike.Kerb, strike.Corner.Code(), strike.Lap, strike.TimeS, strike.DistanceM,
            strike.SpeedMps * KmhPerMps, strike.PeakLoadN, strike.WorstUnderReadShare * 100, YesNo(strike.IsLowerBound), strike.RepairedSamples,
            strike.DynamicPeakN, strike.LowestLoadN, strike.RiseRateNps / 1000, strike.DurationS * 1000, strike.ImpulseNs,
            strike.DamperVelocityMps * 1000, strike.PairedWith == 0 ? double.NaN : strike.PairedWith, strike.WorstComponent ?? "",
            strike.MarginOfSafety, strike.NotJudgedBecause is null ? YesNo(strike.ExceedsLimit) : "not judged",
            strike.TruePeakN, strike.TruePeakUncertaintyN, strike.LimitProbability,
            strike.InspectionComponent ?? "", strike.InspectionProbability,
            strike.Telling.Probability, 100 * strike.Telling.AcrossShare, strike.Telling.Reason,
        ]))]);
    }

    /// <summary>Peaks, limits, damage, life and verdict of every component.</summary>
    public static ResultTable Components(FatigueResult fatigue)
    {
        ArgumentNullException.ThrowIfNull(fatigue);
        ImmutableArray<TableColumn> columns =
        [
            new("component", ""), new("description", ""), new("corner", ""), new("verdict", ""),
            new("peak compression", "N"), new("compression limit", "N"), new("peak tension", "N"), new("tension limit", "N"),
            new("inspection threshold", "N"), new("peak is a lower bound", ""), new("margin of safety", "-", 2),
            new("standard uncertainty of peak compression", "N"), new("standard uncertainty of peak tension", "N"), new("margin low95", "-", 2),
            new("time of peak compression", "s", 3), new("time of peak tension", "s", 3),
            new("damage of the run", "-", 6), new("damage low95 by load", "-", 6), new("damage high95 by load", "-", 6),
            new("damage lowest by method", "-", 6), new("damage highest by method", "-", 6), new("damage before", "-", 6),
            new("equivalent range at a million cycles", "N"), new("life used", "%", 2), new("reasons", ""),
        ];
        return new("components", "Peaks, limits, damage and life of each part", columns, [.. fatigue.Components.Select(result => ImmutableArray.CreateRange<TableCell>(
        [
            result.Component.Id, result.Component.Description, result.Component.Corner?.Code() ?? "", SummaryFile.Word(result.Verdict),
            result.PeakCompressionN, result.Component.CompressionLimitN, result.PeakTensionN, result.Component.TensionLimitN,
            result.Component.InspectionThresholdN, YesNo(result.PeakIsLowerBound), result.MarginOfSafety,
            result.PeakCompressionUncertaintyN, result.PeakTensionUncertaintyN, result.MarginLow95,
            result.PeakCompressionS, result.PeakTensionS,
            result.DamageRun, result.Spread?.ByLoadLow95, result.Spread?.ByLoadHigh95,
            result.Spread?.ByMethodLow, result.Spread?.ByMethodHigh, result.DamageBefore,
            result.EquivalentRangeN, result.LifeUsedPct, string.Join(" ", result.Reasons),
        ]))]);
    }

    /// <summary>What the sensors say of each other; empty when nothing could be compared.</summary>
    public static ResultTable CrossCheckTable(CrossCheckResult cross)
    {
        ArgumentNullException.ThrowIfNull(cross);
        ImmutableArray<TableColumn> columns =
        [
            new("check", ""), new("unit of the numbers", ""), new("measured", "-", 3), new("expected", "-", 3),
            new("standard uncertainty", "-", 3), new("deviation in standard uncertainties", "-", 1),
        ];
        return new("cross_checks", "Sensors held against each other", columns, [.. cross.Checks.Select(check => ImmutableArray.CreateRange<TableCell>(
        [
            check.Name, check.Unit, check.Measured, check.Expected, check.StandardUncertainty, check.Deviation,
        ]))]);
    }

    /// <summary>Findings of health, worst first.</summary>
    public static ResultTable Health(RunHealth health)
    {
        ArgumentNullException.ThrowIfNull(health);
        ImmutableArray<TableColumn> columns =
        [
            new("channel", ""), new("kind", ""), new("severity", ""), new("start", "s", 2), new("end", "s", 2),
            new("message", ""), new("consequence", ""), new("remedy", ""),
        ];
        return new("health", "Findings in the log", columns, [.. health.Findings.Select(finding => ImmutableArray.CreateRange<TableCell>(
        [
            finding.Channel, finding.Kind, SummaryFile.Word(finding.Severity), finding.StartS, finding.EndS,
            finding.Message, finding.Consequence, finding.Remedy,
        ]))]);
    }

    internal static string YesNo(bool value) => value ? "yes" : "no";

    private static TableColumn[] Interval(string name, string unit, int decimals) =>
        [new(name, unit, decimals), new(name + " low95", unit, decimals), new(name + " high95", unit, decimals)];

    private static TableCell[] Interval(Estimate estimate) => [estimate.Value, estimate.Low95, estimate.High95];
}
