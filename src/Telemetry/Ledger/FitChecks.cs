using System.Collections.Immutable;
using System.Globalization;

namespace Telemetry.Ledger;

/// <summary>Holds what people entered against what the runs' car files say: which part was on the car, where, and whether it may still run.</summary>
internal static class FitChecks
{
    public static ImmutableArray<PartLife> Of(ImmutableArray<PartLife> parts)
    {
        // The newest fit to a corner goes before; the same kind of part is told by its words, because a corner carries several.
        ILookup<(string, string, string), PartLife> fitted = parts
            .Where(part => part.Fitted is { Car: not null, Corner: not null } && part.Description is not null)
            .ToLookup(part => (part.Fitted!.Car!, part.Fitted.Corner!, part.Description!));
        return [.. parts.Select(part => part with { Doubts = [.. Doubts(part), .. SamePlace(part, fitted)] })];
    }

    private static IEnumerable<string> SamePlace(PartLife part, ILookup<(string, string, string), PartLife> fitted)
    {
        if (part is { Fitted: { Car: { } car, Corner: { } corner }, Description: { } description })
        {
            foreach (PartLife other in fitted[(car, corner, description)].Where(other => other.Part != part.Part))
            {
                yield return $"it and '{other.Part}' ({description}) are both fitted to {corner} of '{car}': enter which was removed.";
            }
        }
    }

    private static IEnumerable<string> Doubts(PartLife part)
    {
        foreach (PartRun run in part.Runs)
        {
            string name = $"run '{run.Place.Entry.Run!.Run}'";
            if (run.Doubt is not null)
            {
                yield return $"{name} is {run.Doubt}.";
            }

            if (run.Place.Entry.Run.StartedAtUtc is not { } start)
            {
                continue;
            }

            if (part.Retired is { } retired && start > retired.AtUtc)
            {
                yield return $"{name} of {Day(start)} has it on the car, and it was retired on {Day(retired.AtUtc)}: take it off, or correct the car file or entry {retired.Number.ToString(CultureInfo.InvariantCulture)}.";
            }

            LedgerEntry? moved = part.Marks.LastOrDefault(mark => mark.Kind is EntryKind.Fit or EntryKind.Remove && mark.AtUtc <= start);
            if (moved is { Kind: EntryKind.Remove })
            {
                yield return $"{name} of {Day(start)} counts for it by its car file, and it was taken off on {Day(moved.AtUtc)}: correct the car file and analyse the log again, or enter the fit.";
            }
            else if (moved is { Corner: { } corner } && run.Figures.Corner is { } ran && corner != ran)
            {
                yield return $"{name} of {Day(start)} has it at {ran} by its car file, and it was fitted to {corner} on {Day(moved.AtUtc)}: correct the car file and analyse the log again, or enter the fit.";
            }
            else if (moved is { Car: { } car } && run.Place.Entry.Run.Car is { } ranOn && car != ranOn)
            {
                yield return $"{name} of {Day(start)} has it on car '{ranOn}', and it was fitted to '{car}' on {Day(moved.AtUtc)}: correct the car file and analyse the log again, or enter the fit.";
            }
        }
    }

    private static string Day(DateTimeOffset at) => at.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
