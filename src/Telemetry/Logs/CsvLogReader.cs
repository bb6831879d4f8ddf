using System.Buffers;
using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using CsvHelper;

namespace Telemetry.Logs;

/// <summary>Reads a log from CSV text.</summary>
internal sealed class CsvLogReader
{
    /// <summary>How far a header is looked for.</summary>
    private const int HeadBytes = 1 << 18;

    /// <summary>No line of a log is longer; also bounds the search for a header in a file without line breaks.</summary>
    private const int MostHeadBytes = 1 << 22;

    /// <summary>Faults told at once: more are counted.</summary>
    private const int MostFaults = CsvPartParser.MostFaults;

    private readonly LogSource _source;
    private readonly string _path;
    private readonly string _fileName;
    private readonly LogOptions _options;
    private readonly int _partBytes;
    private CsvLayout _layout = null!;
    private CsvPlan _plan = null!;
    private List<CsvPart> _parts = [];
    private CsvPartParser[] _parsed = [];
    private int[] _firstRows = [];

    private CsvLogReader(LogSource source, string path, LogOptions options, int partBytes)
    {
        (_source, _path, _options, _partBytes) = (source, path, options, partBytes);
        _fileName = Path.GetFileName(path);
    }

    /// <summary>Reads a log.</summary>
    /// <param name="source">UTF-8 text without a byte order mark.</param>
    /// <param name="path">Path for the run's name and for messages.</param>
    /// <param name="options">What the file leaves open.</param>
    /// <param name="partBytes">Size of the parts that are parsed at the same time.</param>
    /// <exception cref="InputError">The file is no log that can be trusted as it stands.</exception>
    public static RunLog Read(LogSource source, string path, LogOptions options, int partBytes) =>
        new CsvLogReader(source, path, options, partBytes).Read();

    private RunLog Read()
    {
        byte[] head = ReadHead();
        _layout = new CsvLayoutFinder(_fileName, _options).Find(head);
        int[] slots = ChooseColumns();
        long start = LineBreaks.OffsetOfLine(head, _layout.DataLine);
        long end = TrimmedEnd(start, out bool hasFinalBreak);
        bool isReturnOnly = !head.AsSpan().Contains((byte)'\n');
        _parts = CsvParts.Split(_source, start, end, (byte)(isReturnOnly ? '\r' : '\n'), _partBytes);
        bool countSigns = _layout.DecimalComma is null && _layout.Separator != ',';
        CsvPartCount[] counts = CountAll(countSigns);
        if (CsvParts.MayCutQuotes(counts))
        {
            counts = MakeOnePart(start, end, counts);
        }

        RefuseBinary(counts);
        _plan = Plan(slots, counts);
        double[][] targets = ParseAll(counts);
        if (_parsed.AsSpan(0, _parsed.Length - 1).ToArray().Any(part => part.UnclosedRecord >= 0))
        {
            counts = MakeOnePart(start, end, counts);
            targets = ParseAll(counts);
        }

        List<LogFinding> findings = [];
        foreach ((int line, string text) in _layout.Notes)
        {
            findings.Add(new(LogFindingKind.Note, Row(line), text, 1, double.NaN));
        }

        LogFinding? cutOff = CheckRows(hasFinalBreak);
        targets = JoinRows(targets, counts);
        if (targets[0].Length == 0)
        {
            throw new InputError(Row(_layout.HeaderLine), "There is a header but no whole row of data below it.", "Export the run again with its samples.");
        }

        return Finish(targets, slots, findings, cutOff);
    }

    private byte[] ReadHead()
    {
        if (_source.Length == 0)
        {
            throw new InputError(_fileName, "The file is empty.", "Export the run again.");
        }

        for (int size = HeadBytes; ; size *= 4)
        {
            byte[] head = _source.ReadRange(0, Math.Min(size, _source.Length));
            if (head.AsSpan().Contains((byte)0))
            {
                throw Binary(head.AsSpan().IndexOf((byte)0));
            }

            if (head.Length == _source.Length)
            {
                return head;
            }

            // Several rows must be in sight; a wide table needs a longer look.
            int lastBreak = head.AsSpan().LastIndexOfAny((byte)'\r', (byte)'\n');
            if (LineBreaks.Count(head) >= 8)
            {
                return head[..(lastBreak + 1)];
            }

            if (size >= MostHeadBytes)
            {
                return lastBreak > 0 ? head[..(lastBreak + 1)] : throw TooLongLine(head);
            }
        }
    }

