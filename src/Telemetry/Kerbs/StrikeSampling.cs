using System.Collections.Immutable;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.Kerbs;

/// <summary>Whether the log was sampled fast enough for the strikes that it has (equation E8), and which rate would be.</summary>
internal static class StrikeSampling
{
    /// <summary>One finding for the run when any strike's peak is a lower bound for want of samples; none else.</summary>
    public static ImmutableArray<HealthFinding> Of(Run run, ReadOnlySpan<KerbStrike> strikes, KerbOptions options)
    {
        double shortest = double.PositiveInfinity;
        double worst = 0;
        int under = 0;
        int nearLimit = 0;
        foreach (KerbStrike strike in strikes)
        {
            shortest = Math.Min(shortest, strike.DurationS);
            worst = Math.Max(worst, strike.WorstUnderReadShare);
            under += strike.IsUnderRead ? 1 : 0;
            nearLimit += strike.IsUnderRead && UnderRead.CanPassLimit(strike.WorstUnderReadShare, strike.MarginOfSafety) ? 1 : 0;
        }

        if (under == 0)
        {
            return [];
        }

        string limit = nearLimit == 0 ? "" : FormattableString.Invariant($" {nearLimit} of them could be past a part's limit.");
        return
        [
            new HealthFinding(
                "log",
                "under_read",
                HealthVerdict.Doubtful,
                double.NaN,
                double.NaN,
                FormattableString.Invariant($"The shortest of {strikes.Length} kerb strikes lasts {1000 * shortest:0.#} ms; at {run.Clock.RateHz:0.#} Hz up to {100 * worst:0.#} % of a peak can fall between two samples. {under} peaks are lower bounds for it.{limit}"),
                "Peaks of these strikes, margins and the load cycles they make are lower bounds.",
                FormattableString.Invariant($"Log the load cells at {UnderRead.RateFor(shortest, options.UnderReadAdvised):0} Hz or more: a strike of {1000 * shortest:0.#} ms then loses at most {100 * options.UnderReadAdvised:0} % of its peak. Until then judge these parts as if the peaks were higher by the share in the table.")),
        ];
    }
}
