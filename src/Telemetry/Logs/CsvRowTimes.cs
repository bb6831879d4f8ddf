namespace Telemetry.Logs;

/// <summary>Times and one more column of any rows of a CSV log, read as the reader of whole logs reads them.</summary>
/// <param name="source">The text, UTF-8 without a byte order mark.</param>
/// <param name="fileName">Name for messages.</param>
/// <param name="head">Its first lines.</param>
/// <param name="layout">What was found in them.</param>
/// <param name="options">What the file leaves open; asks for one column.</param>
internal sealed class CsvRowTimes(LogSource source, string fileName, byte[] head, CsvLayout layout, LogOptions options)
{
    private const double DayS = 86_400;

    /// <summary>Rows that are read to see the time of the first: enough to pass over remarks and blank lines.</summary>
    private const int FirstRowsBytes = 1 << 16;

    /// <summary>Where the first row begins.</summary>
    public int DataStart { get; } = LineBreaks.OffsetOfLine(head, layout.DataLine);

    /// <summary>The unit that the column asked for states; empty when it states none or there is no such column.</summary>
    public string Unit { get; } = layout.Columns.Where((column, k) => k != layout.TimeIndex && CsvColumns.IsAskedFor(column, options)).FirstOrDefault()?.Unit ?? "";

    /// <summary>Times, s, and values of all rows in a range that begins and ends at rows.</summary>
    /// <param name="from">First byte.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="notBeforeS">Time of the row above, s, or minus infinity: times of day that are far below it are of the next day.</param>
    public (double[] TimesS, double[] Values) Read(long from, long to, double notBeforeS)
    {
        byte[] bytes = GC.AllocateUninitializedArray<byte>(DataStart + checked((int)(to - from)));
        head.AsSpan(0, DataStart).CopyTo(bytes);
        int got = source.Read(from, bytes.AsSpan(DataStart));
        using MemorySource rows = new(bytes.AsMemory(0, DataStart + got));
        CsvData data = CsvData.Parse(rows, head, fileName, layout, options, CsvParts.DefaultPartBytes);
        ParsedColumn[] columns = data.Join();
        double[] times = columns[0].Values.ToArray();
        CsvChannels.ToSeconds(times, layout.TimeUnitsPerSecond);
        if (layout.TimeStyle == TimeStyle.TimeOfDay)
        {
            PassMidnight(times, notBeforeS);
        }

        return columns.Length > 1 ? (times, columns[1].WithBlanks(times.Length)) : throw new InputError(
            data.Place(layout.HeaderLine),
            $"No column is '{string.Join("', '", options.OnlyColumns)}'; besides time there are {CsvLayoutFinder.Short(string.Join(", ", layout.Columns.Where((_, k) => k != layout.TimeIndex).Select(column => $"'{column.Name}'")))}.",
            "Correct the name of the speed under [channels] in the car file, or export the log with its speed.");
    }

    /// <summary>Byte of the first row in a range whose time is no earlier than one; the end of the range when there is none.</summary>
    /// <param name="timeS">The time, s.</param>
    /// <param name="from">First byte of the range, where a row begins.</param>
    /// <param name="to">One past its last, where a row ends.</param>
    /// <param name="notBeforeS">As for <see cref="Read"/>.</param>
    public long RowAt(double timeS, long from, long to, double notBeforeS)
    {
        // All rows that begin before 'low' are earlier; the row that begins at 'high' is not, or is behind the range.
        long low = from;
        long high = to;
        while (low < high)
        {
            long row = RowBehind(low + ((high - low) / 2), high);
            if (row >= high)
            {
                // No row begins in the upper half: go through the lower one row by row, a few at most.
                row = low;
            }

            (double[] times, _) = Read(row, EndOfFirstRows(row, to), notBeforeS);
            if (times.Length > 0 && times[0] < timeS)
            {
                low = RowBehind(row, high);
            }
            else if (row == low)
            {
                return low;
            }
            else
            {
                high = row;
            }
        }

        return high;
    }

    /// <summary>Where the next row begins behind a byte; the limit when there is none before it.</summary>
    public long RowBehind(long at, long limit)
    {
        byte[] buffer = new byte[1 << 12];
        while (at < limit)
        {
            int got = source.Read(at, buffer.AsSpan(0, (int)Math.Min(buffer.Length, limit - at)));
            int index = buffer.AsSpan(0, got).IndexOf(RowBreak);
            if (index >= 0)
            {
                return at + index + 1;
            }

            if (got == 0)
            {
                break;
            }

            at += got;
        }

        return limit;
    }

    /// <summary>The byte that ends a row.</summary>
    private byte RowBreak { get; } = LineBreaks.OfRows(head.AsSpan(LineBreaks.OffsetOfLine(head, layout.DataLine)));

    private long EndOfFirstRows(long row, long limit) => RowBehind(Math.Min(row + FirstRowsBytes, limit), limit);

    private static void PassMidnight(double[] times, double notBeforeS)
    {
        double last = notBeforeS;
        for (int i = 0; i < times.Length; i++)
        {
            while (times[i] < last - (DayS / 2))
            {
                times[i] += DayS;
            }

            last = times[i];
        }
    }
}
