using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Review;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>A verdict for the first screen.</summary>
/// <param name="Subject">What is judged.</param>
/// <param name="Verdict">The verdict in a few words.</param>
/// <param name="Detail">What it rests on.</param>
/// <param name="Tone">How it should strike.</param>
internal sealed record VerdictLine(string Subject, string Verdict, string Detail, Tone Tone);

/// <summary>The four verdicts that every first screen shows: log, parts, kerbs, aero.</summary>
internal static class VerdictLines
{
    public static ImmutableArray<VerdictLine> Of(RunReview review) =>
        [Log(review.Health), Parts(review.Fatigue), Kerbs(review), Aero(review.Aero)];

    private static VerdictLine Log(RunHealth health)
    {
        string count = Count(health.Findings.Length, "finding");
        return health.Verdict switch
        {
            HealthVerdict.Good => new("Log", "Good", health.Findings.IsEmpty ? "nothing found" : count, Tone.Good),
            HealthVerdict.Doubtful => new("Log", "Doubtful", count, Tone.Warning),
            _ => new("Log", "Unusable for loads", count, Tone.Alarm),
        };
    }

    private static VerdictLine Parts(FatigueResult fatigue)
    {
        int retire = fatigue.Components.Count(c => c.Verdict == ComponentVerdict.Retire);
        int inspect = fatigue.Components.Count(c => c.Verdict == ComponentVerdict.Inspect);
        int unknown = fatigue.Components.Count(c => c.Verdict == ComponentVerdict.Unknown);
        string of = $"of {fatigue.Components.Length} followed";
        return fatigue switch
        {
            { Components.IsEmpty: true, WithheldBecause: not null } => new("Parts", "Not judged", fatigue.WithheldBecause, Tone.Warning),
            { Components.IsEmpty: true } => new("Parts", "None followed", "the car file lists no components", Tone.Plain),
            _ when retire > 0 => new("Parts", $"{retire} to retire", inspect > 0 ? $"{of}; {inspect} to inspect" : of, Tone.Alarm),
            _ when inspect > 0 => new("Parts", $"{inspect} to inspect", of, Tone.Warning),
            _ when unknown > 0 => new("Parts", $"{unknown} not judged", of, Tone.Warning),
            _ => new("Parts", "No limit passed", of, Tone.Good),
        };
    }

    private static VerdictLine Kerbs(RunReview review)
    {
        if (review.Kerbs.WithheldBecause is string reason)
        {
            return new("Kerb strikes", "Not judged", reason, Tone.Warning);
        }

        int past = review.Kerbs.Strikes.Count(strike => strike.ExceedsLimit);
        string total = $"{Count(review.Kerbs.Strikes.Length, "strike")} on {Count(review.Kerbs.Kerbs.Length, "kerb")}";
        int open = review.Kerbs.Strikes.Count(strike => strike.NotJudgedBecause is not null);
        if (open > 0)
        {
            string rest = past > 0 ? $"{past} past a limit, " : "";
            return new("Kerb strikes", $"{rest}{open} not judged", $"{total}; a load cell is not to be relied on", past > 0 ? Tone.Alarm : Tone.Warning);
        }

        return past > 0
            ? new("Kerb strikes", $"{past} past a limit", total, Tone.Alarm)
            : new("Kerb strikes", "None past a limit", total, Tone.Good);
    }

    private static VerdictLine Aero(AeroResult aero) => aero.AtReference is AeroAtSpeed at
        ? new(
            $"Aero load at {Fixed(at.SpeedMps * KmhPerMps, 0)} km/h",
            $"{Fixed(at.TotalLoadN.Value / 1000, Decimals(at.TotalLoadN.HalfWidth / 1000))} kN",
            $"{Fixed(at.TotalLoadN.Low95 / 1000, Decimals(at.TotalLoadN.HalfWidth / 1000))} to {Fixed(at.TotalLoadN.High95 / 1000, Decimals(at.TotalLoadN.HalfWidth / 1000))} kN, {Interval(at.BalanceFrontPct)} % front",
            Tone.Plain)
        : new("Aero load", "Withheld", aero.WithheldBecause ?? "", Tone.Warning);
}
