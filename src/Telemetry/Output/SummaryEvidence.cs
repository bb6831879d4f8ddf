using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Aero;
using Telemetry.Comparison;
using Telemetry.Health;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>What a later comparison needs of this run beside its headline: the passes one by one.</summary>
public sealed record SummaryEvidence
{
    /// <summary>Wall-clock time of the middle of the run, ISO 8601, or null.</summary>
    public required string? MiddleUtc { get; init; }

    /// <summary>Mean mass on the straights, kg.</summary>
    public required double? MassKg { get; init; }

    /// <summary>True when an air-speed channel gave the dynamic pressure.</summary>
    public required bool MeasuresAirSpeed { get; init; }

    /// <summary>True when sensors read the ride heights.</summary>
    public required bool MeasuresRideHeight { get; init; }

    /// <summary>Why no drag can be told, or null.</summary>
    public required string? NoDragBecause { get; init; }

    /// <summary>Doubts about the zeros.</summary>
    public required ImmutableArray<string> ZeroDoubts { get; init; }

    /// <summary>The passes near the reference speed, in time order.</summary>
    public required ImmutableArray<SummaryPass> Passes { get; init; }
}

/// <summary>One straight pass.</summary>
/// <param name="Number">Number, from 1.</param>
/// <param name="Lap">Lap.</param>
/// <param name="StartDistanceM">Distance along the lap at its start, m.</param>
/// <param name="HeadingDeg">Heading, degrees clockwise.</param>
/// <param name="FrontClaM2">Front load over dynamic pressure as driven through, m2.</param>
/// <param name="RearClaM2">The same at the rear, m2.</param>
/// <param name="FrontRideHeightM">Front ride height, m.</param>
/// <param name="RearRideHeightM">Rear ride height, m.</param>
/// <param name="ThrustAreaM2">Mass times longitudinal specific force over dynamic pressure at full throttle, m2.</param>
public sealed record SummaryPass(
    int Number, int Lap, double? StartDistanceM, double? HeadingDeg,
    SummaryPassMean? FrontClaM2, SummaryPassMean? RearClaM2, SummaryPassMean? FrontRideHeightM, SummaryPassMean? RearRideHeightM, SummaryPassMean? ThrustAreaM2);

/// <summary>Mean over a pass and how it moves with the squared speed inside it.</summary>
/// <param name="Value">Weighted mean.</param>
/// <param name="SpeedSquared">Weighted mean of the squared speed, m2/s2.</param>
/// <param name="SumXx">Sum of squares of the squared speed.</param>
/// <param name="SumXy">Sum of products.</param>
/// <param name="SumYy">Sum of squares of the quantity.</param>
/// <param name="Windows">Windows.</param>
public sealed record SummaryPassMean(double Value, double SpeedSquared, double SumXx, double SumXy, double SumYy, int Windows);

/// <summary>Evidence to and from the summary.</summary>
public static class EvidenceInSummary
{
    /// <summary>Three digits more than the headline: the sums of squares lose some when runs are put together.</summary>
    private const int Digits = 9;

