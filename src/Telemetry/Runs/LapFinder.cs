using System.Runtime.InteropServices;
using Telemetry.Logs;

namespace Telemetry.Runs;

/// <summary>Finds the laps of a run, and the distance along each.</summary>
internal static class LapFinder
{
    /// <summary>A fall of the lap distance by more than this share of its largest value is the line.</summary>
    private const double ResetShare = 0.5;

    /// <summary>Laps from the lap number, else from the lap distance, else the whole run as one lap.</summary>
    /// <param name="clock">The run's clock.</param>
    /// <param name="lapNumber">Lap number on the clock, or empty.</param>
    /// <param name="lapDistance">Lap distance on the clock, m, or empty.</param>
    /// <param name="speed">Speed on the clock, m/s, or empty.</param>
    /// <param name="lapDistanceM">Distance from the start of the lap at each sample, m; empty when neither distance nor speed is there.</param>
    public static LapTable Find(
        TimeBase clock,
        SampleSource lapNumber,
        SampleSource lapDistance,
        SampleSource speed,
        out SampleSource lapDistanceM)
    {
        List<(int Index, int Number)> starts = [(0, 1)];
        string source = "whole run";
        if (!lapNumber.IsEmpty)
        {
            source = "lap number channel";
            StartsOfNumbers(lapNumber, starts);
        }
        else if (!lapDistance.IsEmpty)
        {
            source = "lap distance channel";
            StartsOfResets(lapDistance, starts);
        }

        lapDistanceM = Distance(clock, starts, lapDistance, speed);
        SampleSource along = lapDistanceM;
        Lap[] laps = new Lap[clock.Count > 0 ? starts.Count : 0];
        Workers.Run(laps.Length, i =>
        {
            bool isLast = i == starts.Count - 1;
            int end = isLast ? clock.Count : starts[i + 1].Index;
            double endS = isLast ? clock.LastS : clock.At(end);
            laps[i] = new Lap(
                starts[i].Number,
                starts[i].Index,
                end,
                clock.At(starts[i].Index),
                endS,
                LengthOf(starts[i].Index, end, clock, along, speed),
                i > 0 && !isLast);
        });
        return new LapTable([.. laps], source);
    }

    private static void StartsOfNumbers(SampleSource lapNumber, List<(int Index, int Number)> starts)
    {
        // Few samples differ from the one before: those are found in any order, and then looked at in theirs.
        List<(int Index, double Value)> changes = [];
        lapNumber.InPieces(lapNumber.Length, (start, numbers) =>
        {
            for (int i = 0; i < numbers.Length; i++)
            {
                if ((i == 0 || numbers[i] != numbers[i - 1]) && !double.IsNaN(numbers[i]))
                {
                    lock (changes)
                    {
                        changes.Add((start + i, numbers[i]));
                    }
                }
            }
        });
        double current = double.NaN;
        foreach ((int index, double value) in changes.OrderBy(change => change.Index))
        {
            if (value == current)
            {
                continue;
            }

            int number = (int)Math.Round(Math.Clamp(value, -1e6, 1e6));
            if (double.IsNaN(current))
            {
                starts[0] = (0, number);
            }
            else
            {
                starts.Add((index, number));
            }

            current = value;
        }
    }

    private static void StartsOfResets(SampleSource lapDistance, List<(int Index, int Number)> starts)
    {
        double largest = Math.Max(0, Extremes.Of(lapDistance, 0, lapDistance.Length).High);
        double last = double.NaN;
        SampleCursor distance = lapDistance.Cursor();
        for (int i = 0; i < distance.Length; i++)
        {
            if (double.IsNaN(distance[i]))
            {
                continue;
            }

            if (last - distance[i] > ResetShare * largest)
            {
                starts.Add((i, starts.Count + 1));
            }

            last = distance[i];
        }
    }

    /// <summary>The logged lap distance, else the integral of speed from the start of each lap; through a gap in the speed its last value is carried on.</summary>
    private static SampleSource Distance(TimeBase clock, List<(int Index, int Number)> starts, SampleSource lapDistance, SampleSource speed)
    {
        if (!lapDistance.IsEmpty)
        {
            return lapDistance;
        }

        if (speed.IsEmpty)
        {
            return SampleSource.None;
        }

        SampleCursor along = speed.Cursor();
        double[] distance = new double[clock.Count];
        int next = 0;
        double sum = 0;
        double last = 0;
        for (int i = 0; i < distance.Length; i++)
        {
            if (next < starts.Count && starts[next].Index == i)
            {
                sum = 0;
                next++;
            }

            distance[i] = sum;
            last = double.IsNaN(along[i]) ? last : along[i];
            sum += last * clock.StepS;
        }

        return SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(distance));
    }

    private static double LengthOf(int start, int end, TimeBase clock, SampleSource lapDistanceM, SampleSource speed)
    {
        if (!speed.IsEmpty)
        {
            double sum = 0;
            double last = 0;
            SampleCursor along = speed.Cursor();
            for (int i = start; i < end; i++)
            {
                last = double.IsNaN(along[i]) ? last : along[i];
                sum += last;
            }

            return sum * clock.StepS;
        }

        if (lapDistanceM.IsEmpty)
        {
            return double.NaN;
        }

        double largest = double.NaN;
        SampleCursor distance = lapDistanceM.Cursor();
        for (int i = start; i < end; i++)
        {
            largest = !(distance[i] <= largest) && !double.IsNaN(distance[i]) ? distance[i] : largest;
        }

        return largest;
    }
}
