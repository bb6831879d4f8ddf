using System.Collections.Immutable;
using Telemetry.Fatigue;

namespace Telemetry.Ledger;

/// <summary>What all entries of a ledger say together.</summary>
public sealed record LedgerState
{
    /// <summary>All entries, by number.</summary>
    public required ImmutableArray<LedgerEntry> Entries { get; init; }

    /// <summary>Numbers of the entries that a correction struck out.</summary>
    public required ImmutableHashSet<long> StruckOut { get; init; }

    /// <summary>The logs that count, in the order in which the parts lived through them.</summary>
    public required ImmutableArray<RunPlace> Runs { get; init; }

    /// <summary>The parts by serial number.</summary>
    public required ImmutableArray<PartLife> Parts { get; init; }

    /// <summary>Adds all entries up.</summary>
    /// <param name="entries">Entries of the ledger.</param>
    /// <param name="strengths">Strengths of the parts by the car files that the ledger keeps.</param>
    /// <returns>The state: the same whatever the order in which the entries are given.</returns>
    public static LedgerState From(IEnumerable<LedgerEntry> entries, PartStrengths strengths) => From(entries, strengths, int.MaxValue, null);

    /// <summary>What the parts had gone through before a log: the runs before its place, so that looking at a log again tells the same story.</summary>
    /// <param name="entries">Entries of the ledger.</param>
    /// <param name="strengths">Strengths of the parts.</param>
    /// <param name="logHash">Hash of the log.</param>
    /// <param name="startedAtUtc">Its start; null when not known, which is behind all runs unless the log is in the ledger.</param>
    public static DamageHistory HistoryBefore(IEnumerable<LedgerEntry> entries, PartStrengths strengths, string logHash, DateTimeOffset? startedAtUtc)
    {
        ArgumentException.ThrowIfNullOrEmpty(logHash);
        ImmutableArray<LedgerEntry> all = [.. entries];
        int before = RunOrder.CountBefore(RunOrder.Of(all, StruckOutBy(all)), logHash, startedAtUtc);
        LedgerState state = From(all, strengths, before, null);
        return new(state.Parts.ToImmutableDictionary(part => part.Part, part => new ComponentHistory(part.Damage, part.OpenDamage, part.OpenPointsN) { PastLimit = part.PastLimitSentence("It") }, StringComparer.Ordinal));
    }

    /// <summary>The part, or null when the ledger does not know it.</summary>
    /// <param name="part">Serial number.</param>
    public PartLife? Of(string part) => Parts.FirstOrDefault(life => life.Part == part);

    /// <summary>As <see cref="From(IEnumerable{LedgerEntry}, PartStrengths)"/>, for some parts only.</summary>
    internal static LedgerState From(IEnumerable<LedgerEntry> entries, PartStrengths strengths, int runCount, IReadOnlySet<string>? onlyParts)
    {
        ArgumentNullException.ThrowIfNull(entries);
        ArgumentNullException.ThrowIfNull(strengths);
        ImmutableArray<LedgerEntry> all = [.. entries.OrderBy(entry => entry.Number)];
        ImmutableHashSet<long> struckOut = StruckOutBy(all);
        ImmutableArray<RunPlace> runs = RunOrder.Of(all, struckOut);
        if (runs.Length > runCount)
        {
            runs = runs[..runCount];
        }

        SortedDictionary<string, PartSum> parts = new(StringComparer.Ordinal);
        foreach (RunPlace run in runs)
        {
            foreach (PartFigures figures in run.Entry.Run!.Parts)
            {
                if (onlyParts is null || onlyParts.Contains(figures.Part))
                {
                    SumOf(parts, figures.Part).Add(run, figures, strengths.Of(run.Entry.Run.CarHash, figures.Part));
                }
            }
        }

        foreach (LedgerEntry mark in all)
        {
            if (mark is { Part: { } part, Kind: not (EntryKind.Run or EntryKind.Correct) } && !struckOut.Contains(mark.Number) && (onlyParts is null || onlyParts.Contains(part)))
            {
                SumOf(parts, part).Marks.Add(mark);
            }
        }

        return new()
        {
            Entries = all,
            StruckOut = struckOut,
            Runs = runs,
            Parts = FitChecks.Of([.. parts.Select(part => part.Value.Life(part.Key))]),
        };
    }

    /// <summary>What corrections strike out; a correction that is struck out itself strikes nothing.</summary>
    internal static ImmutableHashSet<long> StruckOutBy(IEnumerable<LedgerEntry> entries)
    {
        // A later correction may strike out an earlier one, so the newest is heard first.
        HashSet<long> struck = [];
        foreach (LedgerEntry correction in entries.Where(entry => entry is { Kind: EntryKind.Correct, Corrects: not null }).OrderByDescending(entry => entry.Number))
        {
            if (!struck.Contains(correction.Number))
            {
                struck.Add(correction.Corrects!.Value);
            }
        }

        return [.. struck];
    }

    private static PartSum SumOf(SortedDictionary<string, PartSum> parts, string part)
    {
        if (!parts.TryGetValue(part, out PartSum? sum))
        {
            sum = new();
            parts.Add(part, sum);
        }

        return sum;
    }

    private sealed class PartSum
    {
        private readonly PartChain chain = new();
        private readonly ImmutableArray<PartRun>.Builder runs = ImmutableArray.CreateBuilder<PartRun>();

        public List<LedgerEntry> Marks { get; } = [];

        public void Add(RunPlace run, PartFigures figures, CycleDamage? strength)
        {
            double? added = chain.Add(figures, strength);
            runs.Add(new(run, figures, added, chain.Sum, chain.Doubt));
        }

        public PartLife Life(string part)
        {
            ImmutableArray<LedgerEntry> marks = [.. Marks.OrderBy(mark => mark.AtUtc).ThenBy(mark => mark.Number)];
            double byHand = marks.Sum(mark => mark.Kind == EntryKind.Charge ? mark.Damage ?? 0 : 0);
            LedgerEntry? moved = marks.LastOrDefault(mark => mark.Kind is EntryKind.Fit or EntryKind.Remove or EntryKind.Retire);
            return new()
            {
                Part = part,
                Description = runs.LastOrDefault(run => run.Figures.Description is not null)?.Figures.Description,
                Damage = chain.Sum + byHand,
                OpenDamage = chain.Open,
                OpenPointsN = chain.OpenPointsN,
                DamageByHand = byHand,
                IsLowerBound = chain.IsLowerBound,
                CriticalDamage = runs.LastOrDefault(run => run.Figures.CriticalDamage is not null)?.Figures.CriticalDamage,
                Runs = runs.ToImmutable(),
                Marks = marks,
                Fitted = moved?.Kind == EntryKind.Fit ? moved : null,
                Retired = marks.LastOrDefault(mark => mark.Kind == EntryKind.Retire),
                Doubts = [],
            };
        }
    }
}
