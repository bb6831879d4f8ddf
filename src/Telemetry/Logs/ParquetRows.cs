namespace Telemetry.Logs;

/// <summary>Lays channels of different rates out as one table: which row each sample stands in.</summary>
/// <remarks>
/// The rows are the times of all channels together. Times of uneven channels are kept to the bit. A sample of an even grid shares a row
/// that lies within <see cref="SameRowInSteps"/> of its step, since 10 * 0.001 and 1 * 0.01 differ in their last bits; its exact grid stands in the metadata.
/// </remarks>
internal sealed class ParquetRows
{
    private const double SameRowInSteps = 1e-6;
    private readonly Dictionary<TimeBase, int[]?> _rows = [];

    /// <summary>The times; null while they are those of one even grid.</summary>
    private double[]? _timesS;
    private TimeBase? _grid;

    private ParquetRows(double[] timesS) => _timesS = timesS;

    /// <summary>Number of rows.</summary>
    public int Count => _timesS?.Length ?? _grid!.Count;

    /// <summary>Time of a row, s; strictly rising.</summary>
    public double TimeS(int row) => _timesS is null ? _grid!.At(row) : _timesS[row];

    /// <summary>Times of rows that follow each other, s.</summary>
    /// <param name="start">The first row.</param>
    /// <param name="timesS">Receives as many as it is long.</param>
    public void TimesInto(int start, Span<double> timesS)
    {
        for (int i = 0; i < timesS.Length; i++)
        {
            timesS[i] = TimeS(start + i);
        }
    }

    /// <summary>Row of each sample of a time base; null when sample i stands in row i and every row has one.</summary>
    public int[]? RowsOf(TimeBase time) => _rows[time];

    /// <summary>Lays out the time bases of a log.</summary>
    public static ParquetRows Of(IEnumerable<TimeBase> timeBases)
    {
        List<TimeBase> distinct = [.. timeBases.Distinct()];
        double[] exact = Merged(distinct.Where(time => !time.IsEven && time.Count > 0));
        ParquetRows rows = new(exact);
        foreach (TimeBase time in distinct.Where(time => time.IsEven).OrderBy(time => time.StepS).ThenBy(time => time.StartS))
        {
            // The finest grid comes first, and most logs have no other.
            bool isFirst = rows.Count == 0;
            rows._timesS = isFirst ? null : rows.WithGrid(time);
            rows._grid = isFirst ? time : null;
        }

        foreach (TimeBase time in distinct)
        {
            rows._rows[time] = rows.Place(time);
        }

        return rows;
    }

    private static double[] Merged(IEnumerable<TimeBase> uneven)
    {
        List<double> all = [];
        foreach (TimeBase time in uneven)
        {
            all.AddRange(time.TimesS.AsSpan());
        }

        all.Sort();
        int write = 0;
        for (int i = 0; i < all.Count; i++)
        {
            if (write == 0 || all[i] > all[write - 1])
            {
                all[write++] = all[i];
            }
        }

        return [.. all[..write]];
    }

    private double[] WithGrid(TimeBase grid)
    {
        double[] known = new double[Count];
        TimesInto(0, known);
        double same = SameRowInSteps * grid.StepS;
        List<double> merged = new(known.Length + grid.Count);
        int next = 0;
        for (int i = 0; i < grid.Count; i++)
        {
            double time = grid.At(i);
            while (next < known.Length && known[next] < time - same)
            {
                merged.Add(known[next++]);
            }

            if (next < known.Length && known[next] <= time + same)
            {
                merged.Add(known[next++]);
            }
            else
            {
                merged.Add(time);
            }
        }

        merged.AddRange(known.AsSpan(next));
        return [.. merged];
    }

    private int[]? Place(TimeBase time)
    {
        if (time.Count == Count)
        {
            // Each of its samples has a row of its own, in their order, so none is left over.
            return null;
        }

        double same = time.IsEven ? SameRowInSteps * time.StepS : 0;
        int[] rows = new int[time.Count];
        int row = 0;
        for (int i = 0; i < rows.Length; i++)
        {
            double at = time.At(i);
            while (TimeS(row) < at - same)
            {
                row++;
            }

            rows[i] = row++;
        }

        return rows;
    }
}
