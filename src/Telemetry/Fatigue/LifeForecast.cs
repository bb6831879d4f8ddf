using System.Collections.Immutable;

namespace Telemetry.Fatigue;

/// <summary>How many laps and how much distance a part has left on circuits of the same kind, with a 95 % prediction interval.</summary>
/// <remarks>
/// It says what the counted damage of earlier runs leads to if later runs are like them. It does not know of another circuit, other kerbs, a crash or a repair,
/// and it takes the S-N line as true: the scatter of the part's own strength is in the load factor or the survival probability, not in this interval.
/// </remarks>
public sealed record LifeForecast
{
    /// <summary>Complete laps left; null when withheld.</summary>
    public required Estimate? LapsLeft { get; init; }

    /// <summary>Distance left, km, the ways out of the pits and back included; null when withheld or when a lap's length is not known.</summary>
    public required Estimate? DistanceLeftKm { get; init; }

    /// <summary>Why nothing is forecast, or null.</summary>
    public required string? WithheldBecause { get; init; }

    /// <summary>Miner sum that is left: critical minus so far, not below 0.</summary>
    public required double DamageLeft { get; init; }

    /// <summary>Mean damage of a complete lap, its share of the ways out and back included; NaN without a complete lap.</summary>
    public required double DamagePerLap { get; init; }

    /// <summary>Runs with a complete lap whose damage is known.</summary>
    public required int Runs { get; init; }

    /// <summary>Complete laps whose damage is known.</summary>
    public required int Laps { get; init; }

    /// <summary>Share of all damage that the costliest single lap did, 0 to 1; NaN without damage.</summary>
    public required double LargestLapShare { get; init; }

    /// <summary>The run of that lap; empty without damage.</summary>
    public required string LargestLapRunId { get; init; }

    /// <summary>Its place in that run, from 1; 0 without damage.</summary>
    public required int LargestLapNumber { get; init; }

    /// <summary>What a reader must know before using the numbers, as sentences.</summary>
    public required ImmutableArray<string> Cautions { get; init; }

    /// <summary>Forecasts.</summary>
    /// <param name="runs">Earlier runs of the part, or of parts like it, on circuits of the kind that is to come.</param>
    /// <param name="damageSoFar">Miner sum of the part's whole history, 0 or more.</param>
    /// <param name="criticalDamage">Miner sum at which its life is used up, above 0.</param>
    /// <param name="options">Choices; null for the defaults.</param>
    /// <returns>The forecast; withheld, with the reason, when there are too few laps or runs or no damage.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A damage is not a number or below 0, or the critical damage or the number of draws is not above 0.</exception>
    public static LifeForecast From(ImmutableArray<RunDamage> runs, double damageSoFar, double criticalDamage, ForecastOptions? options = null)
    {
        options ??= ForecastOptions.Default;
        ArgumentOutOfRangeException.ThrowIfLessThan(options.Draws, 1);
        if (!(damageSoFar >= 0) || !(criticalDamage > 0) || !double.IsFinite(damageSoFar + criticalDamage))
        {
            throw new ArgumentOutOfRangeException(nameof(damageSoFar), damageSoFar, $"The damage so far must be 0 or more, and the critical damage ({criticalDamage}) above 0.");
        }

        LapSample sample = LapSample.Of(runs.IsDefault ? [] : runs);
        double left = Math.Max(0, criticalDamage - damageSoFar);
        LifeForecast known = new()
        {
            LapsLeft = null,
            DistanceLeftKm = null,
            WithheldBecause = null,
            DamageLeft = left,
            DamagePerLap = sample.Laps > 0 ? sample.Damage / sample.Laps : double.NaN,
            Runs = sample.Runs.Length,
            Laps = sample.Laps,
            LargestLapShare = sample.Damage > 0 ? sample.LargestLap / sample.Damage : double.NaN,
            LargestLapRunId = sample.LargestLapRunId,
            LargestLapNumber = sample.LargestLapNumber,
            Cautions = [],
        };
        if (left == 0)
        {
            Estimate none = new(0, 0, 0);
            return known with { LapsLeft = none, DistanceLeftKm = none, Cautions = ["The life is used up: retire the part."] };
        }

        if (Why(sample, options) is { } reason)
        {
            return known with { WithheldBecause = reason };
        }

        (Estimate laps, Estimate? km) = LifeBootstrap.Draw(sample, left, options);
        return known with { LapsLeft = laps, DistanceLeftKm = km, Cautions = Warn(sample, known.LargestLapShare, laps, options) };
    }

    private static string? Why(LapSample sample, ForecastOptions options) =>
        sample.Laps < options.FewestLaps
            ? Say($"There are {sample.Laps} complete laps with a known damage; a forecast needs {options.FewestLaps}. Run more laps, or judge by hand from the damage of the last run.")
            : sample.Runs.Length < options.FewestRuns
                ? Say($"The laps come from {sample.Runs.Length} run(s); a forecast needs {options.FewestRuns}, because laps of one run are alike and do not tell how runs differ. Analyse more runs into the ledger, or judge by hand from the damage of the last run.")
                : sample.Damage <= 0
                    ? "No lap did any damage, so there is nothing to forecast from: every range stayed below the cut-off. Look at the peaks instead."
                    : null;

    private static ImmutableArray<string> Warn(LapSample sample, double largestShare, Estimate laps, ForecastOptions options)
    {
        List<string> cautions = [];
        if (largestShare > options.HeavyLapShare)
        {
            cautions.Add(Say($"One lap (number {sample.LargestLapNumber} of {sample.LargestLapRunId}) did {100 * largestShare:0} % of all damage. Strikes as rare as that are poorly known: the interval is too narrow if the next one is worse, so plan by its low end."));
        }

        if (laps.High95 > 10 * laps.Low95)
        {
            cautions.Add(Say($"The interval spans a factor of {laps.High95 / Math.Max(laps.Low95, 1e-9):0}: too few runs, or runs that differ too much, to plan by. Use its low end."));
        }

        if (laps.High95 > 20 * sample.Laps)
        {
            cautions.Add("The forecast reaches more than twenty times further than the laps it rests on.");
        }

        return [.. cautions];
    }

    private static string Say(FormattableString text) => FormattableString.Invariant(text);
}
