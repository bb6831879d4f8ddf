using System.Collections.Immutable;
using System.Globalization;
using System.Runtime.InteropServices;

namespace Telemetry.Logs;

/// <summary>Makes channels from a table: finds repeated and backward times, gives each channel the rows where it has a value, and shares time bases.</summary>
internal sealed class ChannelAssembler
{
    /// <summary>When more of the rows than this share lie before an earlier one, the file is no single run and is refused.</summary>
    private const double MostBackwardShare = 0.1;

    private readonly LogTable table;
    private readonly List<LogFinding> _findings = [];
    private readonly List<(ulong[] Rows, bool IsKnownUneven, TimeBase Time)> _partial = [];
    private readonly Dictionary<TimeBase, TimeBase> _grids = [];

    /// <summary>Takes a table; coarse times are resolved at once, since every channel's rows follow from them.</summary>
    public ChannelAssembler(LogTable given)
    {
        table = CoarseTimes.Resolve(given, out LogFinding? coarse);
        if (coarse is not null)
        {
            _findings.Add(coarse);
        }
    }

    /// <summary>The channels, in the order of the columns.</summary>
    /// <exception cref="InputError">Time runs backward in a large part of the rows.</exception>
    public (ImmutableArray<LoggedChannel> Channels, List<LogFinding> Findings) Assemble()
    {
        byte[]? dropped = FindDropped();
        ImmutableArray<LoggedChannel>.Builder channels = ImmutableArray.CreateBuilder<LoggedChannel>(table.Columns.Count);
        TimeBase? full = null;
        TimeBase? fullUneven = null;
        Valued[] valued = new Valued[table.Columns.Count];
        Workers.Run(valued.Length, i => valued[i] = table.Columns[i].Blanks == 0 ? default : ValuedOf(table.Columns[i], dropped));
        foreach ((TableColumn column, Valued here) in table.Columns.Zip(valued))
        {
            SampleSource values = column.Values;
            TimeBase time;
            if (column.Blanks == 0)
            {
                values = dropped is null ? values : PiecedSamples.Pack(Kept(values.ToImmutableArray().AsSpan(), dropped));
                if (dropped is null && Known(column, table.TimesS) is { } known)
                {
                    time = known;
                }
                else if (table.KnownUneven.Contains(column.Column.Name))
                {
                    time = fullUneven ??= TimeBase.Uneven([.. dropped is null ? table.TimesS : Kept(table.TimesS, dropped)]);
                }
                else
                {
                    time = full ??= Describe(dropped is null ? table.TimesS : Kept(table.TimesS, dropped), table.TimeColumn);
                }
            }
            else
            {
                (time, values) = (Partial(column, here), here.Values);
            }

            channels.Add(new(column.Column.Name, column.Column.Unit, time, values));
        }

        return (channels.MoveToImmutable(), _findings);
    }

    /// <summary>The grid that the file states for a column; one instance for all columns that share it.</summary>
    private TimeBase? Known(TableColumn column, double[] times)
    {
        // A tool may have cut rows and kept the metadata: the grid is believed only where the rows still agree with it.
        const double agreesInSteps = 1e-3;
        if (!table.KnownGrids.TryGetValue(column.Column.Name, out TimeBase? grid) || grid.Count != times.Length
            || (times.Length > 0 && !(Math.Abs(times[0] - grid.StartS) + Math.Abs(times[^1] - grid.LastS) <= agreesInSteps * grid.StepS)))
        {
            return null;
        }

        if (!_grids.TryGetValue(grid, out TimeBase? shared))
        {
            _grids[grid] = shared = grid;
        }

        return shared;
    }

