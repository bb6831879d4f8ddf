using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Fatigue;

/// <summary>What the run did to every component of the car file.</summary>
public sealed record FatigueResult
{
    /// <summary>One entry a component, in the order of the car file.</summary>
    public required ImmutableArray<ComponentResult> Components { get; init; }

    /// <summary>Why nothing was counted (low-passed loads, no zero, ...), or null.</summary>
    public required string? WithheldBecause { get; init; }
}

/// <summary>What a person is told about a component.</summary>
public enum ComponentVerdict
{
    /// <summary>Nothing exceeded, life left.</summary>
    Run,

    /// <summary>Past the inspection threshold: inspect before it runs again.</summary>
    Inspect,

    /// <summary>A limit was exceeded or the life is used up: retire.</summary>
    Retire,

    /// <summary>Cannot be judged: its load is not known or the designer gave no limit.</summary>
    Unknown,
}

/// <summary>Peaks, cycles and damage of one component over a run.</summary>
public sealed record ComponentResult
{
    /// <summary>The component.</summary>
    public required ComponentDefinition Component { get; init; }

    /// <summary>Largest compression, N; 0 when it was never in compression; NaN when the load or its zero is not known.</summary>
    public required double PeakCompressionN { get; init; }

    /// <summary>Largest tension as a positive number, N; 0 when it was never in tension; NaN when the load or its zero is not known.</summary>
    public required double PeakTensionN { get; init; }

    /// <summary>Time of the largest compression, s; NaN when it was never in compression.</summary>
    public required double PeakCompressionS { get; init; }

    /// <summary>Time of the largest tension, s; NaN when it was never in tension.</summary>
    public required double PeakTensionS { get; init; }

    /// <summary>True when a cell that the load comes from stood at its range limit, so that peaks, cycles and damage can be larger than shown.</summary>
    public required bool PeakIsLowerBound { get; init; }

    /// <summary>Smallest margin of safety of both directions, allowable / (factor * load) - 1; NaN without limits or where the part was never loaded in a direction that has one.</summary>
    public required double MarginOfSafety { get; init; }

    /// <summary>The largest compression can have been larger by up to so much between two samples, N (second order of equation E8); NaN beside a gap or without a zero.</summary>
    public double PeakCompressionHiddenN { get; init; } = double.NaN;

    /// <summary>The same for the largest tension, N.</summary>
    public double PeakTensionHiddenN { get; init; } = double.NaN;

    /// <summary>Standard uncertainty of the peak compression, N: the zeros and gains of the cells that the load comes from; NaN where the peak is.</summary>
    public double PeakCompressionUncertaintyN { get; init; } = double.NaN;

    /// <summary>Standard uncertainty of the peak tension, N; NaN where the peak is.</summary>
    public double PeakTensionUncertaintyN { get; init; } = double.NaN;

    /// <summary>The margin with both peaks at the upper end of their 95 % intervals; NaN where <see cref="MarginOfSafety"/> is.</summary>
    public double MarginLow95 { get; init; } = double.NaN;

    /// <summary>Counted cycles: every full and half cycle with its place in time.</summary>
    public required CycleCount Cycles { get; init; }

    /// <summary>Turning points left open at the end of the run, N, oldest first: to be carried into the next run of the same part.</summary>
    /// <remarks>Where the load has no trusted zero, what was carried into this run, untouched.</remarks>
    public required ImmutableArray<double> ResidueN { get; init; }

    /// <summary>Miner sum that this run added, residue as half cycles; null when the part has no S-N line or its load is not known.</summary>
    /// <remarks>
    /// Cycles closed with turning points of earlier runs are in it, and the half cycles that those points made before are taken off:
    /// <see cref="DamageBefore"/> plus this is the sum of the joined history.
    /// </remarks>
    public required double? DamageRun { get; init; }

    /// <summary>The share of the sum that the half cycles of <see cref="ResidueN"/> make, to be taken off when the next run closes them; null with <see cref="DamageRun"/>.</summary>
    public double? ResidueDamage { get; init; }

    /// <summary>Miner sum of the cycles that close within this run alone, whatever ran before; null with <see cref="DamageRun"/>.</summary>
    /// <remarks>Four-point counting. Where the load has no trusted zero, all of the run's cycles, its open half cycles too, because they are joined with nothing.</remarks>
    public double? OwnClosedDamage { get; init; }

