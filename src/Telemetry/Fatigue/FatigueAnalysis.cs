using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Fatigue;

/// <summary>Peaks, cycles, damage and verdict of every component of the car file (equations E9 to E11).</summary>
public static class FatigueAnalysis
{
    /// <summary>Counts and judges the loads of a run.</summary>
    /// <param name="wheels">Loads of the run, unfiltered and at the full rate.</param>
    /// <param name="before">What earlier runs did to the parts.</param>
    /// <param name="options">Choices that the car file does not make.</param>
    /// <returns>One entry a component, in the order of the car file. With low-passed loads nothing is counted and the reason given.</returns>
    /// <exception cref="ArgumentException">A component's S-N line cannot be used; the car file's check finds it first.</exception>
    public static FatigueResult From(WheelLoadSet wheels, DamageHistory before, FatigueOptions options)
    {
        ArgumentNullException.ThrowIfNull(wheels);
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(options);
        return From(wheels, before, options, () => options);
    }

    /// <summary>The same for a caller that learns only while loads are counted which load cells can be believed.</summary>
    /// <param name="wheels">As above.</param>
    /// <param name="before">As above.</param>
    /// <param name="options">What the loads are counted by.</param>
    /// <param name="judging">What the parts are judged by: the same but for <see cref="FatigueOptions.WithheldBecause"/> and <see cref="FatigueOptions.DoubtedBecause"/>. Asked for when a load is counted, from several threads.</param>
    internal static FatigueResult From(WheelLoadSet wheels, DamageHistory before, FatigueOptions options, Func<FatigueOptions> judging)
    {
        ImmutableArray<ComponentDefinition> components = wheels.Run.Car.Components;
        if (wheels.Pushrods.IsLowPassed)
        {
            const string Reason = "The pushrod loads were low-passed before they were recorded: peaks and cycles are cut off, so none are given. Log the cells unfiltered.";
            return new()
            {
                Components = [.. components.Select(component => NotCounted(component, before.Of(component.Id), Reason))],
                WithheldBecause = Reason,
            };
        }

        // Parts that see the same load with the same filter and history share one count.
        string[] keys = [.. components.Select(component => Key(component, before.Of(component.Id)))];
        string[] loads = [.. keys.GroupBy(key => key).OrderByDescending(parts => parts.Count()).Select(parts => parts.Key)];
        ComponentResult[] results = new ComponentResult[components.Length];
        Workers.Run(loads.Length, i =>
        {
            int[] parts = [.. Enumerable.Range(0, keys.Length).Where(part => keys[part] == loads[i])];
            ComponentDefinition first = components[parts[0]];
            using LoadCount count = LoadCount.Of(first.Load, first.Fatigue?.SmallestRangeN ?? 0, before.Of(first.Id).ResidueN, wheels, options);
            FatigueOptions judgedBy = judging();

            // Judged at once: the lists of the other counting methods are long, and only as many as there are workers are held.
            Workers.Run(parts.Length, k =>
            {
                ComponentDefinition component = components[parts[k]];
                results[parts[k]] = Judge(component, count, before.Of(component.Id), wheels.Run, judgedBy);
            });
        });
        return new() { Components = [.. results], WithheldBecause = null };
    }

    private static string Key(ComponentDefinition component, ComponentHistory before)
    {
        StringBuilder key = new();
        foreach (LoadTerm term in component.Load)
        {
            key.Append(CultureInfo.InvariantCulture, $"{term.Source} {term.Corner} {term.Factor:R};");
            foreach (RatioPoint point in term.Ratio?.Points ?? [])
            {
                key.Append(CultureInfo.InvariantCulture, $"{point.DamperTravelM:R} {point.Ratio:R},");
            }
        }

        key.Append(CultureInfo.InvariantCulture, $"{component.Fatigue?.SmallestRangeN ?? 0:R};");
        foreach (double point in before.ResidueN)
        {
            key.Append(CultureInfo.InvariantCulture, $"{point:R} ");
        }

        return key.ToString();
    }

