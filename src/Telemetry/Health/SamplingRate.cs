using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>Whether the load cells are logged fast enough for the shortest kerb strike (equation E8).</summary>
/// <remarks>
/// A half sine of length T sampled every dt can lose 1 - cos(pi dt / (2 T)) of its peak, when the peak falls half way between two samples.
/// The strikes that the run really has say more, and later: the kerb stage speaks of them. This speaks of the shortest strike there can be.
/// </remarks>
internal static class SamplingRate
{
    public static IEnumerable<HealthFinding> Find(Run run, HealthOptions options)
    {
        double rate = run.Clock.RateHz;
        if (rate >= options.StrikeRateHz)
        {
            return [];
        }

        double lost = UnderRead.Worst(run.Clock.StepS, options.ShortestStrikeS);
        return
        [
            new HealthFinding(
                "log",
                "slow_logging",
                HealthVerdict.Doubtful,
                double.NaN,
                double.NaN,
                FormattableString.Invariant($"The load cells are logged at {rate:0.#} Hz; a kerb strike lasts {1000 * options.ShortestStrikeS:0} to 40 ms, and of the shortest up to {100 * lost:0} % of the peak can fall between two samples."),
                "Peaks of kerb strikes and the cycles they make are lower bounds.",
                FormattableString.Invariant($"Log the load cells at {UnderRead.RateFor(options.ShortestStrikeS, options.LostShare):0} Hz or more, which loses at most {100 * options.LostShare:0} % of a strike of {1000 * options.ShortestStrikeS:0} ms; {options.StrikeRateHz:0} Hz is the least.")),
        ];
    }
}
