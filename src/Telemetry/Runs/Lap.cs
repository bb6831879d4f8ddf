using System.Collections.Immutable;

namespace Telemetry.Runs;

/// <summary>A lap of the run.</summary>
/// <param name="Number">Lap number from 1, or as the log's lap channel counts.</param>
/// <param name="StartIndex">First sample on the run's clock.</param>
/// <param name="EndIndex">One past the last sample.</param>
/// <param name="StartS">Time of the first sample, s.</param>
/// <param name="EndS">Time at which the next lap starts, s; for the last lap, the time of its last sample.</param>
/// <param name="LengthM">Distance run in it, m; NaN when there is no speed.</param>
/// <param name="IsComplete">True when it starts and ends at the line, so that it may stand beside other laps.</param>
public sealed record Lap(int Number, int StartIndex, int EndIndex, double StartS, double EndS, double LengthM, bool IsComplete)
{
    /// <summary>Time from start to end, s.</summary>
    public double DurationS => EndS - StartS;
}

/// <summary>All laps of a run in order; they cover every sample of the clock exactly once.</summary>
/// <param name="Laps">At least one when the run has samples.</param>
/// <param name="Source">What the laps were found from, in words ("lap number channel", "lap distance channel", "whole run").</param>
public sealed record LapTable(ImmutableArray<Lap> Laps, string Source)
{
    /// <summary>The lap that a sample of the clock lies in.</summary>
    /// <param name="index">Sample on the run's clock, from 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">The sample lies in no lap.</exception>
    public Lap At(int index)
    {
        int low = 0;
        int high = Laps.Length - 1;
        while (low <= high)
        {
            int middle = (low + high) / 2;
            if (index < Laps[middle].StartIndex)
            {
                high = middle - 1;
            }
            else if (index >= Laps[middle].EndIndex)
            {
                low = middle + 1;
            }
            else
            {
                return Laps[middle];
            }
        }

        throw new ArgumentOutOfRangeException(nameof(index), index, "The sample lies in no lap.");
    }
}
