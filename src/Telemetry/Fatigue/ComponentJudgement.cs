using Telemetry.Car;
using Telemetry.Kerbs;

namespace Telemetry.Fatigue;

/// <summary>Turns a part's numbers into what a person is told: a verdict and the reasons for it, most urgent first.</summary>
/// <remarks>
/// Retire: a limit exceeded, in this run or in an earlier one without an inspection since, or the life used up. Inspect: past the inspection threshold, a cell at its range limit (the load went further than it shows),
/// life used up within the uncertainty, or less life left than a run like this one costs. Unknown: the load or its zero is not known, too much of it is missing,
/// or the designer gave no limit. Run: none of these. The limit factor goes on the load before the inspection threshold too.
/// </remarks>
internal static class ComponentJudgement
{
    /// <summary>Judges a result that holds all its numbers.</summary>
    /// <param name="result">The numbers.</param>
    /// <param name="noZeroBecause">Why the load has no zero, or null.</param>
    /// <param name="doubtedBecause">Why a load cell under it cannot be relied on, or null.</param>
    /// <param name="isLoneSpike">True when a peak is a single sample.</param>
    /// <param name="options">Choices.</param>
    public static ComponentResult Of(ComponentResult result, string? noZeroBecause, string? doubtedBecause, bool isLoneSpike, FatigueOptions options)
    {
        List<(ComponentVerdict Verdict, string Sentence)> findings = [];
        if (result.PastLimitBefore is { } past)
        {
            findings.Add((ComponentVerdict.Retire, past));
        }

        JudgePeaks(result, noZeroBecause, isLoneSpike, options, findings);
        JudgeLife(result, noZeroBecause, findings);
        if (result.MissingShare > options.LargestMissingShare)
        {
            findings.Add((ComponentVerdict.Unknown, Say($"Its load is missing for {100 * result.MissingShare:0.#} % of the run; what happened there is not counted.")));
        }

        if (doubtedBecause is not null)
        {
            findings.Add((ComponentVerdict.Unknown, $"A load cell that its load rests on cannot be relied on. {doubtedBecause}"));
        }

        ComponentVerdict verdict = ComponentVerdict.Run;
        foreach (ComponentVerdict worse in (ComponentVerdict[])[ComponentVerdict.Unknown, ComponentVerdict.Inspect, ComponentVerdict.Retire])
        {
            if (findings.Exists(finding => finding.Verdict == worse))
            {
                verdict = worse;
            }
        }

        return result with
        {
            Verdict = verdict,
            Reasons = [.. findings.OrderBy(finding => Rank(finding.Verdict)).Select(finding => finding.Sentence)],
            DecisiveReasons = findings.Count(finding => finding.Verdict == verdict),
        };
    }

    private static void JudgePeaks(ComponentResult result, string? noZeroBecause, bool isLoneSpike, FatigueOptions options, List<(ComponentVerdict, string)> findings)
    {
        ComponentDefinition part = result.Component;
        if (noZeroBecause is not null)
        {
            findings.Add((ComponentVerdict.Unknown, $"Its peaks cannot be compared with limits, because the zero is not known: {noZeroBecause}"));
            return;
        }

        JudgeDirection("compression", result.PeakCompressionN, result.PeakCompressionS, part.CompressionLimitN, part, findings);
        JudgeDirection("tension", result.PeakTensionN, result.PeakTensionS, part.TensionLimitN, part, findings);
        double largest = Math.Max(result.PeakCompressionN, result.PeakTensionN);
        if (part.InspectionThresholdN is { } threshold && part.LimitFactor * largest > threshold)
        {
            findings.Add((ComponentVerdict.Inspect, Say($"Its load reached {KiloNewton(largest)}{WithFactor(part, largest)}, past the inspection threshold of {KiloNewton(threshold)}.")));
        }

        if (part.CompressionLimitN is null && part.TensionLimitN is null)
        {
            findings.Add((ComponentVerdict.Unknown, "The designer gave no limit, so its peaks cannot be judged."));
        }

        if (result.MarginOfSafety >= 0 && result.MarginLow95 < 0)
        {
            double doubt = Math.Max(result.PeakCompressionUncertaintyN, result.PeakTensionUncertaintyN);
            findings.Add((ComponentVerdict.Inspect, Say($"Its peak stays under the limit, but not by more than the load cells' zero and gain may be wrong ({KiloNewton(options.CoverageFactor * doubt)} at 95 %): with that it is past it (margin {result.MarginLow95:+0.00;-0.00}).")));
        }

        double withHidden = LimitMargin.Smallest(part, Known(result.PeakCompressionN, result.PeakCompressionHiddenN), Known(result.PeakTensionN, result.PeakTensionHiddenN));
        if (result.MarginOfSafety >= 0 && withHidden < 0 && !(result.MarginLow95 < 0))
        {
            findings.Add((ComponentVerdict.Inspect, Say($"Its peak stays under the limit, but up to {Math.Max(Known(0, result.PeakCompressionHiddenN), Known(0, result.PeakTensionHiddenN)):0} N of it can lie between two samples, and with that it is past it (margin {withHidden:+0.00;-0.00}): inspect the part, and log the cells faster.")));
        }

        if (result.PeakIsLowerBound)
        {
            findings.Add((ComponentVerdict.Inspect, "A load cell stood at the end of its range, so the real load was larger than the log shows: inspect the part, and fit a cell with more range."));
        }

        if (isLoneSpike)
        {
            findings.Add((ComponentVerdict.Run, "Its peak is a single sample far from its neighbours, more like a spike in the wiring than a load. It is counted as it stands; check the cell before you believe it."));
        }
    }