    /// <summary>Turning points that this run alone leaves open, N, oldest first; empty where the load has no trusted zero.</summary>
    /// <remarks>With <see cref="OwnClosedDamage"/>, all that is needed to add the run to others in any order.</remarks>
    public ImmutableArray<double> OwnOpenPointsN { get; init; } = [];

    /// <summary>Share of the run's samples in which the part's load is not known, 0 to 1: what happened there is not in peaks and cycles.</summary>
    public double MissingShare { get; init; }

    /// <summary>Miner sum of the cycles that the reversal filter (<see cref="FatigueDefinition.SmallestRangeN"/>) left out of <see cref="DamageRun"/>, by a count without it; 0 without a filter, null with <see cref="DamageRun"/>.</summary>
    public double? FilteredDamage { get; init; }

    /// <summary>Low and high of the damage over counting methods and over the load's uncertainty (zero, gain); null with <see cref="DamageRun"/>.</summary>
    public required DamageSpread? Spread { get; init; }

    /// <summary>Damage charged to each lap, in the order of the run's laps; a cycle's damage is shared equally between the laps of its two turning points.</summary>
    /// <remarks>Sums to <see cref="DamageRun"/>; a cycle begun in an earlier run is charged to the lap that ended it. Empty without damage.</remarks>
    public required ImmutableArray<double> DamageByLap { get; init; }

    /// <summary>What each cycle of <see cref="Cycles"/> added to <see cref="DamageRun"/>, in their order: what its turning points were charged with in earlier runs is taken off.</summary>
    /// <remarks>Sums to <see cref="DamageRun"/>; <see cref="DamageCharges"/> charges it to places. Empty without damage.</remarks>
    public ImmutableArray<double> DamageByCycle { get; init; } = [];

    /// <summary>Damage before this run, from the ledger; 0 when none is kept.</summary>
    public required double DamageBefore { get; init; }

    /// <summary>That it went past a limit in an earlier run and nobody has inspected it since, from the ledger; null when that is not so.</summary>
    public string? PastLimitBefore { get; init; }

    /// <summary>Constant range that does the same damage in one million cycles on the line's upper slope, N: (sum of n S^m / 1e6)^(1/m) over plain load ranges, m = SlopeAbove; null without a line.</summary>
    public required double? EquivalentRangeN { get; init; }

    /// <summary>Share of the life used including this run, %: (before + run) / critical; null without a line.</summary>
    public required double? LifeUsedPct { get; init; }

    /// <summary>What to do with it.</summary>
    public required ComponentVerdict Verdict { get; init; }

    /// <summary>Why, as sentences.</summary>
    public required ImmutableArray<string> Reasons { get; init; }

    /// <summary>How many of the reasons, from the first on, led to the verdict; the others are what else there is to say.</summary>
    public int DecisiveReasons { get; init; }
}

/// <summary>Damage as low and high beside the reported value.</summary>
/// <param name="ByMethodLow">Smallest over the counting methods.</param>
/// <param name="ByMethodHigh">Largest over the counting methods.</param>
/// <param name="ByLoadLow95">With the load at the lower end of its 95 % interval.</param>
/// <param name="ByLoadHigh95">With the load at the upper end.</param>
public sealed record DamageSpread(double ByMethodLow, double ByMethodHigh, double ByLoadLow95, double ByLoadHigh95);

/// <summary>Cycles as parallel arrays, one entry a cycle, in the order in which they closed.</summary>
/// <param name="FromN">Load at the first turning point, N.</param>
/// <param name="ToN">Load at the second, N.</param>
/// <param name="FromIndex">Sample of the first turning point on the run's clock; -1 for a point carried in from an earlier run.</param>
/// <param name="ToIndex">Sample of the second.</param>
/// <param name="Weight">1 for a full cycle, 0.5 for a half cycle.</param>
public sealed record CycleCount(
    ImmutableArray<double> FromN,
    ImmutableArray<double> ToN,
    ImmutableArray<int> FromIndex,
    ImmutableArray<int> ToIndex,
    ImmutableArray<double> Weight)
{
    /// <summary>Number of entries (full and half).</summary>
    public int Count => FromN.Length;

    /// <summary>The largest range, N; 0 without cycles. Looks at every cycle.</summary>
    public double LargestRangeN()
    {
        ReadOnlySpan<double> from = FromN.AsSpan(), to = ToN.AsSpan();
        double largest = 0;
        for (int i = 0; i < from.Length; i++)
        {
            largest = Math.Max(largest, Math.Abs(to[i] - from[i]));
        }

        return largest;
    }
}
