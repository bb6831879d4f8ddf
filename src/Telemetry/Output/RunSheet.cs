using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Platform;
using Telemetry.Review;
using Telemetry.Runs;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>A line of the run sheet.</summary>
/// <param name="Text">At most <see cref="RunSheet.Width"/> characters, no control characters.</param>
/// <param name="Tone">How it should strike.</param>
public sealed record SheetLine(string Text, Tone Tone)
{
    /// <summary>True where the line goes on with the paragraph of the line before: a narrower screen may break the paragraph anew.</summary>
    public bool Continues { get; init; }

    /// <summary>The cells of a row of a table, the first with the row's name; a heading's cells name the columns. Empty for text.</summary>
    /// <remarks><see cref="Text"/> holds the same words in columns; a screen too narrow for them may set the cells otherwise.</remarks>
    public ImmutableArray<string> Cells { get; init; } = [];
}

/// <summary>The run sheet: one screen of text that leads with what needs a person.</summary>
/// <remarks>
/// At most <see cref="Height"/> lines of <see cref="Width"/> characters, in this order: run, what needs a person, aero,
/// platform, kerbs, components, caution. Where there is more than fits, a line says how much and where it is written.
/// </remarks>
public static class RunSheet
{
    /// <summary>Characters a line: the least that a terminal has.</summary>
    public const int Width = 80;

    /// <summary>Lines: one screen of a terminal on a laptop.</summary>
    public const int Height = 40;

    private const int MostActions = 6;
    private const int MostKerbs = 3;
    private const int LeastComponents = 2;
    private const int MostFindings = 1;

    /// <summary>Lines that the things to do may take together.</summary>
    private const int ActionLines = 12;

    /// <summary>The sheet of a review.</summary>
    public static ImmutableArray<SheetLine> From(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        SheetLines lines = new();
        Head(review, lines);
        NeedsPerson(review, lines);
        Aero(review.Aero, lines);
        Platform(review.Platform, lines);
        Kerbs(review.Kerbs, lines);
        Components(review.Fatigue, lines);
        lines.Add("Estimates, not a clearance: limits come from the part's designer.", Tone.Muted);
        return lines.Done();
    }

    private static void Head(RunReview review, SheetLines lines)
    {
        double minutes = review.Run.Count == 0 ? double.NaN : (review.Run.Clock.LastS - review.Run.Clock.StartS) / 60;
        lines.Add($"{review.Run.Name}: {review.Run.Car.Name}", Tone.Heading);
        lines.Add($"{Fixed(minutes, 1)} min, {NumberText.Count(review.Run.Laps.Laps.Length, "lap")}, load cells at {Fixed(review.Run.Clock.RateHz, 0)} Hz", Tone.Muted);
    }

    private static void NeedsPerson(RunReview review, SheetLines lines)
    {
        VerdictLine log = VerdictLines.Of(review)[0];
        if (review.Actions.IsEmpty)
        {
            lines.Add("Nothing found that needs a person before the next run.", Tone.Good);
        }

        ActionItem[] shown = [.. review.Actions.Take(MostActions)];
        // Three lines hold the numbers of a reason; two do where there are many.
        int actionLines = 3 * shown.Length <= ActionLines ? 3 : 2;
        foreach (ActionItem action in shown)
        {
            bool now = action.Urgency == ActionUrgency.BeforeNextRun;
            lines.Wrapped(now ? "NOW  " : "soon ", (action.Instruction.Contains(action.Subject, StringComparison.Ordinal) ? "" : action.Subject + ": ") + $"{action.Instruction} {action.Because}", now ? Tone.Alarm : Tone.Warning, actionLines);
        }

        lines.More(review.Actions.Length - MostActions, "thing to do", "things to do");
        lines.Add($"Log: {log.Verdict.ToLowerInvariant()}, {log.Detail}", log.Tone);
        // Findings stand here only where no action already speaks of the channel.
        HealthFinding[] untold = [.. review.Health.Findings.Where(finding =>
            finding.Severity != HealthVerdict.Good && !review.Actions.Any(action => action.Subject.Contains(finding.Channel, StringComparison.Ordinal)))];
        foreach (HealthFinding finding in untold.Take(MostFindings))
        {
            lines.Add($"  {finding.Channel}: {finding.Message}", finding.Severity == HealthVerdict.Unusable ? Tone.Alarm : Tone.Warning);
        }

        lines.More(untold.Length - MostFindings, "finding", "findings");
        Repairs(review, lines);
    }

