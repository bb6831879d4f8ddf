using System.Collections.Immutable;

namespace Telemetry.Ledger;

/// <summary>A log that counts, at its place among all logs.</summary>
/// <param name="Entry">Its newest analysis that is not struck out.</param>
/// <param name="FirstNumber">Number of its first analysis.</param>
/// <param name="PlaceUtc">The time that it stands at: its own start, or that of the run entered before it when it has none.</param>
/// <param name="Earlier">Its analyses that were replaced or struck out, oldest first.</param>
/// <param name="CameLate">True when a run that started later was entered before it.</param>
public sealed record RunPlace(LedgerEntry Entry, long FirstNumber, DateTimeOffset PlaceUtc, ImmutableArray<LedgerEntry> Earlier, bool CameLate);

/// <summary>The logs of a ledger in the order in which the parts lived through them.</summary>
/// <remarks>
/// By the start of the run; a run without a start stands behind the run that was entered before it. At the same time, in the order of entering. An analysis that
/// replaces an earlier one of the same log keeps the log's place in the order of entering.
/// </remarks>
internal static class RunOrder
{
    public static ImmutableArray<RunPlace> Of(IEnumerable<LedgerEntry> entries, IReadOnlySet<long> struckOut)
    {
        List<RunPlace> places = [];
        DateTimeOffset before = DateTimeOffset.MinValue;
        DateTimeOffset newest = DateTimeOffset.MinValue;
        foreach (IGrouping<string, LedgerEntry> log in entries.Where(entry => entry.Run is not null).OrderBy(entry => entry.Number).GroupBy(entry => entry.Run!.LogHash, StringComparer.Ordinal))
        {
            LedgerEntry? counts = log.LastOrDefault(entry => !struckOut.Contains(entry.Number));
            if (counts is null)
            {
                continue;
            }

            before = counts.Run!.StartedAtUtc ?? before;
            places.Add(new(counts, log.First().Number, before, [.. log.Where(entry => entry.Number != counts.Number)], before < newest));
            newest = before > newest ? before : newest;
        }

        return [.. places.OrderBy(place => place.PlaceUtc).ThenBy(place => place.FirstNumber)];
    }

    /// <summary>How many runs stand before a log: the log's own place when it is in the ledger, else the place that its start gives it.</summary>
    public static int CountBefore(ImmutableArray<RunPlace> runs, string logHash, DateTimeOffset? startedAtUtc)
    {
        for (int i = 0; i < runs.Length; i++)
        {
            if (runs[i].Entry.Run!.LogHash == logHash)
            {
                return i;
            }
        }

        return startedAtUtc is { } start ? runs.Count(run => run.PlaceUtc <= start) : runs.Length;
    }
}
