using System.Collections.Immutable;
using MathNet.Numerics.Distributions;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;

namespace Telemetry.Review;

/// <summary>After a run: what to look at, in which order, and why.</summary>
/// <remarks>What is done about it, and how, is for the licensed practice of the team and the part's designer; the list only says where the log gives cause.</remarks>
public static class InspectionList
{
    /// <summary>From this share of its life on a part is on the list, %.</summary>
    private const double LifePct = 80;

    /// <summary>A strike or peak with at least this probability of being past a level is on the list: one in twenty, the level of the intervals.</summary>
    private const double LeastProbability = 0.05;

    /// <summary>Largest chance of a false alarm of one comparison with the history: four corners make 0.4 % a run.</summary>
    private const double DriftFalseAlarm = 0.001;

    /// <summary>Largest chance of a false alarm of one comparison of left and right: two axles make 0.4 % a run.</summary>
    private const double AsymmetryFalseAlarm = 0.002;

    /// <summary>
    /// Difference of left and right that a sound car shows on a circuit that turns more one way: its mean travel moves the ratio and the tyres a little. 12 %: the
    /// sample cars' ratios change by 10 % over their whole travel.
    /// </summary>
    private const double AsymmetryMatters = 0.12;

    /// <summary>The list of a run.</summary>
    /// <param name="review">The run.</param>
    /// <param name="history">Readings of earlier runs of the same parts; <see cref="PartHistory.Empty"/> when none are kept.</param>
    /// <returns>The most urgent first; empty when the log gives no cause.</returns>
    public static ImmutableArray<InspectionItem> From(RunReview review, PartHistory history)
    {
        ArgumentNullException.ThrowIfNull(review);
        ArgumentNullException.ThrowIfNull(history);
        List<InspectionItem> items = [];
        foreach (ComponentResult part in review.Fatigue.Components)
        {
            AddPart(items, part, review.Kerbs);
        }

        AddDrift(items, review, history);
        AddAsymmetry(items, review);
        foreach (HealthFinding finding in review.Health.Findings.Where(finding => finding.Severity == HealthVerdict.Unusable))
        {
            items.Add(new(0, InspectionReason.NotJudged, finding.Channel, finding.Remedy, $"{finding.Message} {finding.Consequence}", double.NaN));
        }

        InspectionItem[] sorted = [.. items.OrderBy(item => item.Reason).ThenByDescending(item => double.IsNaN(item.Probability) ? -1 : item.Probability)];
        return [.. sorted.Select((item, i) => item with { Rank = i + 1 })];
    }

    /// <summary>Why compliance is not compared, or null.</summary>
    /// <param name="review">The run.</param>
    /// <param name="history">Earlier readings.</param>
    public static string? NoDriftBecause(RunReview review, PartHistory history)
    {
        ArgumentNullException.ThrowIfNull(review);
        ArgumentNullException.ThrowIfNull(history);
        RunReading[] slopes = [.. review.Readings.Where(reading => reading.Name == RunReadings.LoadPerTravel)];
        return slopes.Length == 0 ? "The run is too short, or the log has no damper travel: load against travel is not known."
            : slopes.Any(slope => history.Of(slope.Name, slope.Subject).Count() >= ReadingDrift.FewestRuns) ? null
            : $"No corner has {ReadingDrift.FewestRuns} earlier runs in the history: a change of load against travel cannot be seen yet.";
    }

    private static void AddPart(List<InspectionItem> items, ComponentResult part, KerbResult kerbs)
    {
        string id = part.Component.Id;
        string look = $"Look at {id} ({part.Component.Description})";
        string because = string.Join(" ", part.Reasons.Take(Math.Max(1, part.DecisiveReasons)));
        double limit = LimitProbability(part);
        double inspection = ThresholdProbability(part);
        if (part.MarginOfSafety < 0 || limit >= LeastProbability)
        {
            string strike = Strike(kerbs, part);
            items.Add(new(0, InspectionReason.LimitExceeded, id, $"{look} before the car runs, and retire it unless its designer clears it.", Sentence($"A limit was passed with probability {Percent(limit)}. {because}{strike}"), limit));
        }
        else if (inspection >= LeastProbability)
        {
            items.Add(new(0, InspectionReason.ThresholdReached, id, $"{look} as its inspection sheet says.", Sentence($"The inspection threshold was reached with probability {Percent(inspection)}. {because}"), inspection));
        }
        else if (part.PeakIsLowerBound)
        {
            items.Add(new(0, InspectionReason.ThresholdReached, id, $"{look}: how far its load went is not known.", because, double.NaN));
        }

        if (part.LifeUsedPct >= LifePct)
        {
            items.Add(new(0, InspectionReason.LifeUsed, id, part.LifeUsedPct >= 100 ? $"Take {id} off the car: its counted life is used up." : $"{look} for cracks, and plan its replacement.", Sentence($"{part.LifeUsedPct:0.#} % of its life is used."), double.NaN));
        }

        if (part.Verdict == ComponentVerdict.Unknown)
        {
            items.Add(new(0, InspectionReason.NotJudged, id, $"{look} by other means: the log does not judge it.", because, double.NaN));
        }
    }