    /// <summary>Faulty samples of the load cells: how many, what was done with them, and what hangs on it. Nothing when there are none.</summary>
    private static void Repairs(RunReview review, SheetLines lines)
    {
        foreach (var fault in review.Cleaning.Done.Select(repair => (repair, IsDone: true)).Concat(review.Cleaning.Left.Select(repair => (repair, IsDone: false)))
            .Where(one => one.repair.IsLoad)
            .GroupBy(one => (one.repair.Fault, one.IsDone)))
        {
            int samples = fault.Sum(one => one.repair.Samples);
            string what = fault.Key.Fault == RepairedFault.Spike ? "spike" : "gap";
            string done = (fault.Key.Fault, fault.Key.IsDone) switch
            {
                (RepairedFault.Spike, true) => "removed",
                (_, true) => "bridged",
                (RepairedFault.Spike, false) => "kept as logged",
                _ => "left open",
            };
            lines.Wrapped("Load cells: ", $"{Counted(samples, what)} {done}{(fault.Key.Fault == RepairedFault.Spike ? Hangs(review) : "")}", Tone.Warning, 2);
        }

        static string Counted(int samples, string what) => $"{NumberText.Count(samples, "sample")} of {what}s";
    }

    /// <summary>The part whose damage hangs most on the faulty samples.</summary>
    private static string Hangs(RunReview review)
    {
        RepairEffect[] known = [.. review.RepairEffects.Where(effect => effect is { AsLogged.DamageRun: not null, Repaired.DamageRun: not null })];
        if (known.Length == 0)
        {
            return "; no damage hangs on them";
        }

        RepairEffect most = known.MaxBy(effect => Math.Abs(effect.AsLogged.DamageRun!.Value - effect.Repaired.DamageRun!.Value))!;
        return $"; damage of {most.ComponentId} {Small(most.AsLogged.DamageRun!.Value)} with, {Small(most.Repaired.DamageRun!.Value)} without";
    }

    private static void Aero(AeroResult aero, SheetLines lines)
    {
        if (aero.AtReference is not AeroAtSpeed at)
        {
            lines.Wrapped("Aero load: ", "withheld. " + aero.WithheldBecause, Tone.Warning, 2);
            return;
        }

        string title = "Aero at " + Fixed(at.SpeedMps * KmhPerMps, 0) + " km/h";
        lines.Row(string.Create(CultureInfo.InvariantCulture, $"{title,-19}{"load, kN (95 %)",-27}lift area, m2 (95 %)"), Tone.Heading, title, "load, kN (95 %)", "lift area, m2 (95 %)");
        AeroRow(lines, "front", at.FrontLoadN, at.FrontLiftAreaM2);
        AeroRow(lines, "rear", at.RearLoadN, at.RearLiftAreaM2);
        AeroRow(lines, "total", at.TotalLoadN, at.TotalLiftAreaM2);
        lines.Add($"  balance          {Interval(at.BalanceFrontPct)} % front; {NumberText.Count(aero.Passes.Length, "straight pass", "straight passes")}", Tone.Plain);
        lines.Wrapped("  ", aero.Wind.Statement, Tone.Muted, 2);
        if (aero.Air.IsAssumed)
        {
            lines.Add("  Air density assumed: " + aero.Air.Source, Tone.Warning);
        }
    }

    private static void AeroRow(SheetLines lines, string name, Estimate load, Estimate area) =>
        lines.Row(string.Create(CultureInfo.InvariantCulture, $"  {name,-17}{Interval(load, 0.001),-27}{Interval(area)}"), Tone.Plain, name, Interval(load, 0.001), Interval(area));

    private static void Platform(PlatformResult platform, SheetLines lines)
    {
        List<string> parts = [];
        if (platform.BySpeed.Length > 0)
        {
            PlatformAtSpeed at = platform.BySpeed[^1];
            parts.Add($"at {Fixed(at.SpeedMps * KmhPerMps, 0)} km/h front {Fixed(at.FrontRideHeightM.Value * MmPerM, 1)}, rear {Fixed(at.RearRideHeightM.Value * MmPerM, 1)} mm, rake {Fixed(at.RakeRad.Value * DegPerRad, 2)} deg");
        }

        if (platform.RollMomentFrontPct is Estimate roll)
        {
            parts.Add($"roll {Fixed(roll.Value, 1)} % front");
        }

        lines.Wrapped("Platform: ", parts.Count == 0 ? "no answer; the report says why" : string.Join("; ", parts), Tone.Plain, 2);
    }

