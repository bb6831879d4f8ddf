using System.Collections.Immutable;
using Telemetry.Runs;

namespace Telemetry.Fatigue;

/// <summary>How far the number of cycles that reach a range would scatter over as many laps like those of the run.</summary>
/// <remarks>
/// The complete laps are drawn again with replacement; a cycle belongs to the lap that ended it, and what lies in other laps stays as it is.
/// It holds for this run's day, driver and track; runs differ by more than laps do, which <see cref="LifeForecast"/> takes in.
/// </remarks>
/// <param name="LevelsN">Ranges, N, rising from 0 by even steps; the last is the largest range.</param>
/// <param name="Low95">Cycles that reach each level, 2.5 % point of the draws.</param>
/// <param name="High95">97.5 % point.</param>
public sealed record ExceedanceBand(ImmutableArray<double> LevelsN, ImmutableArray<double> Low95, ImmutableArray<double> High95)
{
    /// <summary>Laps below which no band is drawn: fewer cannot show how laps differ (common practice, no source).</summary>
    private const int FewestLaps = 5;
    private const int Levels = 120;
    private const int Draws = 400;

    /// <summary>Draws the band.</summary>
    /// <param name="part">A part with counted cycles.</param>
    /// <param name="laps">Laps of the run.</param>
    /// <returns>Null with fewer than five complete laps or without a cycle that has a range.</returns>
    public static ExceedanceBand? Of(ComponentResult part, LapTable laps)
    {
        ArgumentNullException.ThrowIfNull(part);
        ArgumentNullException.ThrowIfNull(laps);
        ReadOnlySpan<double> from = part.Cycles.FromN.AsSpan();
        ReadOnlySpan<double> to = part.Cycles.ToN.AsSpan();
        double largest = part.Cycles.LargestRangeN();

        int[] complete = [.. Enumerable.Range(0, laps.Laps.Length).Where(lap => laps.Laps[lap].IsComplete)];
        if (complete.Length < FewestLaps || !(largest > 0))
        {
            return null;
        }

        // Cycles that reach each level, by complete lap; the last row is all other laps.
        double[][] counts = [.. Enumerable.Range(0, complete.Length + 1).Select(_ => new double[Levels])];
        int lapAt = 0;
        for (int i = 0; i < from.Length; i++)
        {
            int end = Math.Max(part.Cycles.ToIndex[i], 0);
            while (lapAt > 0 && end < laps.Laps[lapAt].StartIndex)
            {
                lapAt--;
            }

            while (lapAt < laps.Laps.Length - 1 && end >= laps.Laps[lapAt].EndIndex)
            {
                lapAt++;
            }

            int row = Array.BinarySearch(complete, lapAt);
            counts[row < 0 ? complete.Length : row][Math.Min(Levels - 1, (int)(Math.Abs(to[i] - from[i]) / largest * (Levels - 1)))] += part.Cycles.Weight[i];
        }

        foreach (double[] lap in counts)
        {
            for (int level = Levels - 2; level >= 0; level--)
            {
                lap[level] += lap[level + 1];
            }
        }

        double[][] drawn = [.. Enumerable.Range(0, Levels).Select(_ => new double[Draws])];
        LifeBootstrap.Draws random = new(1);
        double[] sums = new double[Levels];
        for (int draw = 0; draw < Draws; draw++)
        {
            Array.Clear(sums);
            for (int lap = 0; lap < complete.Length; lap++)
            {
                double[] one = counts[random.Below(complete.Length)];
                for (int level = 0; level < sums.Length; level++)
                {
                    sums[level] += one[level];
                }
            }

            for (int level = 0; level < sums.Length; level++)
            {
                drawn[level][draw] = sums[level];
            }
        }

        for (int level = 0; level < Levels; level++)
        {
            Array.Sort(drawn[level]);
        }

        return new(
            [.. Enumerable.Range(0, Levels).Select(level => largest * level / (Levels - 1))],
            [.. drawn.Select((d, level) => d[(int)(0.025 * (Draws - 1))] + counts[^1][level])],
            [.. drawn.Select((d, level) => d[(int)Math.Ceiling(0.975 * (Draws - 1))] + counts[^1][level])]);
    }
}