    private static string Strike(KerbResult kerbs, ComponentResult part)
    {
        KerbStrike? worst = kerbs.Strikes.Where(strike => strike.WorstComponent == part.Component.Id && strike.ExceedsLimit).MinBy(strike => strike.MarginOfSafety);
        return worst is null ? "" : Sentence($" The hardest was kerb strike {worst.Number} on lap {worst.Lap} at {worst.DistanceM:0} m and {3.6 * worst.SpeedMps:0} km/h.");
    }

    /// <summary>Probability that the larger true peak was past the limit: normal about the peak with half of what sampling can hide added, zero and gain as its spread.</summary>
    private static double LimitProbability(ComponentResult part) => Math.Max(
        Past(part.PeakCompressionN, part.PeakCompressionHiddenN, part.PeakCompressionUncertaintyN, part.Component.CompressionLimitN, part.Component.LimitFactor),
        Past(part.PeakTensionN, part.PeakTensionHiddenN, part.PeakTensionUncertaintyN, part.Component.TensionLimitN, part.Component.LimitFactor));

    private static double ThresholdProbability(ComponentResult part) => Math.Max(
        Past(part.PeakCompressionN, part.PeakCompressionHiddenN, part.PeakCompressionUncertaintyN, part.Component.InspectionThresholdN, part.Component.LimitFactor),
        Past(part.PeakTensionN, part.PeakTensionHiddenN, part.PeakTensionUncertaintyN, part.Component.InspectionThresholdN, part.Component.LimitFactor));

    private static double Past(double peakN, double hiddenN, double doubtN, double? levelN, double factor)
    {
        if (levelN is not { } level || !double.IsFinite(peakN))
        {
            return 0;
        }

        double hidden = double.IsFinite(hiddenN) ? hiddenN : 0;
        double spread = double.Hypot(double.IsFinite(doubtN) ? doubtN : 0, StrikeMeasure.UnderReadDeviation * hidden);
        double estimate = peakN + (StrikeMeasure.UnderReadMean * hidden);
        return spread > 0 ? Normal.CDF(0, 1, (estimate - (level / factor)) / spread) : factor * estimate > level ? 1 : 0;
    }

    private static void AddDrift(List<InspectionItem> items, RunReview review, PartHistory history)
    {
        foreach (RunReading now in review.Readings.Where(reading => reading.Name == RunReadings.LoadPerTravel))
        {
            if (ReadingDrift.Of(now, [.. history.Of(now.Name, now.Subject)]) is { } drift && drift.FalseAlarm < DriftFalseAlarm)
            {
                items.Add(new(
                    0,
                    InspectionReason.ComplianceDrift,
                    now.Subject,
                    $"Look at the joints, rocker, bar and springs of {now.Subject}, unless the setup was changed.",
                    Sentence($"Its load against travel is {now.Value / 1e6:0.0000} ± {now.StandardUncertainty / 1e6:0.0000} kN/mm (standard uncertainty), {100 * drift.Change:+0.0;-0.0} % from the mean of {drift.Runs} earlier runs (t = {drift.T:0.0}; by chance with probability {Chance(drift.FalseAlarm)})."),
                    1 - drift.FalseAlarm));
            }
        }
    }

    private static string Chance(double probability) => probability < 1e-5 ? "below 0.00001" : FormattableString.Invariant($"{probability:0.00000}");

    private static void AddAsymmetry(List<InspectionItem> items, RunReview review)
    {
        foreach (Axle axle in (Axle[])[Axle.Front, Axle.Rear])
        {
            (string left, string right) = axle == Axle.Front ? ("FL", "FR") : ("RL", "RR");
            if (Find(review, left) is not { } a || Find(review, right) is not { } b || !(a.Value > 0) || !(b.Value > 0))
            {
                continue;
            }

            double ratio = Math.Log(a.Value / b.Value);
            double doubt = double.Hypot(a.StandardUncertainty / a.Value, b.StandardUncertainty / b.Value);
            double beyond = Math.Abs(ratio) - Math.Log(1 + AsymmetryMatters);
            double falseAlarm = doubt > 0 ? StudentT.CDF(0, 1, RunReadings.Parts - 1, -beyond / doubt) : beyond > 0 ? 0 : 1;
            if (falseAlarm < AsymmetryFalseAlarm)
            {
                string name = axle == Axle.Front ? "front" : "rear";
                items.Add(new(
                    0,
                    InspectionReason.Asymmetry,
                    name,
                    $"Compare dampers, joints and tyre pressures of {left} and {right}.",
                    Sentence($"On the same road the load of {left} shakes by {a.Value:0} N and that of {right} by {b.Value:0} N, a ratio of {a.Value / b.Value:0.00} ± {doubt * a.Value / b.Value:0.00}: more than the turning of the circuit explains ({100 * AsymmetryMatters:0} %). Kerbs and slow loads are not in it."),
                    1 - falseAlarm));
            }
        }
    }

    private static RunReading? Find(RunReview review, string corner) =>
        review.Readings.FirstOrDefault(reading => reading.Name == RunReadings.RoadScatter && reading.Subject == corner);

    private static string Percent(double probability) => probability > 0.995 ? "above 99 %" : Sentence($"{100 * probability:0} %");

    private static string Sentence(FormattableString text) => FormattableString.Invariant(text);
}