    private static ComponentResult Judge(ComponentDefinition component, LoadCount count, ComponentHistory before, Run run, FatigueOptions options)
    {
        ComponentLoad load = count.Load;
        if (load.MissingBecause is { } missing)
        {
            return NotCounted(component, before, missing);
        }

        if (Why(component, options.WithheldBecause) is { } wrong)
        {
            return NotCounted(component, before, $"A load cell that its load rests on is wrong. {wrong}");
        }

        if (count.Peaks.HighestIndex < 0)
        {
            return NotCounted(component, before, "The load cells that this part needs gave no reading in the whole run.");
        }

        SampleSource samples = load.LoadN;
        bool hasZero = load.NoZeroBecause is null;
        double highest = samples[count.Peaks.HighestIndex];
        double lowest = samples[count.Peaks.LowestIndex];
        CycleDamage? model = component.Fatigue is { } fatigue ? new CycleDamage(fatigue) : null;
        ComponentDamage? damage = model is not null && (hasZero || !model.NeedsMean)
            ? ComponentDamage.Of(model, count, before, run.Laps, options.CoverageFactor)
            : null;

        double push = hasZero ? Math.Max(0, highest) : double.NaN;
        double pull = hasZero ? Math.Max(0, -lowest) : double.NaN;
        double pushDoubt = load.UncertaintyN(push);
        double pullDoubt = load.UncertaintyN(pull);
        ComponentResult result = new()
        {
            Component = component,
            PeakCompressionN = push,
            PeakTensionN = pull,
            PeakCompressionHiddenN = push > 0 ? LoadPeaks.HiddenN(samples, count.Peaks.HighestIndex) : double.NaN,
            PeakTensionHiddenN = pull > 0 ? LoadPeaks.HiddenN(samples, count.Peaks.LowestIndex) : double.NaN,
            PeakCompressionUncertaintyN = pushDoubt,
            PeakTensionUncertaintyN = pullDoubt,
            MarginLow95 = hasZero && !double.IsNaN(LimitMargin.Smallest(component, push, pull))
                ? LimitMargin.Smallest(component, push + (options.CoverageFactor * pushDoubt), pull + (options.CoverageFactor * pullDoubt))
                : double.NaN,
            PeakCompressionS = hasZero && highest > 0 ? run.Clock.At(count.Peaks.HighestIndex) : double.NaN,
            PeakTensionS = hasZero && lowest < 0 ? run.Clock.At(count.Peaks.LowestIndex) : double.NaN,
            PeakIsLowerBound = count.IsLowerBound,
            MarginOfSafety = hasZero ? LimitMargin.Smallest(component, push, pull) : double.NaN,
            Cycles = count.Result,
            ResidueN = count.ResidueN,
            DamageRun = damage?.Run,
            ResidueDamage = damage?.Residue,
            OwnClosedDamage = damage?.OwnClosed,
            OwnOpenPointsN = hasZero ? count.OwnOpenN : [],
            MissingShare = (double)count.Peaks.Missing / samples.Length,
            Spread = damage?.Spread,
            DamageByLap = damage?.ByLap ?? [],
            FilteredDamage = damage?.Filtered,
            DamageByCycle = damage?.ByCycle ?? [],
            DamageBefore = before.Damage,
            PastLimitBefore = before.PastLimit,
            EquivalentRangeN = component.Fatigue is { } line ? EquivalentLoad.Range(count.Result, line.Line.SlopeAbove, options.EquivalentCycles) : null,
            LifeUsedPct = damage is null ? null : 100 * (before.Damage + damage.Run) / component.Fatigue!.CriticalDamage,
            Verdict = ComponentVerdict.Unknown,
            Reasons = [],
        };
        return ComponentJudgement.Of(result, load.NoZeroBecause, Why(component, options.DoubtedBecause), IsSpike(samples, count.Peaks, run, highest, lowest), options);
    }

    /// <summary>The first reason among the corners that a part's load uses; null when there is none.</summary>
    private static string? Why(ComponentDefinition component, PerCorner<string?> because) =>
        component.Load.Select(term => because[term.Corner]).FirstOrDefault(reason => reason is not null);

    private static bool IsSpike(SampleSource samples, LoadPeaks peaks, Run run, double highest, double lowest) =>
        (highest > 0 && CellReading.IsLoneSpike(samples, peaks.HighestIndex, run.Clock.RateHz))
        || (lowest < 0 && CellReading.IsLoneSpike(samples, peaks.LowestIndex, run.Clock.RateHz));

    private static ComponentResult NotCounted(ComponentDefinition component, ComponentHistory before, string reason)
    {
        double? usedPct = component.Fatigue is { } fatigue && before.Damage > 0 ? 100 * before.Damage / fatigue.CriticalDamage : null;
        string? usedUp = usedPct >= 100 ? string.Create(CultureInfo.InvariantCulture, $"Its life was used up before this run ({usedPct:0.#} %): retire it.") : null;
        ImmutableArray<string> retire = [.. new[] { before.PastLimit, usedUp }.OfType<string>()];
        return new()
        {
            Component = component,
            PeakCompressionN = double.NaN,
            PeakTensionN = double.NaN,
            PeakCompressionS = double.NaN,
            PeakTensionS = double.NaN,
            PeakIsLowerBound = false,
            MarginOfSafety = double.NaN,
            Cycles = new([], [], [], [], []),
            ResidueN = before.ResidueN,
            DamageRun = null,
            Spread = null,
            DamageByLap = [],
            DamageBefore = before.Damage,
            PastLimitBefore = before.PastLimit,
            EquivalentRangeN = null,
            LifeUsedPct = null,
            MissingShare = 1,
            Verdict = retire.Length > 0 ? ComponentVerdict.Retire : ComponentVerdict.Unknown,
            Reasons = retire.Length > 0 ? [.. retire, reason] : [reason, "This run is not in its life: add it by hand if the part ran."],
            DecisiveReasons = Math.Max(1, retire.Length),
        };
    }
}