    private static void JudgeDirection(string direction, double peakN, double timeS, double? limitN, ComponentDefinition part, List<(ComponentVerdict, string)> findings)
    {
        double margin = LimitMargin.Of(limitN, part.LimitFactor, peakN);
        if (limitN is { } limit && margin < 0)
        {
            findings.Add((ComponentVerdict.Retire, Say($"{KiloNewton(peakN)} of {direction} at {timeS:0.00} s{WithFactor(part, peakN)} is past the limit of {KiloNewton(limit)} (margin {margin:+0.00;-0.00}).")));
        }
        else if (limitN is { } held && peakN > 0)
        {
            findings.Add((ComponentVerdict.Run, Say($"{KiloNewton(peakN)} of {direction}{WithFactor(part, peakN)} stays under the limit of {KiloNewton(held)} (margin {margin:+0.00;-0.00}).")));
        }
        else if (peakN > 0 && (part.CompressionLimitN is not null || part.TensionLimitN is not null))
        {
            findings.Add((ComponentVerdict.Run, Say($"It saw {KiloNewton(peakN)} in {direction}, for which the designer gave no limit.")));
        }
    }

    private static void JudgeLife(ComponentResult result, string? noZeroBecause, List<(ComponentVerdict, string)> findings)
    {
        if (result.Component.Fatigue is not { } fatigue)
        {
            return;
        }

        if (result.DamageRun is not { } run || result.Spread is not { } spread)
        {
            double beforePct = 100 * result.DamageBefore / fatigue.CriticalDamage;
            findings.Add((ComponentVerdict.Unknown, $"The damage of this run is not known, because its mean-stress rule needs a zero: {noZeroBecause}"));
            if (beforePct >= 100)
            {
                findings.Add((ComponentVerdict.Retire, Say($"Its life was used up before this run ({beforePct:0.#} %): retire it.")));
            }

            return;
        }

        double used = result.DamageBefore + run;
        double left = fatigue.CriticalDamage - used;
        double usedPct = 100 * used / fatigue.CriticalDamage;
        double highRun = Math.Max(spread.ByLoadHigh95, spread.ByMethodHigh);
        if (left <= 0)
        {
            findings.Add((ComponentVerdict.Retire, Say($"Its life is used up ({usedPct:0.#} %): retire it.")));
        }
        else if (result.DamageBefore + highRun >= fatigue.CriticalDamage)
        {
            findings.Add((ComponentVerdict.Inspect, Say($"{usedPct:0.#} % of its life is used, and within the uncertainty all of it: inspect it and plan its retirement.")));
        }
        else if (left < run)
        {
            findings.Add((ComponentVerdict.Inspect, Say($"{usedPct:0.#} % of its life is used, and another run like this costs more than what is left: inspect it and plan its retirement.")));
        }
        else
        {
            double runs = Math.Floor(left / Math.Max(highRun, double.Epsilon));
            string more = runs > 1000 ? "more than 1000 runs like this one are left" : Say($"at least {runs:0} more runs like this one are left");
            findings.Add((ComponentVerdict.Run, Say($"{usedPct:0.##} % of its life is used; by this estimate {more}.")));
        }
    }

    private static double Known(double peakN, double hiddenN) => double.IsFinite(hiddenN) ? peakN + hiddenN : peakN;

    private static int Rank(ComponentVerdict verdict) => verdict switch
    {
        ComponentVerdict.Retire => 0,
        ComponentVerdict.Inspect => 1,
        ComponentVerdict.Unknown => 2,
        _ => 3,
    };

    private static string WithFactor(ComponentDefinition part, double loadN) =>
        part.LimitFactor == 1 ? "" : Say($" ({KiloNewton(part.LimitFactor * loadN)} with the factor {part.LimitFactor:0.##})");

    private static string KiloNewton(double newton) => Say($"{newton / 1000:0.00} kN");

    private static string Say(FormattableString text) => FormattableString.Invariant(text);
}
