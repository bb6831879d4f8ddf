using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Cleaning;
using Telemetry.Fatigue;
using Telemetry.Kerbs;
using Telemetry.Platform;
using Telemetry.Review;
using Telemetry.Zero;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>summary.json: every headline number of a review for other programs.</summary>
public static class SummaryFile
{
    /// <summary>Form of the file that this library writes.</summary>
    public const int FormatVersion = 1;

    private const int MostHypotheses = 5;

    /// <summary>The JSON Schema (draft 2020-12) that every summary fulfils, as text.</summary>
    public static string Schema => EmbeddedText.Read("summary.schema.json");

    /// <summary>The summary of a review.</summary>
    public static Summary From(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        Runs.Run run = review.Run;
        return new Summary
        {
            FormatVersion = FormatVersion,
            LibraryVersion = review.LibraryVersion,
            Run = new(
                run.Name,
                run.StartedAtUtc?.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture),
                run.Count == 0 ? null : Rounded(run.Clock.LastS - run.Clock.StartS),
                run.Count,
                Rounded(run.Clock.RateHz),
                run.Laps.Source),
            Car = CarBasis.Of(run.Car),
            Actions = [.. review.Actions.Select(action => new SummaryAction(
                action.Urgency == ActionUrgency.BeforeNextRun ? "before_next_run" : "soon",
                action.Subject, action.Instruction, action.Because))],
            Health = new(
                Word(review.Health.Verdict),
                [.. review.Health.Findings.Select(finding => new SummaryFinding(
                    finding.Channel, finding.Kind, Word(finding.Severity), Rounded(finding.StartS), Rounded(finding.EndS),
                    finding.Message, finding.Consequence, finding.Remedy))])
            {
                CrossChecks = [.. review.CrossChecks.Checks.Select(check => new SummaryCrossCheck(
                    check.Name, check.Unit, Rounded(check.Measured), Rounded(check.Expected), Rounded(check.StandardUncertainty), Rounded(check.Deviation)))],
                Hypotheses = [.. review.CrossChecks.Hypotheses.Take(MostHypotheses).Select(one => new SummaryHypothesis(
                    one.Statement, Rounded(one.LikelihoodGain / 2), one.FreeNumbers, Rounded(one.PValue)))],
                CrossChecksLeftOut = review.CrossChecks.LeftOut,
            },
            Cleaning = Cleaning(review),
            Zero = Zero(review.Wheels.Pushrods),
            Aero = Aero(review.Aero) with
            {
                Evidence = review.Aero.AtReference is null ? null : EvidenceInSummary.Of(Comparison.EvidenceOfRun.From(review)),
                RideHeightMap = HeightsInSummary.Of(review.HeightMap),
                BalanceByCondition = HeightsInSummary.Of(review.Balance),
            },
            Platform = Platform(review.Platform) with { Detail = review.Platform.Detail is { } detail ? SummaryPlatformDetail.Of(detail) : null },
            Kerbs = Kerbs(review.Kerbs),
            FatigueWithheldBecause = review.Fatigue.WithheldBecause,
            Components = [.. review.Fatigue.Components.Select(Component)],
            Laps = [.. run.Laps.Laps.Select(lap => new SummaryLap(
                lap.Number, Rounded(lap.StartS), Rounded(lap.DurationS), Rounded(lap.LengthM), lap.IsComplete))],
            Cautions = Output.Cautions.All,
        };
    }

    /// <summary>The summary as UTF-8 JSON, indented, one form for one content.</summary>
    public static byte[] ToJson(Summary summary)
    {
        ArgumentNullException.ThrowIfNull(summary);
        byte[] json = JsonSerializer.SerializeToUtf8Bytes(summary, SummaryJson.Default.Summary);
        return [.. json, (byte)'\n'];
    }

    /// <summary>Reads a summary back.</summary>
    /// <param name="path">Path of a summary.json.</param>
    /// <exception cref="InputError">The file is missing, is no summary, or has a newer form than this library knows.</exception>
    public static Summary Read(string path)
    {
        Summary? summary;
        try
        {
            summary = JsonSerializer.Deserialize(File.ReadAllBytes(path), SummaryJson.Default.Summary);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new InputError(path, "The file cannot be read.", "Give a result folder that 'pushrod analyse' wrote.");
        }
        catch (JsonException error)
        {
            string line = error.LineNumber is long number ? $", line {number + 1}" : "";
            throw new InputError(path + line, "This is no summary of a run.", "Analyse the log again.");
        }

        if (summary is null || summary.FormatVersion != FormatVersion)
        {
            throw new InputError(path, $"The summary has form {summary?.FormatVersion ?? 0}; this version reads form {FormatVersion}.", "Analyse the log again with this version.");
        }

        return summary;
    }

    /// <summary>The fixed word of an enumeration's value: snake case.</summary>
    internal static string Word<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.SnakeCaseLower.ConvertName(value.ToString());

    internal static SummaryEstimate? Estimate(Estimate? estimate, double scale = 1) => estimate is null ? null : Required(estimate, scale);

    private static SummaryEstimate Required(Estimate estimate, double scale = 1) =>
        new(Rounded(estimate.Value * scale), Rounded(estimate.Low95 * scale), Rounded(estimate.High95 * scale));

    private static SummaryCleaning Cleaning(RunReview review)
    {
        return new([.. review.Cleaning.Done.Select(Of)], [.. review.Cleaning.Left.Select(Of)], [.. review.RepairEffects.Select(effect => new SummaryRepairEffect(
            effect.ComponentId, effect.IsRepaired ? "repaired" : "as_logged", Part(effect.AsLogged), Part(effect.Repaired)))]);

        SummaryRepair Of(Repair repair) => new(
            repair.Channel, Word(repair.Fault), repair.Spans.Length, repair.Samples,
            Rounded(repair.Longest * review.Run.Clock.StepS), Rounded(review.Run.Clock.At(repair.Spans[0].First)));

        static SummaryRepairedPart Part(RepairedPart part) => new(
            part.DamageRun is double damage ? Rounded(damage) : null, Rounded(part.PeakCompressionN), Rounded(part.PeakTensionN), Word(part.Verdict));
    }

    private static SummaryZero Zero(ZeroedLoads loads) => new(
        loads.WithheldBecause,
        [.. loads.Zeros.Each().Select(zero => new SummaryCornerZero(
            zero.Corner.Code(), Word(zero.Value.Source), Rounded(zero.Value.StartN), Rounded(zero.Value.EndN),
            zero.Value.DriftN is double drift ? Rounded(drift) : null, Rounded(zero.Value.StandardUncertaintyN), zero.Value.FollowsTemperature)
        {
            DriftUncertaintyN = Optional(zero.Value.DriftUncertaintyN),
            ResidualScatterN = Optional(zero.Value.ResidualScatterN),
            BorrowedFrom = zero.Value.Borrowed?.Run,
            BorrowedAgeH = Optional(zero.Value.Borrowed?.AgeH),
            Gain = Optional(loads.Calibrations[zero.Corner]?.Gain),
            GainUncertainty = Rounded(loads.GainUncertainty(zero.Corner)),
            CalibratedOn = loads.Calibrations[zero.Corner]?.Date?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
        })]);

    private static SummaryAero Aero(AeroResult aero)
    {
        AeroAtSpeed? headline = aero.AtReference;
        return new SummaryAero
        {
            ReferenceSpeedKmh = Rounded(aero.ReferenceSpeedMps * KmhPerMps),
            WithheldBecause = aero.WithheldBecause,
            Front = new(Estimate(headline?.FrontLiftAreaM2), Estimate(headline?.FrontLoadN)),
            Rear = new(Estimate(headline?.RearLiftAreaM2), Estimate(headline?.RearLoadN)),
            Total = new(Estimate(headline?.TotalLiftAreaM2), Estimate(headline?.TotalLoadN)),
            BalanceFrontPct = Estimate(headline?.BalanceFrontPct),
            Passes = aero.Passes.Length,
            Air = new(Rounded(aero.Air.DensityKgM3), Rounded(aero.Air.StandardUncertaintyKgM3), aero.Air.Source, aero.Air.IsAssumed),
            Wind = new(Estimate(aero.Wind.SpeedMps), Estimate(aero.Wind.FromRad, DegPerRad), aero.Wind.HeadingIsTrue, aero.Wind.Statement),
            Budget = [.. aero.Budget.Select(part => new SummaryBudgetLine(
                part.Name, Rounded(part.FrontLoadN), Rounded(part.RearLoadN), Rounded(part.TotalLoadN), part.IsSystematic, part.Remark)
            {
                Input = part.Input,
                Evaluation = part.Evaluation,
                DegreesOfFreedom = Rounded(part.DegreesOfFreedom),
                FrontClaM2 = Rounded(part.FrontLiftAreaM2),
                RearClaM2 = Rounded(part.RearLiftAreaM2),
                TotalClaM2 = Rounded(part.TotalLiftAreaM2),
                BalanceFrontPct = Rounded(part.BalanceFrontPct),
            })],
            Curve = [.. aero.Curve.Select(at => new SummaryAeroAtSpeed(
                Rounded(at.SpeedMps * KmhPerMps),
                new(Required(at.FrontLiftAreaM2), Required(at.FrontLoadN)),
                new(Required(at.RearLiftAreaM2), Required(at.RearLoadN)),
                new(Required(at.TotalLiftAreaM2), Required(at.TotalLoadN)),
                Required(at.BalanceFrontPct)))],
            Notes = aero.Notes,
        };
    }

    private static SummaryPlatform Platform(PlatformResult platform) => new(
        platform.RideHeightSource,
        [.. platform.BySpeed.Select(at => new SummaryPlatformAtSpeed(
            Rounded(at.SpeedMps * KmhPerMps), Required(at.FrontRideHeightM, MmPerM), Required(at.RearRideHeightM, MmPerM), Required(at.RakeRad, DegPerRad), at.Passes))],
        Estimate(platform.RollMomentFrontPct),
        Third(platform.Third.Front),
        Third(platform.Third.Rear),
        platform.Notes);

    private static SummaryThird? Third(ThirdElementUse? use) => use is null ? null : new(
        Rounded(use.SpringEngagedShare * 100),
        use.RubberEngagedShare is double share ? Rounded(share * 100) : null,
        use.RubberEngagesAboveMps is double speed ? Rounded(speed * KmhPerMps) : null,
        Rounded(use.LargestForceN));

    private static SummaryKerbs Kerbs(KerbResult kerbs) => new(
        kerbs.WithheldBecause is null ? kerbs.Strikes.Length : null,
        kerbs.WithheldBecause is null ? kerbs.Strikes.Count(strike => strike.ExceedsLimit) : null,
        kerbs.WithheldBecause,
        [.. kerbs.Kerbs.Select(kerb => new SummaryKerb(
            kerb.Number, Rounded(kerb.DistanceM), kerb.IsLeft ? "left" : "right", kerb.Strikes, kerb.Laps,
            Rounded(kerb.WorstPeakLoadN), kerb.WorstCorner.Code(), kerb.Exceedances)
            {
                WorstPeakIsLowerBound = kerb.WorstIsLowerBound,
            })])
        {
            LowerBounds = kerbs.WithheldBecause is null ? kerbs.Strikes.Count(strike => strike.IsLowerBound) : null,
            NotJudged = kerbs.Strikes.Count(strike => strike.NotJudgedBecause is not null),
        };

    private static SummaryComponent Component(ComponentResult result) => new()
    {
        Id = result.Component.Id,
        Description = result.Component.Description,
        Corner = result.Component.Corner?.Code(),
        PeakCompressionN = Rounded(result.PeakCompressionN),
        PeakTensionN = Rounded(result.PeakTensionN),
        PeakIsLowerBound = result.PeakIsLowerBound,
        PeakCompressionUncertaintyN = Rounded(result.PeakCompressionUncertaintyN),
        PeakTensionUncertaintyN = Rounded(result.PeakTensionUncertaintyN),
        MarginLow95 = Rounded(result.MarginLow95),
        MarginOfSafety = Rounded(result.MarginOfSafety),
        DamageRun = Optional(result.DamageRun),
        DamageRunLow95 = Optional(result.Spread?.ByLoadLow95),
        DamageRunHigh95 = Optional(result.Spread?.ByLoadHigh95),
        DamageRunLowestMethod = Optional(result.Spread?.ByMethodLow),
        DamageRunHighestMethod = Optional(result.Spread?.ByMethodHigh),
        DamageBefore = Rounded(result.DamageBefore),
        EquivalentRangeN = Optional(result.EquivalentRangeN),
        LifeUsedPct = Optional(result.LifeUsedPct),
        Verdict = Word(result.Verdict),
        Reasons = result.Reasons,
    };

    private static double? Optional(double? value) => value is double known ? Rounded(known) : null;
}

/// <summary>Serializer code that is made when the library is built: no reflection at run time.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower,
    WriteIndented = true,
    NewLine = "\n",
    RespectNullableAnnotations = true,
    RespectRequiredConstructorParameters = true)]
[JsonSerializable(typeof(Summary))]
internal sealed partial class SummaryJson : JsonSerializerContext;
