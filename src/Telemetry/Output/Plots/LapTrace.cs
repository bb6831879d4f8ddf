using Telemetry.Runs;

namespace Telemetry.Output.Plots;

/// <summary>One channel over one lap, gathered in even columns of distance: lowest, mean and highest sample of each.</summary>
/// <remarks>Nothing is lost between columns: the extremes of every sample are in the band. NaN where a column has no sample.</remarks>
internal sealed class LapTrace
{
    private LapTrace(int columns)
    {
        Low = new double[columns];
        Mean = new double[columns];
        High = new double[columns];
    }

    public double[] Low { get; }

    public double[] Mean { get; }

    public double[] High { get; }

    /// <summary>Middles of the columns.</summary>
    /// <param name="length">Length of the axis that the columns divide.</param>
    /// <param name="columns">Number of columns.</param>
    public static double[] Middles(double length, int columns)
    {
        double[] middles = new double[columns];
        for (int i = 0; i < columns; i++)
        {
            middles[i] = (i + 0.5) * length / columns;
        }

        return middles;
    }

    /// <summary>Gathers a channel.</summary>
    /// <param name="values">One value a sample of the clock; NaN is left out.</param>
    /// <param name="factor">Shown unit per SI unit.</param>
    /// <param name="axis">The lap axis.</param>
    /// <param name="lap">The lap.</param>
    /// <param name="columns">Number of columns.</param>
    public static LapTrace Of(SampleSource values, double factor, LapAxis axis, Lap lap, int columns)
    {
        LapTrace trace = new(columns);
        Span<int> counts = columns <= 2048 ? stackalloc int[columns] : new int[columns];
        counts.Clear();
        Array.Fill(trace.Low, double.PositiveInfinity);
        Array.Fill(trace.High, double.NegativeInfinity);
        double perColumn = columns / axis.Length;
        ReadOnlySpan<double> distanceM = axis.DistanceM;

        // Neighbours mostly share a column: its numbers stay at hand until the next one begins, because this runs over every sample of every lap and mode.
        int current = 0;
        (double low, double sum, double high, int count) = (double.PositiveInfinity, 0, double.NegativeInfinity, 0);
        void Keep(Span<int> counts)
        {
            counts[current] += count;
            trace.Mean[current] += sum;
            trace.Low[current] = Math.Min(trace.Low[current], low);
            trace.High[current] = Math.Max(trace.High[current], high);
        }

        double[] room = SampleSource.RoomForBlock();
        foreach ((int start, int length) in SampleSource.Blocks(lap.StartIndex, lap.EndIndex))
        {
            ReadOnlySpan<double> block = values.Read(start, length, room);
            for (int k = 0; k < block.Length; k++)
            {
                double value = block[k] * factor;
                int i = start + k;
                double at = (distanceM.IsEmpty ? axis.At(i, lap) : distanceM[i]) * perColumn;
                if (!double.IsFinite(value) || !(at >= 0 && at < columns))
                {
                    continue;
                }

                if ((int)at != current)
                {
                    Keep(counts);
                    current = (int)at;
                    (low, sum, high, count) = (value, value, value, 1);
                    continue;
                }

                count++;
                sum += value;
                low = value < low ? value : low;
                high = value > high ? value : high;
            }
        }

        Keep(counts);
        for (int i = 0; i < columns; i++)
        {
            if (counts[i] == 0)
            {
                trace.Low[i] = trace.Mean[i] = trace.High[i] = double.NaN;
            }
            else
            {
                trace.Mean[i] /= counts[i];
            }
        }

        return trace;
    }
}

/// <summary>The horizontal axis of a lap: distance from the line, or time where the run has no distance.</summary>
internal sealed class LapAxis
{
    private readonly Run run;
    private readonly bool byDistance;

    public LapAxis(Run run, IReadOnlyList<Lap> laps)
    {
        this.run = run;
        byDistance = !run.LapDistanceM.IsDefaultOrEmpty && laps.Any(lap => lap.LengthM > 0);
        Length = byDistance ? laps.Max(lap => double.IsFinite(lap.LengthM) ? lap.LengthM : 0) : laps.Max(lap => lap.DurationS);
        Length = Length > 0 ? Length : 1;
    }

    /// <summary>Length of the axis, m or s.</summary>
    public double Length { get; }

    public string Label => byDistance ? "Distance along the lap (m)" : "Time from the start of the lap (s)";

    public string Unit => byDistance ? "m" : "s";

    /// <summary>Distance along the lap, one value a sample, m; empty where the axis is time.</summary>
    public ReadOnlySpan<double> DistanceM => byDistance ? run.LapDistanceM.AsSpan() : [];

    public double At(int index, Lap lap) => byDistance ? run.LapDistanceM[index] : run.Clock.At(index) - lap.StartS;
}
