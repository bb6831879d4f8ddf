using Telemetry.Aero;

namespace Telemetry.Comparison;

/// <summary>The difference that the runs' own estimates give, without pairing and without a drift taken out: a check on the paired difference.</summary>
/// <remarks>
/// The runs count as independent, so the interval holds what both share (masses, ratios) and is wider than need be: a paired difference whose interval does not touch it rests on something that
/// the runs by themselves do not show, such as a drift read from wrong labels.
/// </remarks>
internal static class RunsAlone
{
    /// <summary>Mean of the runs of a setup less that of the baseline's; null when a run has no estimate.</summary>
    /// <param name="table">The runs and their setups.</param>
    /// <param name="setup">Number of the setup.</param>
    /// <param name="of">Picks the quantity, its own unit.</param>
    public static Estimate? Difference(PassTable table, int setup, Func<AeroAtSpeed, Estimate> of)
    {
        if (table.Runs.Any(run => run.Headline is null))
        {
            return null;
        }

        (double baseline, double halfOfBaseline) = Mean(0);
        (double other, double halfOfOther) = Mean(setup);
        double half = double.Hypot(halfOfBaseline, halfOfOther);
        return double.IsFinite(other - baseline + half) ? new(other - baseline, other - baseline - half, other - baseline + half) : null;

        (double Value, double Half) Mean(int number)
        {
            Estimate[] own = [.. table.Runs.Where((_, r) => table.Setup[r] == number).Select(run => of(run.Headline!))];
            return (own.Average(one => one.Value), Math.Sqrt(own.Sum(one => one.HalfWidth * one.HalfWidth)) / own.Length);
        }
    }
}
