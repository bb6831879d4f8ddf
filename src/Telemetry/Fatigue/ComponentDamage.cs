using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Runs;

namespace Telemetry.Fatigue;

/// <summary>What a run's cycles cost one part: in all, by lap, and how far methods and the load's uncertainty move it.</summary>
internal sealed record ComponentDamage
{
    /// <summary>Miner sum that the run added.</summary>
    public required double Run { get; init; }

    /// <summary>The part of the sum that is still open as half cycles.</summary>
    public required double Residue { get; init; }

    /// <summary>By cycle, in their order; sums to <see cref="Run"/>.</summary>
    public required ImmutableArray<double> ByCycle { get; init; }

    /// <summary>Of the cycles that close within the run alone; of all its cycles where they are joined with nothing.</summary>
    public required double OwnClosed { get; init; }

    /// <summary>By lap; sums to <see cref="Run"/>.</summary>
    public required ImmutableArray<double> ByLap { get; init; }

    /// <summary>Damage of the cycles that the reversal filter left out; 0 without a filter.</summary>
    public required double Filtered { get; init; }

    /// <summary>Low and high.</summary>
    public required DamageSpread Spread { get; init; }

    /// <summary>Sums the damage of a part over a count.</summary>
    /// <param name="model">The part's strength.</param>
    /// <param name="count">Its cycles.</param>
    /// <param name="before">Its history.</param>
    /// <param name="laps">Laps of the run.</param>
    /// <param name="coverage">Standard uncertainties in half of a 95 % interval.</param>
    public static ComponentDamage Of(CycleDamage model, LoadCount count, ComponentHistory before, LapTable laps, double coverage)
    {
        double[] already = AlreadyCounted(model, count.CarriedN, before.ResidueDamage);
        double[] byLap = new double[laps.Laps.Length];
        CycleList cycles = count.Cycles;
        double[] byCycle = GC.AllocateUninitializedArray<double>(cycles.Count);
        model.Each(cycles.From, cycles.To, byCycle);
        ReadOnlySpan<int> from = cycles.FromIndex;
        ReadOnlySpan<int> to = cycles.ToIndex;
        int lap = 0;
        double sum = 0;
        for (int i = 0; i < cycles.Count; i++)
        {
            double damage = cycles.Weight[i] * byCycle[i];
            sum += damage;
            double added = damage - Already(already, from[i]) - (cycles.Weight[i] == 1 ? Already(already, to[i]) : 0);
            byCycle[i] = added;
            if (byLap.Length > 0 && added != 0)
            {
                lap = LapOf(laps.Laps, Math.Max(to[i], 0), lap);
                int first = from[i] < 0 ? lap : LapOf(laps.Laps, from[i], lap);
                byLap[lap] += added / 2;
                byLap[first] += added / 2;
            }
        }

        ReadOnlySpan<double> open = count.Load.NoZeroBecause is null ? count.ResidueN.AsSpan() : [];
        double residue = model.SumOfHalves(open);

        double run = sum - already.Sum();
        double fourClosed = model.Sum(count.FourPointClosed.From, count.FourPointClosed.To);
        double fourOpen = model.SumOfHalves(count.FourPointOpenN);
        return new()
        {
            Run = run,
            Residue = count.Load.NoZeroBecause is null ? residue : before.ResidueDamage,
            Filtered = count.Filtered.Count > 0 ? Sum(model.WithoutFilter(), count.Filtered, 1, 0) : 0,
            ByCycle = ImmutableCollectionsMarshal.AsImmutableArray(byCycle),
            OwnClosed = count.Load.NoZeroBecause is null ? fourClosed : fourClosed + fourOpen,
            ByLap = ImmutableCollectionsMarshal.AsImmutableArray(byLap),
            Spread = SpreadOf(model, count, (fourClosed, fourOpen), run, sum, coverage),
        };
    }

    /// <summary>What each carried turning point's half cycle was charged with in the runs before; the shares of the ledger's own figure, in case the S-N line has changed since.</summary>
    private static double[] AlreadyCounted(CycleDamage model, ImmutableArray<double> carried, double residueDamage)
    {
        double[] charged = new double[carried.Length];
        double sum = 0;
        for (int i = 0; i + 1 < carried.Length; i++)
        {
            charged[i] = 0.5 * model.Of(carried[i], carried[i + 1]);
            sum += charged[i];
        }

        for (int i = 0; i < charged.Length; i++)
        {
            charged[i] = sum > 0 ? charged[i] * (residueDamage / sum) : 0;
        }

        return charged;
    }

    private static double Already(double[] charged, int index) => index < 0 ? charged[index + charged.Length] : 0;

    private static int LapOf(ImmutableArray<Lap> laps, int index, int near)
    {
        int lap = near;
        while (lap > 0 && index < laps[lap].StartIndex)
        {
            lap--;
        }

        while (lap < laps.Length - 1 && index >= laps[lap].EndIndex)
        {
            lap++;
        }

        return lap;
    }

    private static DamageSpread SpreadOf(CycleDamage model, LoadCount count, (double Closed, double Open) four, double run, double sum, double coverage)
    {
        double repeated = four.Closed + Sum(model, count.Repeated, 1, 0);
        double simple = model.SumOfHalves(count.ReversalsN.Span);

        // Gain and zero are independent: each effect on its own, then the squares add (JCGM 100:2008, 5.1.2).
        double gain = coverage * count.Load.GainUncertainty;
        double shift = model.NeedsMean ? coverage * count.Load.ZeroUncertaintyN : 0;
        double gainUp = gain > 0 ? Sum(model, count.Cycles, 1 + gain, 0) - sum : 0;
        double gainDown = gain > 0 ? sum - Sum(model, count.Cycles, Math.Max(0, 1 - gain), 0) : 0;
        double shiftMore = 0;
        double shiftLess = 0;
        if (shift > 0)
        {
            double plus = Sum(model, count.Cycles, 1, shift) - sum;
            double minus = Sum(model, count.Cycles, 1, -shift) - sum;
            shiftMore = Math.Max(0, Math.Max(plus, minus));
            shiftLess = Math.Max(0, -Math.Min(plus, minus));
        }

        return new(
            Math.Min(Math.Min(run, four.Closed + four.Open), Math.Min(simple, repeated)),
            Math.Max(Math.Max(run, four.Closed + four.Open), Math.Max(simple, repeated)),
            Math.Max(0, run - double.Hypot(gainDown, shiftLess)),
            run + double.Hypot(gainUp, shiftMore));
    }

    private static double Sum(CycleDamage model, CycleList cycles, double gain, double shiftN) =>
        model.Sum(cycles.From, cycles.To, cycles.Weight, gain, shiftN);
}
