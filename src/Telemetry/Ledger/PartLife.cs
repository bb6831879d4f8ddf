using System.Collections.Immutable;
using System.Globalization;

namespace Telemetry.Ledger;

/// <summary>What the ledger knows of a part.</summary>
public sealed record PartLife
{
    /// <summary>Serial number.</summary>
    public required string Part { get; init; }

    /// <summary>What the part is, by its newest run; null when none said it.</summary>
    public string? Description { get; init; }

    /// <summary>Miner sum of all runs, open half cycles and charges by hand included.</summary>
    public required double Damage { get; init; }

    /// <summary>The share of <see cref="Damage"/> that is still open as half cycles: the next run may close them.</summary>
    public required double OpenDamage { get; init; }

    /// <summary>Open turning points, N, oldest first.</summary>
    public required ImmutableArray<double> OpenPointsN { get; init; }

    /// <summary>The share of <see cref="Damage"/> that was charged by hand.</summary>
    public required double DamageByHand { get; init; }

    /// <summary>True when the damage of a run is not known, so that <see cref="Damage"/> is a lower bound.</summary>
    public required bool IsLowerBound { get; init; }

    /// <summary>Miner sum at which the life is used up, by the newest run that has an S-N line; null when none has.</summary>
    public double? CriticalDamage { get; init; }

    /// <summary>Its runs, in the order in which it lived through them.</summary>
    public required ImmutableArray<PartRun> Runs { get; init; }

    /// <summary>Fits, removals, inspections, retirements, limits and charges that count, by date.</summary>
    public required ImmutableArray<LedgerEntry> Marks { get; init; }

    /// <summary>Where it is fitted now, by the newest fit that no removal, retirement or other fit followed; null when nowhere.</summary>
    public LedgerEntry? Fitted { get; init; }

    /// <summary>Its retirement, or null.</summary>
    public LedgerEntry? Retired { get; init; }

    /// <summary>What does not fit together, as sentences for a person; empty when all does.</summary>
    public required ImmutableArray<string> Doubts { get; init; }

    /// <summary>The newest run in which it went past a limit and after which no inspection is entered; null when there is none. What fatigue leaves of a part says nothing about it until somebody has looked.</summary>
    public PartRun? PastLimit => Runs.LastOrDefault(run => run.Figures.ExceededLimit && !Marks.Any(mark => mark.Kind == EntryKind.Inspect && mark.AtUtc > run.Place.PlaceUtc));

    /// <summary><see cref="PastLimit"/> as a sentence.</summary>
    /// <param name="subject">What the sentence calls the part, at its beginning.</param>
    /// <returns>Null when there is nothing to say, or when the part is retired.</returns>
    public string? PastLimitSentence(string subject) => PastLimit is not { } run || Retired is not null
        ? null
        : $"{subject} went past a limit in run '{run.Place.Entry.Run!.Run}' ({Kilonewtons(run.Figures.PeakCompressionN)} kN push, {Kilonewtons(run.Figures.PeakTensionN)} kN pull), and no inspection is entered since: retire it unless its designer clears it.";

    private static string Kilonewtons(double? newtons) => newtons is double known ? (known / 1000).ToString("F2", CultureInfo.InvariantCulture) : "-";

    /// <summary>Share of the life used, %: damage over the critical sum; null without an S-N line.</summary>
    public double? LifeUsedPct => CriticalDamage is { } critical ? 100 * Damage / critical : null;
}

/// <summary>A run in a part's life.</summary>
/// <param name="Place">The run.</param>
/// <param name="Figures">What it did to the part.</param>
/// <param name="Added">Damage that it added, joined with the runs before it; null when not known.</param>
/// <param name="DamageAfter">Miner sum of the runs up to it, charges by hand not in it.</param>
/// <param name="Doubt">What is doubtful about it, or null.</param>
public sealed record PartRun(RunPlace Place, PartFigures Figures, double? Added, double DamageAfter, string? Doubt);
