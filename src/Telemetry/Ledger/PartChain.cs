using System.Collections.Immutable;
using Telemetry.Fatigue;

namespace Telemetry.Ledger;

/// <summary>Adds the runs of one part up, one after the other, with the cycles that close between them.</summary>
/// <remarks>
/// Between runs only turning points that a run alone leaves open matter (rainflow counting, ASTM E1049-85, 5.4.4: a range that closes within a run closes in the joined
/// history too). They are counted on with those carried in; what closes is charged by the S-N line of the later run, and so are the half cycles that stay open.
/// </remarks>
internal sealed class PartChain
{
    private double closed;
    private bool hasOwn;

    /// <summary>Half cycles open now.</summary>
    public double Open { get; private set; }

    /// <summary>Open turning points, N, oldest first.</summary>
    public ImmutableArray<double> OpenPointsN { get; private set; } = [];

    /// <summary>Miner sum so far, open half cycles included.</summary>
    public double Sum => closed + Open;

    /// <summary>True when a run's damage is not known, so that the sum is a lower bound.</summary>
    public bool IsLowerBound { get; private set; }

    /// <summary>What is doubtful about the last run's join; null when nothing is.</summary>
    public string? Doubt { get; private set; }

    /// <summary>Adds the next run.</summary>
    /// <returns>The damage that it added; null when it is not known.</returns>
    public double? Add(PartFigures run, CycleDamage? strength)
    {
        Doubt = null;
        double before = Sum;
        if (run.IsOldForm)
        {
            Doubt = hasOwn ? "taken over from the old form of the ledger, and not joined with the run before it: analyse its log again" : null;
            SetJoined(before, run);
            return Sum - before;
        }

        if (run.ClosedDamage is not { } own)
        {
            // Without an S-N line the life is not followed at all; with one, this run is missing in it.
            IsLowerBound |= run.CriticalDamage is not null;
            return null;
        }

        hasOwn = true;
        if (run.OpenPointsN.IsEmpty)
        {
            closed += own;
        }
        else if (strength is null)
        {
            Doubt = "the car file that the ledger keeps for it cannot be read by this program, so that its cycles with the run before are as they were told on the day: analyse its log again";
            SetJoined(before, run);
        }
        else
        {
            Join(run, own, strength);
        }

        return Sum - before;
    }

    private void SetJoined(double before, PartFigures run)
    {
        Open = run.OpenDamageTold ?? 0;
        closed = before + run.DamageTold!.Value - Open;
        OpenPointsN = run.OpenPointsN;
    }

    private void Join(PartFigures run, double own, CycleDamage strength)
    {
        RainflowCounter counter = new(run.SmallestRangeN, OpenPointsN.AsSpan());
        counter.Add(run.OpenPointsN.AsSpan());
        CycleCount cycles = counter.Count();
        OpenPointsN = counter.Residue;

        // The count ends with the half cycles of what is still open, one between two neighbours.
        int closedCount = Math.Max(0, cycles.Count - Math.Max(0, OpenPointsN.Length - 1));
        ReadOnlySpan<double> from = cycles.FromN.AsSpan(), to = cycles.ToN.AsSpan(), weight = cycles.Weight.AsSpan();
        closed += own + strength.Sum(from[..closedCount], to[..closedCount], weight[..closedCount]);
        Open = strength.Sum(from[closedCount..], to[closedCount..], weight[closedCount..]);
    }
}