    /// <summary>The evidence as the summary holds it.</summary>
    internal static SummaryEvidence Of(RunEvidence evidence) => new()
    {
        MiddleUtc = evidence.MiddleUtc?.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture),
        MassKg = Rounded(evidence.MassKg),
        MeasuresAirSpeed = evidence.MeasuresAirSpeed,
        MeasuresRideHeight = evidence.MeasuresRideHeight,
        NoDragBecause = evidence.NoDragBecause,
        ZeroDoubts = evidence.ZeroDoubts,
        Passes = [.. evidence.Passes.Select(pass => new SummaryPass(
            pass.Number, pass.Lap, Rounded(pass.StartDistanceM), Rounded(pass.HeadingRad * DegPerRad),
            Mean(pass.FrontLiftArea), Mean(pass.RearLiftArea), Mean(pass.FrontHeight), Mean(pass.RearHeight), Mean(pass.ThrustArea)))],
    };

    /// <summary>The evidence of a run that was analysed before; null for a result that predates it.</summary>
    public static RunEvidence? From(Summary summary)
    {
        ArgumentNullException.ThrowIfNull(summary);
        if (summary.Aero.Evidence is not { } kept)
        {
            return null;
        }

        SummaryAero aero = summary.Aero;
        return new RunEvidence
        {
            Name = summary.Run.Name,
            MiddleUtc = DateTimeOffset.TryParse(kept.MiddleUtc, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset middle) ? middle : null,
            Laps = summary.Laps.Length,
            Basis = [.. summary.Car.Basis.Select(field => new StatedField(field.Field, field.Value))],
            Setup = [.. summary.Car.Setup.Select(field => new StatedField(field.Field, field.Value))],
            Verdict = summary.Health.Verdict switch { "good" => HealthVerdict.Good, "doubtful" => HealthVerdict.Doubtful, _ => HealthVerdict.Unusable },
            Findings = summary.Health.Findings.Length,
            ZeroDoubts = kept.ZeroDoubts,
            WithheldBecause = aero.WithheldBecause,
            ReferenceSpeedMps = (aero.ReferenceSpeedKmh ?? double.NaN) / KmhPerMps,
            Headline = Headline(aero),
            Air = new(aero.Air.DensityKgM3 ?? double.NaN, aero.Air.StandardUncertaintyKgM3 ?? double.NaN, aero.Air.Source, aero.Air.IsAssumed),
            MeasuresAirSpeed = kept.MeasuresAirSpeed,
            HeadingIsTrue = aero.Wind.HeadingIsTrue,
            Passes = [.. kept.Passes.Select(pass => new PassEvidence(
                pass.Number, pass.Lap, pass.StartDistanceM ?? double.NaN, (pass.HeadingDeg ?? double.NaN) / DegPerRad,
                Mean(pass.FrontClaM2), Mean(pass.RearClaM2), Mean(pass.FrontRideHeightM), Mean(pass.RearRideHeightM), Mean(pass.ThrustAreaM2)))],
            Budget = [.. aero.Budget.Where(line => line.IsSystematic).Select(line => new EvidenceLine(line.Name, line.FrontLoadN ?? 0, line.RearLoadN ?? 0, line.TotalLoadN ?? 0))],
            MassKg = kept.MassKg ?? double.NaN,
            RideHeightSource = summary.Platform.RideHeightSource,
            MeasuresRideHeight = kept.MeasuresRideHeight,
            NoDragBecause = kept.NoDragBecause,
            Sensitivity = HeightsInSummary.Sensitivity(summary),
        };
    }

    private static AeroAtSpeed? Headline(SummaryAero aero) => aero.ReferenceSpeedKmh is double speed && aero.BalanceFrontPct is { } balance
        && aero.Front is { ClaM2: { } frontArea, LoadN: { } frontLoad } && aero.Rear is { ClaM2: { } rearArea, LoadN: { } rearLoad } && aero.Total is { ClaM2: { } totalArea, LoadN: { } totalLoad }
        ? new(speed / KmhPerMps, Of(frontLoad), Of(rearLoad), Of(totalLoad), Of(frontArea), Of(rearArea), Of(totalArea), Of(balance))
        : null;

    private static Estimate Of(SummaryEstimate estimate) => new(estimate.Value ?? double.NaN, estimate.Low95 ?? double.NaN, estimate.High95 ?? double.NaN);

    private static SummaryPassMean? Mean(PassMean mean) => !mean.IsKnown ? null : new(
        Rounded(mean.Value, Digits)!.Value, Rounded(mean.SpeedSquared, Digits)!.Value, Rounded(mean.SumXx, Digits)!.Value, Rounded(mean.SumXy, Digits)!.Value, Rounded(mean.SumYy, Digits)!.Value, mean.Windows);

    private static PassMean Mean(SummaryPassMean? mean) => mean is null ? PassMean.None : new(mean.Value, mean.SpeedSquared, mean.SumXx, mean.SumXy, mean.SumYy, mean.Windows);
}
