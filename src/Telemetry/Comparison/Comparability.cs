using System.Collections.Immutable;
using Telemetry.Health;

namespace Telemetry.Comparison;

/// <summary>Whether runs may be held against each other at all, and what is doubtful about it.</summary>
internal static class Comparability
{
    private const int MostZeroDoubts = 2;

    /// <summary>Refuses runs whose difference would be that of two car files, and a log that was given twice.</summary>
    /// <exception cref="InputError">All faults together.</exception>
    public static void Require(IReadOnlyList<RunEvidence> runs)
    {
        List<InputFault> faults = [];
        for (int r = 1; r < runs.Count; r++)
        {
            foreach (StatedField field in runs[0].Basis)
            {
                string? other = runs[r].Basis.FirstOrDefault(f => f.Name == field.Name)?.Value;
                if (other != field.Value)
                {
                    faults.Add(new(
                        $"{runs[0].Name} against {runs[r].Name}, {field.Name}",
                        $"It is {field.Value} in the first and {other ?? "not given"} in the second, so a difference in load may be the car file's.",
                        "Analyse all logs with one car file."));
                }
            }

            for (int other = 0; other < r; other++)
            {
                if (runs[r].Passes.Length > 0 && runs[r].Passes.SequenceEqual(runs[other].Passes))
                {
                    faults.Add(new(
                        $"{runs[other].Name} and {runs[r].Name} (runs {other + 1} and {r + 1})",
                        "All their passes are the same to the last digit: it is one log, given twice.",
                        "Give the log of the other run."));
                }
            }
        }

        if (faults.Count > 0)
        {
            throw new InputError([.. faults]);
        }
    }

    /// <summary>Why nothing can be compared, or null.</summary>
    public static string? Obstacle(IReadOnlyList<RunEvidence> runs, ComparisonOptions options)
    {
        foreach (RunEvidence run in runs)
        {
            if (run.WithheldBecause is string because)
            {
                return $"{run.Name} has no aero load: {because}";
            }

            if (run.Passes.Length < 2)
            {
                return FormattableString.Invariant($"{run.Name} has {run.Passes.Length} straight passes near {run.ReferenceSpeedMps * 3.6:0} km/h; a comparison needs two at least.");
            }
        }

        double low = runs.Min(run => run.ReferenceSpeedMps);
        double high = runs.Max(run => run.ReferenceSpeedMps);
        return high > low * (1 + options.SpeedMismatchShare)
            ? FormattableString.Invariant($"The results were made for {low * 3.6:0} to {high * 3.6:0} km/h, too far apart to be brought to one speed. Analyse the logs again with one --at, or give the logs themselves.")
            : null;
    }

    /// <summary>Doubts that do not stop the comparison.</summary>
    public static IEnumerable<string> Flags(IReadOnlyList<RunEvidence> runs, PassTable? table)
    {
        foreach (RunEvidence run in runs)
        {
            if (run.Verdict != HealthVerdict.Good)
            {
                yield return $"The log of {run.Name} is {(run.Verdict == HealthVerdict.Doubtful ? "doubtful" : "unusable")}: {CountText.Of(run.Findings, "finding", "findings")}. Read its health before you rely on a difference.";
            }

            foreach (string doubt in run.ZeroDoubts.Take(MostZeroDoubts))
            {
                yield return $"The zero of {run.Name} is doubtful, and a zero does not cancel between runs. {doubt}";
            }
        }

        string[] tyres = [.. runs[0].Setup.Where(field => field.Name.StartsWith(CarStatement.TyreRate, StringComparison.Ordinal)).Select(field => field.Name)];
        if (tyres.Any(name => runs.Any(run => run.Setup.FirstOrDefault(f => f.Name == name)?.Value is string value && value != runs[0].Setup.First(f => f.Name == name).Value)))
        {
            yield return "The runs were driven on other tyres (their rates differ in the car files): ride heights at speed moved with them, and that is part of the difference.";
        }

        if (table is null)
        {
            yield break;
        }

        if (!table.HasWind && !runs.Any(run => run.MeasuresAirSpeed))
        {
            yield return "The headings of the straights are not known in one frame, so a shift of the wind between the runs cannot be told; the interval allows for it as each run's own.";
        }

        if (table.Places.Kind.Length == 0)
        {
            yield return "Neither lap distance nor heading tells the straights apart, so passes are not paired by straight; wind and road do not cancel.";
        }
        else if (SharedPlaces(table) is 0)
        {
            yield return "The runs have no straight in common (by lap distance and heading): they cannot be compared on the same road.";
        }
    }

    /// <summary>Runs that carry one label although their car files set them differently.</summary>
    public static IEnumerable<string> CalledAlike(IReadOnlyList<RunEvidence> runs, ImmutableArray<string> labels)
    {
        for (int r = 1; r < runs.Count; r++)
        {
            int first = labels.IndexOf(labels[r]);
            string[] fields = first == r ? [] :
            [
                .. runs[first].Setup.Where(CarStatement.TellsSetup).Where(field => runs[r].Setup.FirstOrDefault(f => f.Name == field.Name)?.Value != field.Value).Select(field => field.Name),
            ];
            if (fields.Length > 0)
            {
                yield return $"{runs[first].Name} and {runs[r].Name} are both called {labels[r]}, but their car files set them differently ({string.Join(", ", fields)}): what that changed is taken for drift. Check the labels.";
            }
        }
    }

    /// <summary>What the car files set differently.</summary>
    public static IEnumerable<string> SetDifferently(IReadOnlyList<RunEvidence> runs)
    {
        for (int r = 1; r < runs.Count; r++)
        {
            foreach (StatedField field in runs[0].Setup)
            {
                string? other = runs[r].Setup.FirstOrDefault(f => f.Name == field.Name)?.Value;
                if (other != field.Value)
                {
                    yield return $"Set differently in {runs[r].Name}: {field.Name}, {field.Value} in {runs[0].Name} against {other ?? "not given"}.";
                }
            }
        }
    }

    private static int SharedPlaces(PassTable table) =>
        Enumerable.Range(0, table.Places.Count).Count(place => table.Places.Place.All(run => run.Contains(place)));
}
