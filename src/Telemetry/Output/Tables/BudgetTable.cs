using System.Collections.Immutable;
using Telemetry.Aero;

namespace Telemetry.Output.Tables;

/// <summary>The uncertainty budget of the aero load as the GUM lays it out (JCGM 100:2008, clause 7 and H.1).</summary>
public static class BudgetTable
{
    /// <summary>aero_budget: a line for each input, largest first; empty when the aero load is withheld. Contributions are standard uncertainties at the reference speed.</summary>
    public static ResultTable From(AeroResult aero)
    {
        ArgumentNullException.ThrowIfNull(aero);
        ImmutableArray<TableColumn> columns =
        [
            new("input", ""),
            new("standard uncertainty", ""),
            new("evaluation", ""),
            new("degrees of freedom", "1", 1),
            new("front load", "N", 1),
            new("rear load", "N", 1),
            new("total load", "N", 1),
            new("front lift area", "m2", 5),
            new("rear lift area", "m2", 5),
            new("total lift area", "m2", 5),
            new("balance front", "%", 3),
            new("what would improve it", ""),
        ];
        return new("aero_budget", "Uncertainty budget of the aero load", columns, [.. aero.Budget.Select(part => ImmutableArray.CreateRange<TableCell>(
        [
            part.Name,
            part.Input,
            part.Evaluation,
            double.IsFinite(part.DegreesOfFreedom) ? part.DegreesOfFreedom : double.NaN,
            part.FrontLoadN,
            part.RearLoadN,
            part.TotalLoadN,
            part.FrontLiftAreaM2,
            part.RearLiftAreaM2,
            part.TotalLiftAreaM2,
            part.BalanceFrontPct,
            part.Remark,
        ]))]);
    }
}
