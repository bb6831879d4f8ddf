using System.Collections.Immutable;
using Telemetry.Comparison;
using static Telemetry.Output.Compared.ComparedUnits;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Compared;

/// <summary>A comparison as the lines of a terminal: what changed first, then what makes it doubtful, then how it was done.</summary>
public static class ComparisonSheet
{
    private const int MostLines = 6;

    private const int BudgetLines = 3;

    /// <summary>The lines.</summary>
    public static ImmutableArray<SheetLine> From(ComparisonResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        SheetLines lines = new();
        foreach (ComparedRun run in result.Runs)
        {
            lines.Add($"{run.Order}  {run.Setup}  {run.Name}: {Count(run.Laps, "lap")}, {Count(run.Passes, "straight pass", "straight passes")}", Tone.Plain);
        }

        if (result.WithheldBecause is string because)
        {
            lines.Wrapped("Nothing can be compared. ", because, Tone.Warning, MostLines);
        }
        else
        {
            lines.Add($"At {Fixed(result.SpeedMps * KmhPerMps, 0)} km/h air speed and {Fixed(ComparisonResult.DensityKgM3, 3)} kg/m3; 95 % intervals.", Tone.Muted);
            foreach (SetupDifference difference in result.Differences)
            {
                Add(lines, difference);
            }
        }

        foreach (string flag in result.Flags)
        {
            lines.Wrapped("!  ", flag, Tone.Warning, MostLines);
        }

        foreach (string note in result.SetDifferently)
        {
            lines.Wrapped("   ", note, Tone.Plain, MostLines);
        }

        foreach (string line in result.Method)
        {
            lines.Wrapped("   ", line, Tone.Muted, MostLines);
        }

        return lines.Done();
    }

    private static void Add(SheetLines lines, SetupDifference difference)
    {
        lines.Add($"{difference.Setup} less {difference.Baseline}", Tone.Heading);
        foreach (QuantityDifference quantity in difference.Quantities)
        {
            (string unit, double factor) = Of(quantity.Kind);
            string name = quantity.Kind == ComparedKind.DragArea ? "Drag area (*)" : QuantityNames.Of(quantity.Kind);
            string percent = quantity.Percent is { } share && quantity.Kind != ComparedKind.Balance ? Signed(share.Value, 1) + " %" : "";
            string probability = Probability(quantity.ProbabilityOfSign);
            string verdict = quantity.IsReal ? $"REAL, {probability}" : quantity.IsInDoubt ? QuantityNames.Verdict(quantity) : $"{QuantityNames.Verdict(quantity)}, {probability}";
            lines.Add($"  {name,-17} {Change(quantity.Difference, factor) + " " + unit,-31} {percent,8}  {verdict}", quantity.IsReal || quantity.IsInDoubt ? Tone.Warning : Tone.Plain);
            if (quantity.ByRideHeight is { } part && quantity.Kind is ComparedKind.FrontLiftArea or ComparedKind.TotalLiftArea)
            {
                lines.Add($"    of which by ride height {Change(quantity.ByRideHeight!)} {unit}", Tone.Plain);
            }
        }

        lines.Add("  The last figure is the probability that the sign is right.", Tone.Muted);
        if (difference.Quantities.Any(q => q.Kind == ComparedKind.DragArea))
        {
            lines.Add("  (*) At full throttle and equal power: a weaker engine reads as more drag.", Tone.Muted);
        }

        foreach (WithheldQuantity missing in difference.Withheld)
        {
            lines.Wrapped($"  {missing.Name} withheld: ", missing.Because, Tone.Muted, MostLines);
        }

        if (difference.Quantities.FirstOrDefault(q => q.Kind == ComparedKind.TotalLoad) is { } total)
        {
            lines.Wrapped("  Power: ", PowerOf(total), Tone.Plain, MostLines);
            lines.Wrapped("  Uncertainty of the total load: ", string.Join(", ", total.Budget.Take(BudgetLines).Select(line => $"{line.Name} {Fixed(line.StandardUncertainty, 0)} N")) + ".", Tone.Muted, MostLines);
            if (total.DriftPerRun is { } drift)
            {
                lines.Add($"  Drift taken out: {Change(drift)} N total load from run to run", Tone.Plain);
            }
        }
    }

    /// <summary>What the runs could have shown, as a sentence.</summary>
    internal static string PowerOf(QuantityDifference total)
    {
        double percent = 100 / total.Baseline;
        DetectionPower power = total.Power;
        string more = power.MoreLaps switch
        {
            0 => $"{Fixed(power.Wanted * percent, 1)} % would have been found with {Probability(power.PowerAtWanted)} probability.",
            int laps => $"{Fixed(power.Wanted * percent, 1)} % would have been found with {Probability(power.PowerAtWanted)} probability; {Count(laps, "more lap")} in each run would make it 90 %.",
            null => $"{Fixed(power.Wanted * percent, 1)} % would have been found with {Probability(power.PowerAtWanted)} probability. {power.MoreLapsRemark}",
        };
        return $"these runs show a change of the total load of {Fixed(power.Smallest80 * percent, 1)} % four times in five, of {Fixed(power.Smallest90 * percent, 1)} % nine times in ten. {more}";
    }
}
