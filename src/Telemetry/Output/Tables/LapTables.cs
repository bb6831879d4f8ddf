using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Review;
using Telemetry.Runs;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Tables;

/// <summary>What each lap held and what it cost.</summary>
internal static class LapTables
{
    /// <summary>One row a lap: time, distance, top speed, largest and smallest pushrod load a corner, strikes, damage a component.</summary>
    public static ResultTable Laps(RunReview review)
    {
        bool hasSpeed = review.Run.Has(ChannelRole.Speed);
        ImmutableArray<TableColumn>.Builder columns = ImmutableArray.CreateBuilder<TableColumn>();
        columns.AddRange(new("lap", "-"), new("start", "s", 3), new("time", "s", 3), new("distance", "m"), new("complete", ""));
        if (hasSpeed)
        {
            columns.Add(new("top speed", "km/h"));
        }

        foreach (Corner corner in Corners.All)
        {
            columns.Add(new($"largest pushrod load {corner.Code()}", "N"));
            columns.Add(new($"smallest pushrod load {corner.Code()}", "N"));
        }

        columns.Add(new("kerb strikes", "-"));
        ImmutableArray<ComponentResult> followed = [.. review.Fatigue.Components.Where(c => c.DamageByLap.Length == review.Run.Laps.Laps.Length)];
        foreach (ComponentResult result in followed)
        {
            columns.Add(new($"damage {result.Component.Id}", "-", 7));
        }

        ImmutableArray<ImmutableArray<TableCell>>.Builder rows = ImmutableArray.CreateBuilder<ImmutableArray<TableCell>>();
        for (int number = 0; number < review.Run.Laps.Laps.Length; number++)
        {
            Lap lap = review.Run.Laps.Laps[number];
            ImmutableArray<TableCell>.Builder row = ImmutableArray.CreateBuilder<TableCell>(columns.Count);
            row.Add(lap.Number);
            row.Add(lap.StartS);
            row.Add(lap.DurationS);
            row.Add(lap.LengthM);
            row.Add(ReviewTables.YesNo(lap.IsComplete));
            if (hasSpeed)
            {
                row.Add(Range(review.Run.OnClock(ChannelRole.Speed), lap).Largest * KmhPerMps);
            }

            foreach (Corner corner in Corners.All)
            {
                (double smallest, double largest) = Range(review.Wheels.Pushrods.PushrodLoadN[corner], lap);
                row.Add(largest);
                row.Add(smallest);
            }

            row.Add(review.Kerbs.WithheldBecause is null ? review.Kerbs.Strikes.Count(strike => strike.Lap == lap.Number) : double.NaN);
            foreach (ComponentResult result in followed)
            {
                row.Add(result.DamageByLap[number]);
            }

            rows.Add(row.ToImmutable());
        }

        return new("laps", "Laps", columns.ToImmutable(), rows.ToImmutable());
    }

    /// <summary>Smallest and largest of a lap; NaN samples count for nothing, and a lap of nothing else gives NaN.</summary>
    private static (double Smallest, double Largest) Range(SampleSource samples, Lap lap)
    {
        int end = Math.Min(lap.EndIndex, samples.Length);
        (double smallest, double largest) = Extremes.Of(samples, Math.Min(lap.StartIndex, end), end);
        return smallest <= largest ? (smallest, largest) : (double.NaN, double.NaN);
    }
}