    private InputError TooLongLine(byte[] head)
    {
        int fields = head.AsSpan().Count((byte)',');
        return fields > CsvLayoutFinder.MostColumns
            ? new CsvLayoutFinder(_fileName, _options).TooManyColumns(fields + 1)
            : new(_fileName, "The first 4 MB hold no line break.", "Check that this is a CSV file whose rows end with line breaks.");
    }

    private InputError Binary(long offset) => new(
        string.Create(CultureInfo.InvariantCulture, $"{_fileName}, row {LineBreaks.CountBefore(_source, offset) + 1}"),
        string.Create(CultureInfo.InvariantCulture, $"A zero byte stands at byte {offset}; this is not a text file, or it is damaged."),
        "Export the run as CSV or Parquet again.");

    /// <summary>Columns to parse: time first, then all named ones that are asked for.</summary>
    private int[] ChooseColumns()
    {
        Dictionary<string, int> seen = new(StringComparer.Ordinal);
        List<int> slots = [_layout.TimeIndex];
        List<InputFault> faults = [];
        HashSet<string> only = new(_options.OnlyColumns.IsDefault ? [] : _options.OnlyColumns, StringComparer.Ordinal);
        for (int i = 0; i < _layout.Columns.Length; i++)
        {
            LogColumn column = _layout.Columns[i];
            if (i == _layout.TimeIndex || (only.Count > 0 && !only.Contains(column.Name) && !only.Contains(column.Written.Trim())))
            {
                continue;
            }

            if (column.Name.Length > 0 && !seen.TryAdd(column.Name, i) && faults.Count < MostFaults)
            {
                faults.Add(new(
                    Row(_layout.HeaderLine),
                    string.Create(CultureInfo.InvariantCulture, $"Columns {seen[column.Name] + 1} and {i + 1} have the same name, '{column.Name}'."),
                    "Give each channel a name of its own, or read only other columns."));
            }

            slots.Add(i);
        }

        return faults.Count > 0 ? throw new InputError(faults) : [.. slots];
    }

    /// <summary>End of the last row: line breaks behind it are taken off, so that they make no empty rows.</summary>
    private long TrimmedEnd(long start, out bool hasFinalBreak)
    {
        long end = _source.Length;
        byte[] buffer = new byte[4096];
        while (end > start)
        {
            int size = (int)Math.Min(buffer.Length, end - start);
            Span<byte> got = buffer.AsSpan(0, _source.Read(end - size, buffer.AsSpan(0, size)));
            int last = got.LastIndexOfAnyExcept((byte)'\r', (byte)'\n');
            end -= got.Length - last - 1;
            if (last >= 0 || got.IsEmpty)
            {
                break;
            }
        }

        hasFinalBreak = end < _source.Length;
        return end;
    }

    private CsvPartCount[] CountAll(bool countSigns)
    {
        CsvPartCount[] counts = new CsvPartCount[_parts.Count];
        Workers.Run(_parts.Count, i => WithBytes(_parts[i], bytes => counts[i] = CsvParts.Count(bytes.Span, countSigns)));
        return counts;
    }

    private void WithBytes(CsvPart part, Action<Memory<byte>> use)
    {
        byte[] rented = ArrayPool<byte>.Shared.Rent(part.Length);
        try
        {
            use(rented.AsMemory(0, _source.Read(part.Start, rented.AsSpan(0, part.Length))));
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(rented);
        }
    }