    /// <summary>Marks rows that lie before an earlier one (2) or repeat its time (1); null when there are none.</summary>
    private byte[]? FindDropped()
    {
        double[] times = table.TimesS;
        if (Extremes.OfSteps(times).Low > 0)
        {
            return null;
        }

        double last = double.NegativeInfinity;
        byte[]? dropped = null;
        int repeated = 0;
        int backward = 0;
        int firstRepeated = 0;
        int firstBackward = 0;
        for (int i = 0; i < times.Length; i++)
        {
            if (times[i] > last)
            {
                last = times[i];
                continue;
            }

            dropped ??= new byte[times.Length];
            if (times[i] == last)
            {
                dropped[i] = 1;
                firstRepeated = repeated++ == 0 ? i : firstRepeated;
            }
            else
            {
                dropped[i] = 2;
                firstBackward = backward++ == 0 ? i : firstBackward;
            }
        }

        if (backward > MostBackwardShare * times.Length)
        {
            throw new InputError(
                Where(firstBackward),
                string.Create(CultureInfo.InvariantCulture, $"Time goes back to {TimeGrid.Seconds(times[firstBackward])} here, and {backward} of {times.Length} rows lie before an earlier one."),
                "Cut the file where the clock starts again, or correct the time stamp that ran ahead.");
        }

        if (repeated > 0)
        {
            Add(LogFindingKind.RepeatedTime, firstRepeated, "have the time of a row above; the first value of each channel at a time is kept", repeated);
        }

        if (backward > 0)
        {
            Add(LogFindingKind.BackwardTime, firstBackward, "lie before a row above them and are left out", backward);
        }

        return dropped;
    }

