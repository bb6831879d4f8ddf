using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.WheelLoads;

namespace Telemetry.Fatigue;

/// <summary>The cycles of one load, shared by all parts that see it: peaks, the joined count, and the same run counted by other methods. Disposed of when its parts are judged.</summary>
internal sealed record LoadCount : IDisposable
{
    /// <summary>The load itself.</summary>
    public required ComponentLoad Load { get; init; }

    /// <summary>Where its peaks are.</summary>
    public required LoadPeaks Peaks { get; init; }

    /// <summary>True when a cell of the load stood at its range limit.</summary>
    public required bool IsLowerBound { get; init; }

    /// <summary>Turning points that were carried in and joined, N, oldest first.</summary>
    public required ImmutableArray<double> CarriedN { get; init; }

    /// <summary>Cycles as counted, carried turning points told apart by their index.</summary>
    public required CycleList Cycles { get; init; }

    /// <summary>The same as a result.</summary>
    public required CycleCount Result { get; init; }

    /// <summary>Open turning points after the run, N.</summary>
    public required ImmutableArray<double> ResidueN { get; init; }

    /// <summary>Cycles that the reversal filter left out, by a count without it; empty without a filter.</summary>
    public required CycleList Filtered { get; init; }

    /// <summary>The cycles that four-point counting closes in the run on its own.</summary>
    public required RangePairs FourPointClosed { get; init; }

    /// <summary>The turning points that it leaves open, N; each range between neighbours is half a cycle.</summary>
    public required double[] FourPointOpenN { get; init; }

    /// <summary>Turning points that the run alone leaves open, N.</summary>
    public required ImmutableArray<double> OwnOpenN { get; init; }

    /// <summary>What the residue adds when the run is repeated for ever.</summary>
    public required CycleList Repeated { get; init; }

    /// <summary>Turning points of the run on its own, N: by simple ranges each range between neighbours is half a cycle.</summary>
    public required WholeSamples ReversalsN { get; init; }

    /// <summary>Counts one load.</summary>
    /// <param name="terms">The load.</param>
    /// <param name="smallestRangeN">Reversal filter, N.</param>
    /// <param name="carriedN">Residue of earlier runs; left alone when the load has no trusted zero, because the step from run to run would be a cycle that never was.</param>
    /// <param name="wheels">Loads of the run.</param>
    /// <param name="options">Choices.</param>
    public static LoadCount Of(ImmutableArray<LoadTerm> terms, double smallestRangeN, ImmutableArray<double> carriedN, WheelLoadSet wheels, FatigueOptions options)
    {
        ComponentLoad load = ComponentLoad.Of(terms, wheels);
        using WholeSamples whole = load.LoadN.Whole();
        ReadOnlySpan<double> samples = whole.Span;
        ImmutableArray<double> joined = load.NoZeroBecause is null ? carriedN : [];
        WholeSamples borrowed = OtherCounts.BorrowedReversals(samples, smallestRangeN);
        ReadOnlySpan<double> reversals = borrowed.Span;
        RangePairs closed = new(reversals.Length / 2);
        double[] open = OtherCounts.CloseFourPoint(reversals, closed);
        // Counted twice, because the turning points are a fraction of the samples: a list that is made too long is copied in the end, which takes longer than the count.
        RainflowCounter counter = new(smallestRangeN, joined.AsSpan(), RainflowCounter.CyclesOf(smallestRangeN, joined.AsSpan(), reversals));
        counter.Add(samples);
        ImmutableArray<double> residue = load.NoZeroBecause is null ? counter.Residue : carriedN;
        CycleList cycles = counter.Finish();
        bool isLowerBound = false;
        foreach (LoadTerm term in terms)
        {
            isLowerBound |= CellReading.StandsAtRangeEnd(wheels.Run, term.Corner, options.RangeEndShare, 0, samples.Length);
        }

        return new()
        {
            Load = load,
            Peaks = LoadPeaks.Of(samples),
            IsLowerBound = isLowerBound,
            CarriedN = joined,
            Cycles = cycles,
            Result = cycles.ShareAsCycleCount(),
            ResidueN = residue,
            Filtered = Below(smallestRangeN, joined, samples),
            FourPointClosed = closed,
            FourPointOpenN = open,
            OwnOpenN = open.Length > 0 ? [.. open] : Unturned(samples, smallestRangeN),
            Repeated = OtherCounts.RepeatedResidue(open),
            ReversalsN = borrowed,
        };
    }

    /// <summary>Gives back the room of what only the judgement needs.</summary>
    public void Dispose()
    {
        ReversalsN.Dispose();
        FourPointClosed.Dispose();
    }

    /// <summary>The filter drops exactly the cycles below it, so these are those of a full count that are smaller.</summary>
    private static CycleList Below(double smallestRangeN, ImmutableArray<double> carriedN, ReadOnlySpan<double> samples)
    {
        CycleList below = new(smallestRangeN > 0 ? 256 : 0);
        if (smallestRangeN > 0)
        {
            RainflowCounter counter = new(0, carriedN.AsSpan());
            counter.Add(samples);
            CycleList all = counter.Finish();
            for (int i = 0; i < all.Count; i++)
            {
                if (Math.Abs(all.To[i] - all.From[i]) < smallestRangeN)
                {
                    below.Add(all.From[i], all.To[i], all.FromIndex[i], all.ToIndex[i], all.Weight[i]);
                }
            }
        }

        return below;
    }

    /// <summary>What a run leaves open whose load never turned: one load, or two that lie within the reversal filter.</summary>
    private static ImmutableArray<double> Unturned(ReadOnlySpan<double> samples, double smallestRangeN)
    {
        RainflowCounter alone = new(smallestRangeN);
        alone.Add(samples);
        return alone.Residue;
    }
}
