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
    public static LapTrace Of(SampleSource values, double factor, LapAxis axis, Lap lap, int columns) => Of([(values, factor)], axis, lap, columns)[0];

    /// <summary>Gathers several channels of a lap, one after the other in each stretch of it, so that what they share is at hand.</summary>
    /// <param name="channels">Values and factor of each.</param>
    /// <param name="axis">The lap axis.</param>
    /// <param name="lap">The lap.</param>
    /// <param name="columns">Number of columns.</param>
    public static LapTrace[] Of(IReadOnlyList<(SampleSource Values, double Factor)> channels, LapAxis axis, Lap lap, int columns)
    {
        Gathering[] gatherings = [.. channels.Select(_ => new Gathering(columns))];
        double perColumn = columns / axis.Length;
        double[] room = SampleSource.RoomForBlock(), places = SampleSource.RoomForBlock();
        foreach ((int start, int length) in SampleSource.Blocks(lap.StartIndex, lap.EndIndex))
        {
            Span<double> at = places.AsSpan(0, length);
            axis.Read(start, lap, at);
            foreach (ref double place in at)
            {
                place *= perColumn;
            }

            for (int c = 0; c < gatherings.Length; c++)
            {
                gatherings[c].Add(channels[c].Values.Read(start, length, room), channels[c].Factor, at);
            }
        }

        return [.. gatherings.Select(gathering => gathering.Trace())];
    }

    /// <summary>A trace while it is gathered.</summary>
    private sealed class Gathering(int columns)
    {
        private readonly double[] _low = Filled(columns, double.PositiveInfinity);
        private readonly double[] _sum = new double[columns];
        private readonly double[] _high = Filled(columns, double.NegativeInfinity);
        private readonly int[] _counts = new int[columns];

        // Neighbours mostly share a column: its numbers stay at hand until the next one begins, because this runs over every sample of every lap and mode.
        private int _current;
        private (double Low, double Sum, double High, int Count) _here = (double.PositiveInfinity, 0, double.NegativeInfinity, 0);

        public void Add(ReadOnlySpan<double> values, double factor, ReadOnlySpan<double> places)
        {
            int current = _current;
            (double low, double sum, double high, int count) = _here;
            for (int k = 0; k < values.Length; k++)
            {
                double value = values[k] * factor;
                double at = places[k];
                if (!double.IsFinite(value) || !(at >= 0 && at < columns))
                {
                    continue;
                }

                if ((int)at != current)
                {
                    Keep(current, (low, sum, high, count));
                    current = (int)at;
                    (low, sum, high, count) = (value, value, value, 1);
                    continue;
                }

                count++;
                sum += value;
                low = value < low ? value : low;
                high = value > high ? value : high;
            }

            (_current, _here) = (current, (low, sum, high, count));
        }

        public LapTrace Trace()
        {
            Keep(_current, _here);
            LapTrace trace = new(columns);
            for (int i = 0; i < columns; i++)
            {
                bool isEmpty = _counts[i] == 0;
                trace.Low[i] = isEmpty ? double.NaN : _low[i];
                trace.Mean[i] = isEmpty ? double.NaN : _sum[i] / _counts[i];
                trace.High[i] = isEmpty ? double.NaN : _high[i];
            }

            return trace;
        }

        private void Keep(int column, (double Low, double Sum, double High, int Count) here)
        {
            _counts[column] += here.Count;
            _sum[column] += here.Sum;
            _low[column] = Math.Min(_low[column], here.Low);
            _high[column] = Math.Max(_high[column], here.High);
        }

        private static double[] Filled(int columns, double value)
        {
            double[] filled = new double[columns];
            Array.Fill(filled, value);
            return filled;
        }
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
        byDistance = !run.LapDistanceM.IsEmpty && laps.Any(lap => lap.LengthM > 0);
        Length = byDistance ? laps.Max(lap => double.IsFinite(lap.LengthM) ? lap.LengthM : 0) : laps.Max(lap => lap.DurationS);
        Length = Length > 0 ? Length : 1;
    }

    /// <summary>Length of the axis, m or s.</summary>
    public double Length { get; }

    public string Label => byDistance ? "Distance along the lap (m)" : "Time from the start of the lap (s)";

    public string Unit => byDistance ? "m" : "s";

    /// <summary>Where samples lie on the axis, m or s.</summary>
    /// <param name="start">The first sample.</param>
    /// <param name="lap">The lap in which they lie.</param>
    /// <param name="places">Receives one place a sample.</param>
    public void Read(int start, Lap lap, Span<double> places)
    {
        if (byDistance)
        {
            run.LapDistanceM.ReadInto(start, places);
            return;
        }

        for (int i = 0; i < places.Length; i++)
        {
            places[i] = At(start + i, lap);
        }
    }

    public double At(int index, Lap lap) => byDistance ? run.LapDistanceM[index] : run.Clock.At(index) - lap.StartS;
}