    private static void Kerbs(KerbResult kerbs, SheetLines lines)
    {
        if (kerbs.WithheldBecause is string reason)
        {
            lines.Wrapped("Kerb strikes: ", "withheld. " + reason, Tone.Warning, 2);
            return;
        }

        int past = kerbs.Strikes.Count(strike => strike.ExceedsLimit);
        int open = kerbs.Strikes.Count(strike => strike.NotJudgedBecause is not null);
        int bounds = kerbs.Strikes.Count(strike => strike.IsLowerBound);
        lines.Wrapped(
            "",
            $"Kerb strikes: {kerbs.Strikes.Length} on {NumberText.Count(kerbs.Kerbs.Length, "kerb")}, {past} past a limit{(open > 0 ? $", {open} not judged because a load cell is not to be relied on" : "")}{(bounds > 0 ? $"; {bounds} peaks are lower bounds" : "")}",
            past > 0 ? Tone.Alarm : open > 0 || bounds > 0 ? Tone.Warning : Tone.Plain,
            2);
        foreach (Kerb kerb in kerbs.Kerbs.Take(MostKerbs))
        {
            string place = double.IsNaN(kerb.DistanceM) ? "" : $" at {Fixed(kerb.DistanceM, 0)} m";
            lines.Add(
                $"  kerb {kerb.Number}{place}, {(kerb.IsLeft ? "left" : "right")}: {NumberText.Count(kerb.Strikes, "strike")} on {NumberText.Count(kerb.Laps, "lap")}, worst {(kerb.WorstIsLowerBound ? ">" : "")}{Kn(kerb.WorstPeakLoadN)} kN at {kerb.WorstCorner.Code()}{(kerb.Exceedances > 0 ? $", {kerb.Exceedances} past" : "")}",
                kerb.Exceedances > 0 ? Tone.Alarm : Tone.Plain);
        }

        lines.More(kerbs.Kerbs.Length - MostKerbs, "kerb", "kerbs");
    }

    private static void Components(FatigueResult fatigue, SheetLines lines)
    {
        if (fatigue.WithheldBecause is string reason)
        {
            lines.Wrapped("Components: ", "withheld. " + reason, Tone.Warning, 2);
        }

        if (fatigue.Components.IsEmpty)
        {
            return;
        }

        AddRow(lines, Tone.Heading, "Components", "push kN", "pull kN", "margin", "damage", "life %", "verdict");
        // The ones that need a person first; within a verdict the order of the car file.
        ComponentResult[] ordered = [.. fatigue.Components.OrderBy(c => Rank(c.Verdict))];
        // What is left of the screen but for the line that says how many more there are and the caution.
        int most = Math.Max(LeastComponents, Height - lines.Count - 2);
        most = ordered.Length <= most + 1 ? ordered.Length : most;
        foreach (ComponentResult result in ordered.Take(most))
        {
            string bound = result.PeakIsLowerBound ? ">" : "";
            AddRow(
                lines,
                result.Verdict switch
                {
                    ComponentVerdict.Retire => Tone.Alarm,
                    ComponentVerdict.Inspect or ComponentVerdict.Unknown => Tone.Warning,
                    _ => Tone.Plain,
                },
                "  " + result.Component.Id,
                bound + Kn(result.PeakCompressionN),
                Kn(result.PeakTensionN),
                Margin(result.MarginOfSafety),
                result.DamageRun is double damage ? Small(damage) : Missing,
                result.LifeUsedPct is double life ? Life(life) : Missing,
                SummaryFile.Word(result.Verdict));
        }

        lines.More(ordered.Length - most, "component", "components");
    }

    private static void AddRow(SheetLines lines, Tone tone, string name, string push, string pull, string margin, string damage, string life, string verdict) => lines.Row(
        string.Create(CultureInfo.InvariantCulture, $"{SheetLines.Cut(name, 24),-24}{push,8}{pull,9}{margin,9}{damage,11}{life,9}  {verdict}"),
        tone, SheetLines.Cut(name, 24).Trim(), push, pull, margin, damage, life, verdict);

    // A part that hardly saw a load has a margin of thousands, which says no more than 'plenty'.
    private static string Margin(double margin) => margin > 99 ? ">99" : Fixed(margin, 2);

    private static string Life(double pct) => pct is > 0 and < 0.1 ? "<0.1" : Fixed(pct, 1);

    private static int Rank(ComponentVerdict verdict) => verdict switch
    {
        ComponentVerdict.Retire => 0,
        ComponentVerdict.Inspect => 1,
        ComponentVerdict.Unknown => 2,
        _ => 3,
    };
}
