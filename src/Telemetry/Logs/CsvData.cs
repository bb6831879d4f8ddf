using System.Globalization;
using System.Runtime.InteropServices;
using CsvHelper;

namespace Telemetry.Logs;

/// <summary>The data of a CSV file parsed into columns, part by part on all processors, and where each row stands in the file.</summary>
internal sealed class CsvData
{
    private readonly LogSource _source;
    private readonly long _start;
    private readonly long _end;
    private List<CsvPart> _parts;

    private CsvData(LogSource source, string fileName, CsvLayout layout, long start, long end, byte rowBreak, int partBytes)
    {
        (_source, FileName, Layout, _start, _end) = (source, fileName, layout, start, end);
        _parts = CsvParts.Split(source, fileName, start, end, rowBreak, partBytes);
    }

    /// <summary>File name for messages.</summary>
    public string FileName { get; }

    /// <summary>Where the table stands.</summary>
    public CsvLayout Layout { get; }

    /// <summary>How it was parsed.</summary>
    public CsvPlan Plan { get; private set; } = null!;

    /// <summary>The parts, each with what was met in it.</summary>
    public CsvPartParser[] Parsed { get; private set; } = [];

    /// <summary>True when the last row ends with a line break.</summary>
    public bool HasFinalBreak => _end < _source.Length;

    /// <summary>Number of whole rows with a time.</summary>
    public int Rows => Sum(part => part.Rows);

    /// <summary>Parses the table.</summary>
    /// <param name="source">The text.</param>
    /// <param name="head">Its first lines.</param>
    /// <param name="fileName">Name for messages.</param>
    /// <param name="layout">What was found in the head.</param>
    /// <param name="options">What the file leaves open.</param>
    /// <param name="partBytes">Size of the parts that are parsed at the same time.</param>
    public static CsvData Parse(LogSource source, byte[] head, string fileName, CsvLayout layout, LogOptions options, int partBytes)
    {
        int[] slots = CsvColumns.Choose(layout, options, fileName);
        long start = LineBreaks.OffsetOfLine(head, layout.DataLine);
        long end = TrimmedEnd(source, start);
        CsvData data = new(source, fileName, layout, start, end, LineBreaks.OfRows(head.AsSpan((int)start)), partBytes);
        CsvPartCount[] counts = data.CountAll(layout.DecimalComma is null && layout.Separator != ',');
        if (CsvParts.MayCutQuotes(counts))
        {
            counts = data.MakeOnePart(counts);
        }

        data.RefuseBinary(counts);
        data.Plan = CsvColumns.Plan(layout, options, slots, counts);
        data.Plan = data.Plan with { Sparse = CsvSparse.Find(head.AsSpan((int)Math.Min(start, head.Length)), data.Plan) };
        data.ParseAll(counts);
        if (data.Parsed.AsSpan(0, data.Parsed.Length - 1).ToArray().Any(part => part.UnclosedRecord >= 0))
        {
            counts = data.MakeOnePart(counts);
            data.ParseAll(counts);
        }

        return data;
    }

    /// <summary>The sum of something over the parts.</summary>
    public int Sum(Func<CsvPartParser, int> count)
    {
        int sum = 0;
        foreach (CsvPartParser part in Parsed)
        {
            sum += count(part);
        }

        return sum;
    }

    /// <summary>True when every field of a column that is not blank is text.</summary>
    public bool IsTextThroughout(int slot)
    {
        int texts = Sum(part => part.Texts[slot]);
        return texts > 0 && texts + Sum(part => part.Blanks[slot]) + Sum(part => part.Missing[slot]) == Rows;
    }

    /// <summary>Puts the pieces of the columns together, time first.</summary>
    public ParsedColumn[] Join()
    {
        ParsedColumn[] joined = new ParsedColumn[Plan.Slots.Length];
        Workers.Run(joined.Length, slot => joined[slot] = Plan.Sparse[slot] ? JoinSparse(slot)
            : new(new PiecedSamples([.. Parsed.Select(part => part.Columns[slot])]), null));
        return joined;
    }

