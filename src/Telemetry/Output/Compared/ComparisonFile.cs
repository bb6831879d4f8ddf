using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;
using Telemetry.Comparison;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Compared;

/// <summary>comparison.json: a comparison for other programs. Units stand beside the numbers; what is not known is null.</summary>
public static class ComparisonFile
{
    /// <summary>Form of the file.</summary>
    public const int FormatVersion = 1;

    /// <summary>The comparison as UTF-8 JSON, indented, one form for one content.</summary>
    public static byte[] ToJson(ComparisonResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        KeptComparison kept = new(
            FormatVersion,
            Rounded(result.SpeedMps * KmhPerMps),
            ComparisonResult.DensityKgM3,
            result.WithheldBecause,
            result.DriftIsRemoved,
            [.. result.Runs.Select(run => new KeptRun(
                run.Order, run.Name, run.Setup, run.Laps, run.Passes,
                run.WindShift is { } shift ? new(Rounded(shift.NorthMps), Rounded(shift.EastMps), Rounded(shift.UncertaintyMps), Rounded(shift.Probability)) : null))],
            [.. result.Differences.Select(difference => new KeptDifference(
                difference.Setup, difference.Baseline, [.. difference.Quantities.Select(Quantity)], difference.Withheld))],
            result.Flags, result.SetDifferently, result.Method);
        return [.. JsonSerializer.SerializeToUtf8Bytes(kept, ComparisonJson.Default.KeptComparison), (byte)'\n'];
    }

    private static KeptQuantity Quantity(QuantityDifference q)
    {
        (string unit, double factor) = ComparedUnits.Of(q.Kind);
        return new(
            SummaryFile.Word(q.Kind), unit, Rounded(q.Baseline * factor),
            SummaryFile.Estimate(q.Difference, factor)!, SummaryFile.Estimate(q.Percent),
            Rounded(q.StandardUncertainty * factor), Rounded(q.DegreesOfFreedom), Rounded(q.ProbabilityOfSign), Rounded(q.ProbabilityThatItMatters),
            Rounded(q.PValue), Rounded(q.AdjustedPValue), q.IsReal, q.IsInDoubt, q.IsContradicted, SummaryFile.Estimate(q.ByRunsAlone, factor), SummaryFile.Estimate(q.DriftPerRun, factor), SummaryFile.Estimate(q.ByRideHeight, factor),
            Rounded(q.Power.Smallest80 * factor), Rounded(q.Power.Smallest90 * factor), Rounded(q.Power.Wanted * factor), Rounded(q.Power.PowerAtWanted), q.Power.MoreLaps, q.Power.MoreLapsRemark,
            [.. q.Budget.Select(line => new KeptLine(line.Name, Rounded(line.StandardUncertainty * factor), Rounded(line.Correlation), line.Remark))]);
    }
}

/// <summary>What comparison.json holds.</summary>
internal sealed record KeptComparison(
    int FormatVersion, double? SpeedKmh, double DensityKgM3, string? WithheldBecause, bool DriftIsRemoved, ImmutableArray<KeptRun> Runs,
    ImmutableArray<KeptDifference> Differences, ImmutableArray<string> Flags, ImmutableArray<string> SetDifferently, ImmutableArray<string> Method);

/// <summary>A run.</summary>
internal sealed record KeptRun(int Order, string Name, string Setup, int Laps, int Passes, KeptWindShift? WindShift);

/// <summary>Its wind against the first run's.</summary>
internal sealed record KeptWindShift(double? NorthMps, double? EastMps, double? UncertaintyMps, double? Probability);

/// <summary>A setup against the baseline.</summary>
internal sealed record KeptDifference(string Setup, string Baseline, ImmutableArray<KeptQuantity> Quantities, ImmutableArray<WithheldQuantity> Withheld);

/// <summary>A quantity.</summary>
internal sealed record KeptQuantity(
    string Quantity, string Unit, double? Baseline, SummaryEstimate Difference, SummaryEstimate? Percent, double? StandardUncertainty, double? DegreesOfFreedom,
    double? ProbabilityOfSign, double? ProbabilityThatItMatters, double? PValue, double? AdjustedPValue, bool IsReal, bool IsInDoubt, bool IsContradicted, SummaryEstimate? ByRunsAlone, SummaryEstimate? DriftPerRun, SummaryEstimate? ByRideHeight,
    double? SmallestFor80Pct, double? SmallestFor90Pct, double? Wanted, double? PowerAtWanted, int? MoreLaps, string MoreLapsRemark, ImmutableArray<KeptLine> Budget);

/// <summary>A line of the budget; the correlation is null for the scatter of passes.</summary>
internal sealed record KeptLine(string Name, double? StandardUncertainty, double? Correlation, string Remark);

/// <summary>Serializer code that is made when the library is built.</summary>
[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower, WriteIndented = true, NewLine = "\n")]
[JsonSerializable(typeof(KeptComparison))]
internal sealed partial class ComparisonJson : JsonSerializerContext;
