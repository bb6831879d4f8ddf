using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Platform;

/// <summary>What the loads and travels of the run say of springs, bump rubbers and roll, beside what the car file says.</summary>
public sealed record PlatformDetail
{
    /// <summary>Where the bump rubber of each axle is met; null where the axle has no third element in the car file and no knee is sought.</summary>
    public required PerAxle<RubberKnee?> Knee { get; init; }

    /// <summary>Stiffness in each mode, in a fixed order; empty when nothing could be formed.</summary>
    public required ImmutableArray<ModeStiffness> Stiffness { get; init; }

    /// <summary>How lateral load transfer splits; null when it could not be formed.</summary>
    public required LateralTransfer? Transfer { get; init; }

    /// <summary>Lowest ride height of each axle; null where heights are not known.</summary>
    public required PerAxle<LowestHeight?> Lowest { get; init; }

    /// <summary>What is missing and why, as sentences.</summary>
    public required ImmutableArray<string> Notes { get; init; }
}

/// <summary>Where a bump rubber is met, found from load against heave travel.</summary>
/// <param name="KneeM">Mean damper travel of the two sides from static at which the axle becomes stiffer, m; null when withheld.</param>
/// <param name="CarFileM">The car file's gap, m; null when it gives none.</param>
/// <param name="LoadAtReferenceN">What the rubber takes at the reference speed on straights, N at both wheels together; null when withheld or not driven.</param>
/// <param name="ShareAtReferencePct">The same as a share of the axle's wheel load there, %.</param>
/// <param name="LargestTravelM">Largest mean damper travel over 0.1 s, m.</param>
/// <param name="LargestLoadN">What the rubber takes there, N at both wheels; null when withheld.</param>
/// <param name="Verdict">Knee against the car file, or why it is withheld, as one sentence.</param>
/// <param name="Curve">Travel and load of the picture, quasi-static means in order of travel; empty without travel.</param>
public sealed record RubberKnee(
    Estimate? KneeM,
    double? CarFileM,
    Estimate? LoadAtReferenceN,
    Estimate? ShareAtReferencePct,
    double LargestTravelM,
    Estimate? LargestLoadN,
    string Verdict,
    ImmutableArray<TravelLoad> Curve);

/// <summary>Means of the quasi-static blocks in a step of travel.</summary>
/// <param name="TravelM">Mean damper travel of the two sides from static, m.</param>
/// <param name="LoadN">Force of springs, third element and rubber at the dampers, both sides together, N.</param>
/// <param name="WithoutRubberN">What the fit has there without the rubber, N; NaN when the knee is withheld.</param>
/// <param name="Blocks">Number of blocks.</param>
public readonly record struct TravelLoad(double TravelM, double LoadN, double WithoutRubberN, int Blocks);

/// <summary>Stiffness in one mode from the run, against the car file.</summary>
/// <param name="Name">Mode in words.</param>
/// <param name="Unit">"N/m" or "N m/rad".</param>
/// <param name="Measured">From load against displacement, at the wheels, tyres not included; null when withheld.</param>
/// <param name="CarFile">The same over the same travels by springs, bars and third elements of the car file; null when it gives too little.</param>
/// <param name="Verdict">"agrees", "stiffer ..." or "softer ...", or why it is withheld.</param>
public sealed record ModeStiffness(string Name, string Unit, Estimate? Measured, double? CarFile, string Verdict);

/// <summary>How roll splits front to rear.</summary>
/// <param name="FrontPerMps2">Lateral load transfer that the front pushrods carry, N for each m/s2 of lateral specific force, from one wheel to the other.</param>
/// <param name="RearPerMps2">The same at the rear.</param>
/// <param name="FrontGeometricPerMps2">What goes through the front roll centre and the unsprung mass (equation E2), N per m/s2; null when the car file does not give it.</param>
/// <param name="RearGeometricPerMps2">The same at the rear.</param>
/// <param name="FrontSharePct">Front share of the whole transfer at the tyres, %; null without the geometric parts.</param>
/// <param name="RollStiffnessFrontPct">Front share of the roll stiffness at the wheels, %; null when withheld.</param>
/// <param name="WithheldBecause">What is missing and why, or null.</param>
public sealed record LateralTransfer(
    Estimate FrontPerMps2,
    Estimate RearPerMps2,
    double? FrontGeometricPerMps2,
    double? RearGeometricPerMps2,
    Estimate? FrontSharePct,
    Estimate? RollStiffnessFrontPct,
    string? WithheldBecause);

/// <summary>The lowest ride height of an axle while the car ran.</summary>
/// <param name="HeightM">Mean over 0.1 s, m.</param>
/// <param name="TimeS">When, s.</param>
/// <param name="Lap">Lap number.</param>
/// <param name="DistanceM">Distance along the lap, m; NaN when unknown.</param>
/// <param name="SpeedMps">Speed there, m/s.</param>
public sealed record LowestHeight(Estimate HeightM, double TimeS, int Lap, double DistanceM, double SpeedMps);