    private ParsedColumn JoinSparse(int slot)
    {
        int count = Sum(part => part.Sparse(slot).Rows.Length);
        double[] values = GC.AllocateUninitializedArray<double>(count);
        int[] rows = GC.AllocateUninitializedArray<int>(count);
        int write = 0;
        int rowsAbove = 0;
        foreach (CsvPartParser part in Parsed)
        {
            SparseValues sparse = part.Sparse(slot);
            sparse.Values.CopyTo(values.AsSpan(write));
            foreach (int row in sparse.Rows)
            {
                rows[write++] = rowsAbove + row;
            }

            rowsAbove += part.Rows;
        }

        return new(SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(values)), rows);
    }

    /// <summary>A place for a message.</summary>
    public string Place(int line) => string.Create(CultureInfo.InvariantCulture, $"{FileName}, row {line}");

    /// <summary>The line of a row of the joined columns.</summary>
    public int LineOfRow(int row)
    {
        int part = 0;
        while (row >= Parsed[part].Rows)
        {
            row -= Parsed[part++].Rows;
        }

        int record = row;
        foreach (int leftOut in Parsed[part].LeftOut)
        {
            record += leftOut <= record ? 1 : 0;
        }

        return LineOf(part, record);
    }

    /// <summary>The line of a record: its part is read once more, which only faults and findings cost.</summary>
    public int LineOf(int part, int record)
    {
        int line = 0;
        WithBytes(_parts[part], bytes =>
        {
            using CsvReader reader = CsvReader.Create(CsvBytes.Prepare(bytes, Plan), CsvBytes.Options(Plan) with { TrackLineNumbers = true });
            for (int i = 0; i <= record && reader.Read(); i++)
            {
                line = (int)reader.LineNumber;
            }
        });
        return LineBreaks.CountBefore(_source, _parts[part].Start) + line;
    }

    /// <summary>True when the last line is a comment: the row above it then has its line break, whether the comment has one or not.</summary>
    public bool EndsInComment()
    {
        bool isComment = false;
        WithBytes(_parts[^1], bytes => isComment = bytes.Span[(bytes.Span.LastIndexOfAny((byte)'\r', (byte)'\n') + 1)..].StartsWith("#"u8));
        return isComment;
    }

    /// <summary>End of the last row: line breaks behind it are taken off, so that they make no empty rows.</summary>
    private static long TrimmedEnd(LogSource source, long start)
    {
        long end = source.Length;
        byte[] buffer = new byte[4096];
        while (end > start)
        {
            int size = (int)Math.Min(buffer.Length, end - start);
            Span<byte> got = buffer.AsSpan(0, source.Read(end - size, buffer.AsSpan(0, size)));
            int last = got.LastIndexOfAnyExcept((byte)'\r', (byte)'\n');
            end -= got.Length - last - 1;
            if (last >= 0 || got.IsEmpty)
            {
                break;
            }
        }

        return end;
    }

    private CsvPartCount[] CountAll(bool countSigns)
    {
        CsvPartCount[] counts = new CsvPartCount[_parts.Count];
        Workers.Run(_parts.Count, i => WithBytes(_parts[i], bytes => counts[i] = CsvParts.Count(bytes.Span, countSigns)));
        return counts;
    }

    private void WithBytes(CsvPart part, Action<Memory<byte>> use) => CsvParts.WithBytes(_source, part, use);

    private CsvPartCount[] MakeOnePart(CsvPartCount[] counts)
    {
        if (_end - _start > LogReader.MostBytesInMemory)
        {
            throw new InputError(FileName, "Quotes do not pair up in a file of more than 2 GB.", "Correct the quotes, or cut the run into shorter ones.");
        }

        if (_end - _start > CsvHead.MostLineBytes)
        {
            CsvQuotes.RefuseEndless(_source, FileName, _start, _end, Layout.Separator);
        }

        _parts = [new(_start, _end)];
        return [new(counts.Sum(c => c.Lines), counts.Sum(c => c.Quotes), counts.Sum(c => c.Commas), counts.Sum(c => c.Points), counts.Any(c => c.HasNul))];
    }

    private void RefuseBinary(CsvPartCount[] counts)
    {
        int index = Array.FindIndex(counts, count => count.HasNul);
        if (index >= 0)
        {
            int offset = 0;
            WithBytes(_parts[index], bytes => offset = bytes.Span.IndexOf((byte)0));
            throw CsvHead.Binary(_source, FileName, _parts[index].Start + offset);
        }
    }

    private void ParseAll(CsvPartCount[] counts)
    {
        int count = _parts.Count;
        int[] decimals = new int[Plan.Slots.Length];
        Parsed = new CsvPartParser[count];
        Workers.Run(count, i => WithBytes(_parts[i], bytes =>
        {
            // A row has at least its separators: a million blank lines below a wide header take no room.
            int most = Math.Min(counts[i].Lines + (i == count - 1 ? 1 : 0), (_parts[i].Length / (Plan.Width - 1)) + 1);
            Parsed[i] = new(Plan);
            Parsed[i].Parse(bytes, counts[i].Quotes > 0, most, decimals);
        }));
    }
}

/// <summary>A parsed column.</summary>
/// <param name="Values">One value a row, <see cref="CsvPartParser.Blank"/> where there is none; of a sparse column the values alone.</param>
/// <param name="Rows">Of a sparse column the row of each value, rising; null for a value a row.</param>
internal readonly record struct ParsedColumn(SampleSource Values, int[]? Rows)
{
    /// <summary>One value a row, blanks among them.</summary>
    /// <param name="count">Number of rows.</param>
    public double[] WithBlanks(int count)
    {
        if (Rows is null)
        {
            return Values.ToArray();
        }

        double[] all = new double[count];
        all.AsSpan().Fill(CsvPartParser.Blank);
        for (int k = 0; k < Rows.Length; k++)
        {
            all[Rows[k]] = Values[k];
        }

        return all;
    }
}
