using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Review;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Tables;

/// <summary>Kerbs, what is no kerb, and the load history of each strike.</summary>
public static class KerbTables
{
    /// <summary>Kerbs with what they cost, worst peak first.</summary>
    public static ResultTable Kerbs(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        ImmutableArray<TableColumn> columns =
        [
            new("kerb", "-"), new("distance", "m"), new("side", ""), new("strikes", "-"), new("laps", "-"), new("confidence", "-", 2), new("scatter of its place", "m", 1),
            new("worst peak load", "N"), new("peak is a lower bound", ""), new("corner", ""), new("past a limit", "-"),
            new("rank by damage", "-"), new("costs most to", ""), new("damage", "-", 6), new("share of the part's damage", "%", 1), new("life if left alone", "times", 2),
        ];
        Dictionary<int, (int Rank, KerbCost Cost)> costs = review.KerbCosts.Select((cost, i) => (i + 1, cost)).ToDictionary(pair => pair.cost.Kerb, pair => (pair.Item1, pair.cost));
        return new("kerbs", "Kerbs, worst peak first", columns, [.. review.Kerbs.Kerbs.Select(kerb =>
        {
            (int rank, KerbCost? cost) = costs.TryGetValue(kerb.Number, out (int Rank, KerbCost Cost) found) ? found : (0, null);
            bool costly = cost?.ComponentId is not null;
            return ImmutableArray.CreateRange<TableCell>(
            [
                kerb.Number, kerb.DistanceM, kerb.IsLeft ? "left" : "right", kerb.Strikes, kerb.Laps, kerb.Confidence, kerb.PlaceScatterM,
                kerb.WorstPeakLoadN, ReviewTables.YesNo(kerb.WorstIsLowerBound), kerb.WorstCorner.Code(), kerb.Exceedances,
                costly ? rank : double.NaN, cost?.ComponentId ?? "", costly ? cost!.Damage : double.NaN, costly ? 100 * cost!.ShareOfRun : double.NaN,
                costly ? cost!.LifeGain : double.NaN,
            ]);
        })]);
    }

    /// <summary>Steep rises that are no kerb strikes, or that cannot be told, in time order.</summary>
    public static ResultTable OtherEvents(KerbResult kerbs)
    {
        ArgumentNullException.ThrowIfNull(kerbs);
        ImmutableArray<TableColumn> columns =
        [
            new("event", "-"), new("taken for", ""), new("probability", "-", 2), new("corner", ""), new("lap", "-"), new("time", "s", 3), new("distance", "m"),
            new("speed", "km/h"), new("peak load", "N"), new("dynamic peak", "N"), new("damper velocity", "mm/s"), new("margin of safety", "-", 2), new("why", ""),
        ];
        return new("other_events", "Bumps, the floor touching, and what could not be told", columns, [.. kerbs.OtherEvents.Select(e => ImmutableArray.CreateRange<TableCell>(
        [
            e.Number, Word(e.Telling.Class), e.Telling.Probability, e.Corner.Code(), e.Lap, e.TimeS, e.DistanceM,
            e.SpeedMps * KmhPerMps, e.PeakLoadN, e.DynamicPeakN, e.DamperVelocityMps * 1000, e.MarginOfSafety, e.Telling.Reason,
        ]))]);
    }

    /// <summary>The load history of strikes at the logging rate: one row a sample. Long, so it is written on request only.</summary>
    /// <param name="review">The run.</param>
    /// <param name="strikes">Numbers of the strikes; all when empty.</param>
    public static ResultTable Histories(RunReview review, ImmutableArray<int> strikes)
    {
        ArgumentNullException.ThrowIfNull(review);
        ImmutableArray<TableColumn> columns = [new("strike", "-"), new("corner", ""), new("time", "s", 4), new("time from the peak", "ms", 1), new("pushrod load", "N"), new("damper travel", "mm", 2)];
        var rows = ImmutableArray.CreateBuilder<ImmutableArray<TableCell>>();
        foreach (KerbStrike strike in review.Kerbs.Strikes.Where(strike => strikes.IsDefaultOrEmpty || strikes.Contains(strike.Number)))
        {
            SampleSource load = review.Wheels.Pushrods.PushrodLoadN[strike.Corner];
            SampleSource? travel = review.Wheels.Pushrods.DamperTravelM[strike.Corner];
            for (int i = strike.FromIndex; i < strike.ToIndex; i++)
            {
                double time = review.Run.Clock.At(i);
                rows.Add([strike.Number, strike.Corner.Code(), time, 1000 * (time - strike.TimeS), load[i], travel is { Length: > 0 } ? 1000 * travel[i] : double.NaN]);
            }
        }

        return new("strike_histories", "Load history of each strike", columns, rows.ToImmutable());
    }

    private static string Word(StrikeClass kind) => kind switch
    {
        StrikeClass.Bump => "bump",
        StrikeClass.Bottoming => "bottoming",
        StrikeClass.KerbStrike => "kerb strike",
        _ => "not told",
    };
}