    private void Add(LogFindingKind kind, int row, string text, int count) => _findings.Add(new(
        kind,
        Where(row),
        string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? "row" : "rows")}, the first at {TimeGrid.Seconds(table.TimesS[row])}, {text}."),
        count,
        table.TimesS[row]));

    private string Where(int row) => string.Create(
        CultureInfo.InvariantCulture, $"{table.FileName}, row {table.RowNumber(row)}, column '{table.TimeColumn.Name}'");

    private static double[] Kept(ReadOnlySpan<double> values, byte[] dropped)
    {
        double[] kept = new double[dropped.Count((byte)0)];
        int write = 0;
        for (int i = 0; i < values.Length; i++)
        {
            if (dropped[i] == 0)
            {
                kept[write++] = values[i];
            }
        }

        return kept;
    }

    /// <summary>
    /// The rows where a channel has a value. Rows that repeat a time are looked at for each channel on its own:
    /// a logger that writes fast and slow channels in separate rows of one time loses nothing.
    /// </summary>
    private Valued ValuedOf(TableColumn column, byte[]? dropped)
    {
        ulong[] rows = new ulong[(table.TimesS.Length + 63) / 64];
        if (column.Rows is { } valued)
        {
            (SampleSource values, double[] times) = PartialOf(column.Values, valued, dropped, rows);
            return new(rows, times, values);
        }

        ReadOnlySpan<double> all = column.Values.ToImmutableArray().AsSpan();
        int count = MarkValued(all, dropped, rows);
        return new(rows, Pick(table.TimesS, rows, count), PiecedSamples.Pack(Pick(all, rows, count)));
    }

    /// <summary>The time base of a channel that has no value in some rows, shared with those that have theirs in the same rows.</summary>
    private TimeBase Partial(TableColumn column, Valued here)
    {
        if (Known(column, here.TimesS) is { } grid)
        {
            return grid;
        }

        bool isKnownUneven = table.KnownUneven.Contains(column.Column.Name);
        foreach ((ulong[] known, bool wasUneven, TimeBase time) in _partial)
        {
            if (wasUneven == isKnownUneven && known.AsSpan().SequenceEqual(here.Rows))
            {
                return time;
            }
        }

        TimeBase own = isKnownUneven ? TimeBase.Uneven(ImmutableCollectionsMarshal.AsImmutableArray(here.TimesS)) : Describe(here.TimesS, column.Column);
        _partial.Add((here.Rows, isKnownUneven, own));
        return own;
    }

    /// <summary>Marks the rows in which a column has a value that counts; returns their number.</summary>
    private int MarkValued(ReadOnlySpan<double> values, byte[]? dropped, ulong[] rows)
    {
        long blank = BitConverter.DoubleToInt64Bits(CsvPartParser.Blank);
        double last = double.NegativeInfinity;
        int count = 0;
        for (int i = 0; i < values.Length; i++)
        {
            if (BitConverter.DoubleToInt64Bits(values[i]) != blank && table.TimesS[i] > last && (dropped is null || dropped[i] != 2))
            {
                rows[i >> 6] |= 1UL << (i & 63);
                last = table.TimesS[i];
                count++;
            }
        }

        return count;
    }

    /// <summary>The same for a column that comes without its blanks; the values and times of the rows that count, which it also marks.</summary>
    private (SampleSource Values, double[] TimesS) PartialOf(SampleSource all, int[] valued, byte[]? dropped, ulong[] rows)
    {
        double[] times = GC.AllocateUninitializedArray<double>(valued.Length);
        double last = double.NegativeInfinity;
        int count = 0;
        foreach (int row in valued)
        {
            if (table.TimesS[row] > last && (dropped is null || dropped[row] != 2))
            {
                rows[row >> 6] |= 1UL << (row & 63);
                last = table.TimesS[row];
                times[count++] = last;
            }
        }

        if (count == valued.Length)
        {
            return (PiecedSamples.Pack(all.ToImmutableArray().AsSpan()), times);
        }

        ReadOnlySpan<double> values = all.ToImmutableArray().AsSpan();
        double[] kept = new double[count];
        int write = 0;
        for (int k = 0; k < valued.Length; k++)
        {
            if ((rows[valued[k] >> 6] >> (valued[k] & 63) & 1) == 1)
            {
                kept[write++] = values[k];
            }
        }

        return (PiecedSamples.Pack(kept), times[..count]);
    }

    private static double[] Pick(ReadOnlySpan<double> values, ulong[] rows, int count)
    {
        double[] picked = new double[count];
        int write = 0;
        for (int i = 0; i < values.Length; i++)
        {
            if ((rows[i >> 6] >> (i & 63) & 1) == 1)
            {
                picked[write++] = values[i];
            }
        }

        return picked;
    }

    private TimeBase Describe(double[] times, LogColumn column)
    {
        TimeGrid.Result found = TimeGrid.Find(times, table.TimeQuantumS);
        string place = $"{table.FileName}, column '{column.Name}'";
        if (found.UnevenSteps > 0)
        {
            _findings.Add(new(
                LogFindingKind.UnevenTime,
                place,
                string.Create(CultureInfo.InvariantCulture, $"{found.UnevenSteps} of {times.Length - 1} steps of time differ from the median of {TimeGrid.Seconds(found.Time.StepS)} by more than rounding; the shortest is {TimeGrid.Seconds(found.ShortestS)}. The true times are kept."),
                found.UnevenSteps,
                times[found.FirstUneven]));
        }

        if (found.Gaps > 0)
        {
            _findings.Add(new(
                LogFindingKind.TimeGap,
                place,
                string.Create(CultureInfo.InvariantCulture, $"{found.Gaps} {(found.Gaps == 1 ? "gap" : "gaps")} longer than one step of {TimeGrid.Seconds(found.Time.StepS)}, the first after {TimeGrid.Seconds(times[found.FirstGap])}, the longest {TimeGrid.Seconds(found.LongestGapS)}. Nothing is filled in."),
                found.Gaps,
                times[found.FirstGap]));
        }

        return found.Time;
    }

    /// <summary>What a column with blanks holds.</summary>
    /// <param name="Rows">A bit for each row that has a value that counts.</param>
    /// <param name="TimesS">Their times, s.</param>
    /// <param name="Values">The values.</param>
    private readonly record struct Valued(ulong[] Rows, double[] TimesS, SampleSource Values);
}
