using System.Collections.Immutable;

namespace Telemetry.Comparison;

/// <summary>Which runs have the same setup.</summary>
internal static class SetupLabels
{
    /// <summary>A label for each run, and its number from 0 in the order of first appearance.</summary>
    /// <exception cref="InputError">The labels do not fit the runs, or nothing tells the setups apart.</exception>
    public static (ImmutableArray<string> Label, int[] Number) Of(IReadOnlyList<RunEvidence> runs, ComparisonOptions options)
    {
        if (!options.Setups.IsDefaultOrEmpty)
        {
            if (options.Setups.Length != runs.Count)
            {
                throw new InputError("setups", $"{options.Setups.Length} setups are named for {runs.Count} runs.", "Name one setup for each run in the order of the runs, for instance A,B,A.");
            }

            if (options.Setups.Distinct(StringComparer.Ordinal).Count() == 1)
            {
                throw new InputError("setups", $"All runs are called '{options.Setups[0]}', so there is nothing to compare.", "Name at least two setups, for instance A,B,A.");
            }

            return (options.Setups, Numbers(options.Setups));
        }

        string[] fields = [.. runs.Select(run => string.Join('\n', run.Setup.Where(CarStatement.TellsSetup).Select(field => $"{field.Name}={field.Value}")))];
        int[] numbers = Numbers([.. fields]);
        bool repeats = numbers.Max() + 1 < runs.Count;
        if (repeats && runs.Count > 2)
        {
            // A drift would be taken out on the ground that runs of one car file are alike; but a file need not hold all that was changed, and then the change itself would go out as drift.
            string byFile = string.Join(',', numbers.Select(Letter));
            string remedy = numbers.Max() == 0
                ? "Say so with --setups, one label a run in their order, for instance A,B,A."
                : $"Say so with --setups, one label a run in their order: {byFile} if runs of one car file had one setup, {string.Join(',', Enumerable.Range(0, runs.Count).Select(Letter))} if each had its own.";
            throw new InputError("setups", $"Some of the {runs.Count} runs have car files that give the same setup ({byFile}). A car file need not hold all that was changed (a wing, for instance), so it is not known which runs are alike.", remedy);
        }

        if (repeats)
        {
            // Two runs of one car file are compared for what the file does not hold.
            numbers = [0, 1];
        }

        return ([.. numbers.Select(Letter)], numbers);
    }

    private static int[] Numbers(ImmutableArray<string> labels)
    {
        List<string> seen = [];
        int[] numbers = new int[labels.Length];
        for (int i = 0; i < labels.Length; i++)
        {
            numbers[i] = seen.IndexOf(labels[i]);
            if (numbers[i] < 0)
            {
                numbers[i] = seen.Count;
                seen.Add(labels[i]);
            }
        }

        return numbers;
    }

    private static string Letter(int number) => number < 26 ? ((char)('A' + number)).ToString() : FormattableString.Invariant($"setup {number + 1}");
}
