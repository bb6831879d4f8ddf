using System.Collections.Immutable;

namespace Telemetry.Comparison;

/// <summary>Did the change work? Differences between setups over two or more runs of one car.</summary>
public static class SetupComparison
{
    /// <summary>Probability below which a shift of the wind is told: 1 in 100 comparisons in which it did not.</summary>
    private const double WindLevel = 0.01;

    /// <summary>Compares runs in the order in which they were driven; the setup of the first is the baseline.</summary>
    /// <param name="runs">At least two runs.</param>
    /// <param name="options">Labels, sizes and levels.</param>
    /// <exception cref="InputError">The car files turn loads differently, one log was given twice, or nothing tells the setups apart; all faults are in it.</exception>
    public static ComparisonResult From(IReadOnlyList<RunEvidence> runs, ComparisonOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(runs);
        ArgumentOutOfRangeException.ThrowIfLessThan(runs.Count, 2, nameof(runs));
        options ??= ComparisonOptions.Default;
        Comparability.Require(runs);
        (ImmutableArray<string> labels, int[] numbers) = SetupLabels.Of(runs, options);
        string? obstacle = Comparability.Obstacle(runs, options);
        PassTable? table = obstacle is null ? PassTable.Of(runs, StraightPlaces.Of(runs), numbers) : null;
        ComparisonResult result = new()
        {
            SpeedMps = double.NaN,
            WithheldBecause = obstacle,
            Runs = [.. runs.Select((run, r) => new ComparedRun(r + 1, run.Name, labels[r], run.Laps, run.Passes.Length, null))],
            Differences = [],
            Method = [],
            Flags = [.. Comparability.CalledAlike(runs, labels), .. Comparability.Flags(runs, table)],
            SetDifferently = [.. Comparability.SetDifferently(runs)],
        };
        if (table is null)
        {
            return result;
        }

        double speed = runs.Min(run => run.ReferenceSpeedMps);
        QuantityTests tests = new(table, options, speed);
        if (!tests.AreSettled)
        {
            return result with { WithheldBecause = "The passes do not settle the difference: too few straights were driven by more than one setup." };
        }

        ImmutableArray<ComparedRun> compared = [.. result.Runs.Select((run, r) => run with { WindShift = r == 0 ? null : tests.WindShift(r) })];
        ImmutableArray<SetupDifference> differences = Adjusted([.. Enumerable.Range(1, table.Setups - 1).Select(setup => tests.Of(setup, labels[0], labels[Array.IndexOf(numbers, setup)]))], options);
        return result with
        {
            SpeedMps = speed,
            Runs = compared,
            Differences = differences,
            Method = [.. Method(table, labels)],
            Flags = [.. Contradictions(differences, table.HasDrift), .. result.Flags, .. WindFlags(compared), .. tests.FarPasses()],
            DriftIsRemoved = table.HasDrift,
        };
    }

    /// <summary>Several setups against one baseline are several chances to err: their probabilities are adjusted, quantity by quantity.</summary>
    private static ImmutableArray<SetupDifference> Adjusted(ImmutableArray<SetupDifference> differences, ComparisonOptions options)
    {
        ComparedKind[] kinds = [.. differences.SelectMany(d => d.Quantities.Select(q => q.Kind)).Distinct()];
        Dictionary<(ComparedKind, int), double> adjusted = [];
        foreach (ComparedKind kind in kinds)
        {
            ImmutableArray<double> holm = HolmAdjustment.Of([.. differences.Select(d => d.Quantities.FirstOrDefault(q => q.Kind == kind)?.PValue ?? double.NaN)]);
            for (int d = 0; d < differences.Length; d++)
            {
                adjusted[(kind, d)] = holm[d];
            }
        }

        return [.. differences.Select((difference, d) => difference with
        {
            Quantities = [.. difference.Quantities.Select(q => Judged(q, adjusted[(q.Kind, d)], difference.Quantities.Any(other => other.IsContradicted), options))],
        })];
    }

    private static QuantityDifference Judged(QuantityDifference quantity, double adjusted, bool isInDoubt, ComparisonOptions options) =>
        quantity with { AdjustedPValue = adjusted, IsInDoubt = isInDoubt, IsReal = adjusted < options.Level && !isInDoubt };

    /// <summary>One sentence for each setup whose paired differences and the runs' own exclude each other.</summary>
    private static IEnumerable<string> Contradictions(ImmutableArray<SetupDifference> differences, bool hasDrift) =>
        from difference in differences
        let names = string.Join(", ", difference.Quantities.Where(q => q.IsContradicted && !QuantityNames.IsOfArea(q.Kind)).Select(q => QuantityNames.Of(q.Kind).ToLowerInvariant()))
        where names.Length > 0
        select $"{difference.Setup} less {difference.Baseline}: the runs' own estimates contradict the paired difference ({names}), so nothing of it is called real. "
            + (hasDrift ? "The drift that was taken out makes it: are the labels of --setups right? If they are, run the first setup again." : "Look at the passes of each run, and run the first setup again.");

    private static IEnumerable<string> Method(PassTable table, ImmutableArray<string> labels)
    {
        string order = string.Join('-', labels);
        yield return table.Places.Kind.Length == 0
            ? "Passes are not paired."
            : FormattableString.Invariant($"Passes are paired by straight, told by {table.Places.Kind}: {table.Places.Count} straights.");
        yield return table.HasDrift
            ? $"The order {order} repeats a setup, so a drift that is linear from run to run was estimated and taken out."
            : $"The order {order} repeats no setup, so a drift between the runs (weather, tyres, cells) cannot be told from the change. Run the first setup again after the last.";
        if (table.HasWind)
        {
            yield return "A shift of the steady wind between runs was estimated from the headings and taken out.";
        }

        if (table.Setups > 2)
        {
            yield return FormattableString.Invariant($"{table.Setups - 1} setups are held against {labels[0]}: 'real' and its probability are adjusted for that (Holm); intervals are of each difference alone.");
        }

        yield return "Each quantity is judged by itself: of twenty quantities in which nothing changed, one is called real.";
    }

    private static IEnumerable<string> WindFlags(ImmutableArray<ComparedRun> runs) =>
        from run in runs
        where run.WindShift is { } shift && shift.Probability < WindLevel
        let shift = run.WindShift!
        select FormattableString.Invariant($"The wind shifted by {shift.SpeedMps:0.0} m/s (standard uncertainty {shift.UncertaintyMps:0.0} m/s) from {runs[0].Name} to {run.Name}. It is taken out as far as it was steady in each run; repeat the baseline to make sure.");
}
