using System.Collections.Immutable;
using Telemetry.Platform;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>What the platform does beside ride height and rake, in the summary.</summary>
/// <param name="RubberFront">Front bump rubber; null without a third element or travel.</param>
/// <param name="RubberRear">Rear bump rubber.</param>
/// <param name="Stiffness">Stiffness of the modes, measured against the car file.</param>
/// <param name="LateralTransfer">Lateral load transfer; null when not asked for.</param>
/// <param name="LowestFront">Lowest front ride height while the car ran; null when unknown.</param>
/// <param name="LowestRear">Lowest rear ride height.</param>
/// <param name="Notes">What is missing.</param>
public sealed record SummaryPlatformDetail(
    SummaryRubber? RubberFront, SummaryRubber? RubberRear, ImmutableArray<SummaryStiffness> Stiffness, SummaryTransfer? LateralTransfer,
    SummaryLowest? LowestFront, SummaryLowest? LowestRear, ImmutableArray<string> Notes)
{
    private const double MmPerM = 1000;

    internal static SummaryPlatformDetail Of(PlatformDetail detail) => new(
        Rubber(detail.Knee.Front), Rubber(detail.Knee.Rear),
        [.. detail.Stiffness.Select(mode => new SummaryStiffness(mode.Name, mode.Unit, SummaryFile.Estimate(mode.Measured), mode.CarFile is double stated ? Rounded(stated) : null, mode.Verdict))],
        detail.Transfer is { } transfer
            ? new(
                SummaryFile.Estimate(transfer.FrontPerMps2)!, SummaryFile.Estimate(transfer.RearPerMps2)!,
                SummaryFile.Estimate(transfer.FrontSharePct), SummaryFile.Estimate(transfer.RollStiffnessFrontPct), transfer.WithheldBecause)
            : null,
        Lowest(detail.Lowest.Front), Lowest(detail.Lowest.Rear), detail.Notes);

    private static SummaryRubber? Rubber(RubberKnee? knee) => knee is null ? null : new(
        SummaryFile.Estimate(knee.KneeM, MmPerM),
        knee.CarFileM is double gap ? Rounded(gap * MmPerM) : null,
        SummaryFile.Estimate(knee.LoadAtReferenceN),
        SummaryFile.Estimate(knee.ShareAtReferencePct),
        Rounded(knee.LargestTravelM * MmPerM),
        SummaryFile.Estimate(knee.LargestLoadN),
        knee.Verdict);

    private static SummaryLowest? Lowest(LowestHeight? lowest) => lowest is null ? null : new(
        SummaryFile.Estimate(lowest.HeightM, MmPerM)!, Rounded(lowest.TimeS), lowest.Lap, Rounded(lowest.DistanceM), Rounded(lowest.SpeedMps * KmhPerMps));
}

/// <summary>A bump rubber in the summary.</summary>
/// <param name="KneeMm">Mean damper travel at which it is met, mm from static; null when withheld.</param>
/// <param name="CarFileMm">The car file's gap, mm; null when it gives none.</param>
/// <param name="LoadAtReferenceN">What it takes at the reference speed, N at both wheels; null when withheld or not driven.</param>
/// <param name="ShareAtReferencePct">The same as a share of the axle's wheel load, %.</param>
/// <param name="LargestTravelMm">Largest mean damper travel over 0.1 s, mm.</param>
/// <param name="LargestLoadN">What it takes there, N at both wheels; null when withheld.</param>
/// <param name="Verdict">Knee against the car file, or why it is withheld.</param>
public sealed record SummaryRubber(
    SummaryEstimate? KneeMm, double? CarFileMm, SummaryEstimate? LoadAtReferenceN, SummaryEstimate? ShareAtReferencePct, double? LargestTravelMm, SummaryEstimate? LargestLoadN, string Verdict);

/// <summary>Stiffness of a mode in the summary.</summary>
/// <param name="Mode">Name of the mode.</param>
/// <param name="Unit">N/m or N m/rad.</param>
/// <param name="Measured">From load against displacement, tyres not included; null when withheld.</param>
/// <param name="CarFile">By the car file; null when it gives too little.</param>
/// <param name="Verdict">How the two agree, or why it is withheld.</param>
public sealed record SummaryStiffness(string Mode, string Unit, SummaryEstimate? Measured, double? CarFile, string Verdict);

/// <summary>Lateral load transfer in the summary.</summary>
/// <param name="FrontNPerMps2">What the front pushrods carry, N for each m/s2.</param>
/// <param name="RearNPerMps2">The same at the rear.</param>
/// <param name="FrontSharePct">Front share of the whole transfer at the tyres, %; null without the geometric parts.</param>
/// <param name="RollStiffnessFrontPct">Front share of the roll stiffness, %; null when withheld.</param>
/// <param name="WithheldBecause">What is missing, or null.</param>
public sealed record SummaryTransfer(SummaryEstimate FrontNPerMps2, SummaryEstimate RearNPerMps2, SummaryEstimate? FrontSharePct, SummaryEstimate? RollStiffnessFrontPct, string? WithheldBecause);

/// <summary>A lowest ride height in the summary.</summary>
/// <param name="HeightMm">Mean over 0.1 s, mm.</param>
/// <param name="TimeS">When, s.</param>
/// <param name="Lap">Lap.</param>
/// <param name="DistanceM">Distance along the lap, m; null when unknown.</param>
/// <param name="SpeedKmh">Speed there, km/h.</param>
public sealed record SummaryLowest(SummaryEstimate HeightMm, double? TimeS, int Lap, double? DistanceM, double? SpeedKmh);