    private CsvPartCount[] MakeOnePart(long start, long end, CsvPartCount[] counts)
    {
        if (end - start > LogReader.MostBytesInMemory)
        {
            throw new InputError(_fileName, "Quotes do not pair up in a file of more than 2 GB.", "Correct the quotes, or cut the run into shorter ones.");
        }

        _parts = [new(start, end)];
        return [new(counts.Sum(c => c.Lines), counts.Sum(c => c.Quotes), counts.Sum(c => c.Commas), counts.Sum(c => c.Points), counts.Any(c => c.HasNul))];
    }

    private void RefuseBinary(CsvPartCount[] counts)
    {
        int index = Array.FindIndex(counts, count => count.HasNul);
        if (index >= 0)
        {
            int offset = 0;
            WithBytes(_parts[index], bytes => offset = bytes.Span.IndexOf((byte)0));
            throw Binary(_parts[index].Start + offset);
        }
    }

    private CsvPlan Plan(int[] slots, CsvPartCount[] counts)
    {
        bool swap = _layout.DecimalComma ?? (_layout.Separator != ',' && counts.Any(c => c.Commas > 0) && counts.All(c => c.Points == 0));
        ImmutableArray<string> tokens = _options.MissingTokens.IsDefault ? [] : _options.MissingTokens;
        return new()
        {
            Separator = !swap ? _layout.Separator : _layout.Separator == ',' ? '.' : _layout.Separator == '.' ? ',' : _layout.Separator,
            SpaceRuns = _layout.Separator == ' ',
            SwapSigns = swap,
            Width = _layout.Columns.Length,
            LastIsNameless = _layout.Columns[^1].Name.Length == 0,
            Slots = slots,
            TimeStyle = _layout.TimeStyle,
            FirstNanoseconds = _layout.FirstNanoseconds,
            MissingTokens = [.. tokens.Select(token => SwappedToken(token, swap))],
        };
    }

    private static byte[] SwappedToken(string token, bool swap)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(token.Trim());
        if (swap)
        {
            CsvPartParser.SwapSigns(bytes);
        }

