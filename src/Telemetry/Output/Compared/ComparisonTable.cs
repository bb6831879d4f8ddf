using System.Collections.Immutable;
using Telemetry.Comparison;
using Telemetry.Output.Tables;
using static Telemetry.Output.Compared.ComparedUnits;

namespace Telemetry.Output.Compared;

/// <summary>The differences as a table, one row a setup and quantity.</summary>
public static class ComparisonTable
{
    /// <summary>The table "differences".</summary>
    public static ResultTable Differences(ComparisonResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        ImmutableArray<TableColumn> columns =
        [
            new("setup", ""), new("against", ""), new("quantity", ""), new("unit of the numbers", ""), new("baseline", "-", 3),
            new("difference", "-", 3), new("difference low95", "-", 3), new("difference high95", "-", 3),
            new("difference", "%", 2), new("difference low95", "%", 2), new("difference high95", "%", 2),
            new("standard uncertainty", "-", 3), new("degrees of freedom", "-", 1),
            new("probability of the sign", "%", 1), new("probability that it matters", "%", 1), new("p value", "-", 4), new("p value adjusted", "-", 4), new("real", ""), new("verdict", ""), new("runs alone", "-", 3), new("runs alone low95", "-", 3), new("runs alone high95", "-", 3),
            new("drift per run", "-", 3), new("by ride height", "-", 3), new("smallest for 80 % power", "-", 3), new("smallest for 90 % power", "-", 3),
            new("wanted", "-", 3), new("power at wanted", "%", 1), new("more laps for 90 %", "-"), new("remark", ""),
        ];
        return new("differences", "Differences between setups", columns,
        [
            .. from difference in result.Differences
               from quantity in difference.Quantities
               select Row(difference, quantity),
            .. from difference in result.Differences
               from missing in difference.Withheld
               select Missing(difference, missing, columns.Length),
        ]);
    }

    private static ImmutableArray<TableCell> Row(SetupDifference difference, QuantityDifference q)
    {
        (string unit, double factor) = Of(q.Kind);
        return
        [
            difference.Setup, difference.Baseline, QuantityNames.Of(q.Kind), unit, q.Baseline * factor,
            q.Difference.Value * factor, q.Difference.Low95 * factor, q.Difference.High95 * factor,
            q.Percent?.Value, q.Percent?.Low95, q.Percent?.High95,
            q.StandardUncertainty * factor, q.DegreesOfFreedom,
            100 * q.ProbabilityOfSign, 100 * q.ProbabilityThatItMatters, q.PValue, q.AdjustedPValue, ReviewTables.YesNo(q.IsReal), QuantityNames.Verdict(q),
            q.ByRunsAlone?.Value * factor, q.ByRunsAlone?.Low95 * factor, q.ByRunsAlone?.High95 * factor,
            q.DriftPerRun?.Value * factor, q.ByRideHeight?.Value * factor, q.Power.Smallest80 * factor, q.Power.Smallest90 * factor,
            q.Power.Wanted * factor, 100 * q.Power.PowerAtWanted, q.Power.MoreLaps is int laps ? laps : double.NaN, q.Power.MoreLapsRemark,
        ];
    }

    private static ImmutableArray<TableCell> Missing(SetupDifference difference, WithheldQuantity missing, int columns) =>
    [
        difference.Setup, difference.Baseline, missing.Name, .. Enumerable.Repeat<TableCell>(double.NaN, columns - 4), $"Withheld. {missing.Because}",
    ];
}