        return bytes;
    }

    private double[][] ParseAll(CsvPartCount[] counts)
    {
        int count = _parts.Count;
        _firstRows = new int[count];
        int capacity = 0;
        for (int i = 0; i < count; i++)
        {
            _firstRows[i] = capacity;
            capacity = checked(capacity + counts[i].Lines + (i == count - 1 ? 1 : 0));
        }

        double[][] targets = new double[_plan.Slots.Length][];
        for (int i = 0; i < targets.Length; i++)
        {
            targets[i] = GC.AllocateUninitializedArray<double>(capacity);
        }

        _parsed = new CsvPartParser[count];
        Workers.Run(count, i => WithBytes(_parts[i], bytes =>
        {
            _parsed[i] = new(_plan, targets);
            _parsed[i].Parse(bytes, counts[i].Quotes > 0, _firstRows[i]);
        }));
        return targets;
    }

    /// <summary>Collects what is wrong, in the order of the file; a last row that was cut off is no fault.</summary>
    private LogFinding? CheckRows(bool hasFinalBreak)
    {
        CsvPartParser last = _parsed[^1];
        LogFinding? cutOff = null;
        bool isLastUnclosed = last.UnclosedRecord >= 0;
        if (!hasFinalBreak && last.RowFaults.Count > 0 && last.RowFaults[^1] is { Slot: < 0 } fault
            && fault.Record == last.Records - 1 && fault.FieldCount < _plan.Width && (!isLastUnclosed || last.UnclosedOnOneLine))
        {
            last.RowFaults.RemoveAt(last.RowFaults.Count - 1);
            isLastUnclosed = false;
            cutOff = new(
                LogFindingKind.CutOffRow,
                Row(LineOf(_parts.Count - 1, fault.Record)),
                string.Create(CultureInfo.InvariantCulture, $"The last row stops after {fault.FieldCount} of {_plan.Width} fields, without a line break; it is left out."),
                1,
                double.NaN);
        }

        List<InputFault> faults = [];
        if (isLastUnclosed)
        {
            faults.Add(new(Row(LineOf(_parts.Count - 1, last.UnclosedRecord)), "A quote that opens in this row is never closed.", "Close the quote, or remove it."));
            last.RowFaults.RemoveAll(f => f.Record == last.UnclosedRecord);
        }

        int total = 0;
        for (int part = 0; part < _parts.Count; part++)
        {
            foreach (CsvRowFault rowFault in _parsed[part].RowFaults)
            {
                if (total++ < MostFaults)
                {
                    faults.Add(Describe(part, rowFault));
                }
            }
        }

        AddTextFaults(faults);
        if (faults.Count > MostFaults)
        {
            faults = [.. faults.Take(MostFaults), new(_fileName, "There are more faults of these kinds.", "Correct these first, then read the file again.")];
        }

        return faults.Count > 0 ? throw new InputError(faults) : cutOff;
    }

    private InputFault Describe(int part, CsvRowFault fault)
    {
        string row = Row(LineOf(part, fault.Record));
        if (fault.Slot < 0)
        {
            return new(
                row,
                string.Create(CultureInfo.InvariantCulture, $"This row has {fault.FieldCount} {(fault.FieldCount == 1 ? "field" : "fields")}; the header in row {_layout.HeaderLine} has {_plan.Width}."),
                "Correct or remove the row; a second table belongs in a file of its own.");
        }

        string column = $"{row}, column '{_layout.Columns[_layout.TimeIndex].Name}'";
        return fault.Text is "" or null
            ? new(column, "The row has values but no time.", "Give the row its time, or remove it.")
            : new(column, $"'{fault.Text}' is no time of the kind that the first row has.", "Correct or remove the row.");
    }

    /// <summary>A column that holds numbers and other text is a fault; one that is text throughout is not.</summary>
    private void AddTextFaults(List<InputFault> faults)
    {
        for (int slot = 1; slot < _plan.Slots.Length; slot++)
        {
            if (IsTextThroughout(slot))
            {
                continue;
            }

            for (int part = 0; part < _parts.Count; part++)
            {
                if (_parsed[part].FirstText.TryGetValue(slot, out CsvRowFault fault))
                {
                    int count = _parsed.Sum(p => p.Texts[slot]);
                    string more = count == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $" ({count} such fields in the column)");
                    bool isThousands = fault.Text!.Contains(_plan.SwapSigns ? '.' : ',', StringComparison.Ordinal);
                    faults.Add(new(
                        $"{Row(LineOf(part, fault.Record))}, column '{_layout.Columns[_plan.Slots[slot]].Name}'",
                        $"'{fault.Text}' is not a number{more}.",
                        isThousands
                            ? "Write numbers without thousands separators; if this is a decimal comma, say so in the log options."
                            : "If it stands for a missing value, add it to the missing tokens of the log options; otherwise correct the row or read only other columns."));
                    break;
                }
            }
        }
    }

    private bool IsTextThroughout(int slot)
    {
        int rows = _parsed.Sum(p => p.Rows);
        int texts = _parsed.Sum(p => p.Texts[slot]);
        return texts > 0 && texts + _parsed.Sum(p => p.Blanks[slot]) + _parsed.Sum(p => p.Missing[slot]) == rows;
    }

    /// <summary>Closes the holes that blank lines left, and cuts the columns to their length.</summary>
    private double[][] JoinRows(double[][] targets, CsvPartCount[] counts)
    {
        int total = _parsed.Sum(p => p.Rows);
        if (total == targets[0].Length)
        {
            return targets;
        }

        Workers.Run(targets.Length, slot =>
        {
            double[] from = targets[slot];
            double[] to = GC.AllocateUninitializedArray<double>(total);
            int write = 0;
            for (int part = 0; part < _parsed.Length; part++)
            {
                from.AsSpan(_firstRows[part], _parsed[part].Rows).CopyTo(to.AsSpan(write));
                write += _parsed[part].Rows;
            }

            targets[slot] = to;
        });
        return targets;
    }

    private RunLog Finish(double[][] targets, int[] slots, List<LogFinding> findings, LogFinding? cutOff)
    {
        if (_layout.TimeUnitsPerSecond != 1)
        {
            double[] times = targets[0];
            for (int i = 0; i < times.Length; i++)
            {
                // A division rounds once: 123 ms is then exactly the double nearest to 0.123 s.
                times[i] /= _layout.TimeUnitsPerSecond;
            }
        }

        int rows = targets[0].Length;
        List<TableColumn> columns = [];
        List<LogFinding> later = [];
        for (int slot = 1; slot < slots.Length; slot++)
        {
            LogColumn column = _layout.Columns[slots[slot]];
            int blanks = _parsed.Sum(p => p.Blanks[slot]);
            if (blanks == rows || IsTextThroughout(slot))
            {
                if (column.Name.Length > 0)
                {
                    later.Add(Note(column, blanks == rows ? "The column is empty and is left out." : "The column holds text, no numbers, and is left out."));
                }

                continue;
            }

            if (column.Name.Length == 0)
            {
                column = column with { Name = string.Create(CultureInfo.InvariantCulture, $"column {slots[slot] + 1}") };
                later.Add(Note(column, "The column has numbers but no name; it is named by its place."));
            }

            columns.Add(new(column, targets[slot], blanks));
            AddNotFinite(later, slot, column, targets[0]);
        }

        if (columns.Count == 0)
        {
            throw new InputError(Row(_layout.HeaderLine), "No column besides time holds numbers.", "Export the run with its channels, or ask for other columns.");
        }

        (ImmutableArray<LoggedChannel> channels, List<LogFinding> timeFindings) = new ChannelAssembler(new()
        {
            FileName = _fileName,
            TimeColumn = _layout.Columns[_layout.TimeIndex],
            TimesS = targets[0],
            TimeQuantumS = _layout.TimeQuantumS,
            Columns = columns,
            RowNumber = LineOfRow,
        }).Assemble();
        findings.AddRange(timeFindings);
        findings.AddRange(later);
        if (cutOff is not null)
        {
            findings.Add(cutOff);
        }

        DateTimeOffset? started = _layout.TimeStyle == TimeStyle.DateTime
            ? DateTimeOffset.UnixEpoch.AddTicks((_layout.FirstNanoseconds / 100) + (long)Math.Round(targets[0][0] * TimeSpan.TicksPerSecond))
            : null;
        return new(LogReader.RunName(_path), _path, channels, [.. findings], started);
    }

    private LogFinding Note(LogColumn column, string text) => new(LogFindingKind.Note, $"{_fileName}, column '{column.Name}'", text, 1, double.NaN);

    private void AddNotFinite(List<LogFinding> findings, int slot, LogColumn column, double[] times)
    {
        int count = _parsed.Sum(p => p.NotFinite[slot]);
        if (count == 0)
        {
            return;
        }

        int part = Array.FindIndex(_parsed, p => p.NotFinite[slot] > 0);
        int row = _parsed.Take(part).Sum(p => p.Rows) + _parsed[part].FirstNotFinite[slot];
        findings.Add(new(
            LogFindingKind.NotFinite,
            $"{Row(LineOfRow(row))}, column '{column.Name}'",
            string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? "value is an infinity or" : "values are infinities or")} 'not a number'; they are gaps in the channel."),
            count,
            times[row]));
    }

    private string Row(int line) => string.Create(CultureInfo.InvariantCulture, $"{_fileName}, row {line}");

    private int LineOfRow(int row)
    {
        int part = 0;
        while (row >= _parsed[part].Rows)
        {
            row -= _parsed[part++].Rows;
        }

        int record = row;
        foreach (int leftOut in _parsed[part].LeftOut)
        {
            record += leftOut <= record ? 1 : 0;
        }

        return LineOf(part, record);
    }

    /// <summary>The line of a record: its part is read once more, which only faults and findings cost.</summary>
    private int LineOf(int part, int record)
    {
        int line = 0;
        WithBytes(_parts[part], bytes =>
        {
            using CsvReader reader = CsvReader.Create(CsvPartParser.Prepare(bytes, _plan), CsvPartParser.Options(_plan) with { TrackLineNumbers = true });
            for (int i = 0; i <= record && reader.Read(); i++)
            {
                line = (int)reader.LineNumber;
            }
        });
        return LineBreaks.CountBefore(_source, _parts[part].Start) + line;
    }
}
