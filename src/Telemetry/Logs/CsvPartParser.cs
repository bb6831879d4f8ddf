using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Text;
using CsvHelper;

namespace Telemetry.Logs;

/// <summary>How all parts of a file are parsed.</summary>
internal sealed record CsvPlan
{
    /// <summary>The separator as it stands in the bytes that reach the reader.</summary>
    public required char Separator { get; init; }

    /// <summary>True when runs of blanks separate.</summary>
    public required bool SpaceRuns { get; init; }

    /// <summary>True when comma and point are swapped before parsing, because the decimals stand behind a comma.</summary>
    public required bool SwapSigns { get; init; }

    /// <summary>Number of columns of the header.</summary>
    public required int Width { get; init; }

    /// <summary>True when the header ends with a separator, so that rows may or may not.</summary>
    public required bool LastIsNameless { get; init; }

    /// <summary>Which column of the file fills which target; the first is time.</summary>
    public required int[] Slots { get; init; }

    /// <summary>How time is written.</summary>
    public required TimeStyle TimeStyle { get; init; }

    /// <summary>What is taken off dated times, ns.</summary>
    public required long FirstNanoseconds { get; init; }

    /// <summary>Texts that stand for no value.</summary>
    public required byte[][] MissingTokens { get; init; }
}

/// <summary>Something wrong at one record of a part.</summary>
/// <param name="Record">Record of the part, from 0.</param>
/// <param name="Slot">Which target column, or -1 for the row as a whole.</param>
/// <param name="Text">The field's text, or for a row as a whole null.</param>
/// <param name="FieldCount">Number of fields of the row.</param>
internal readonly record struct CsvRowFault(int Record, int Slot, string? Text, int FieldCount);

/// <summary>Parses one part with the byte-span reader straight into the columns.</summary>
internal sealed class CsvPartParser(CsvPlan plan, double[][] targets)
{
    /// <summary>Stands for a blank field: a NaN that no arithmetic makes, replaced before anyone else sees the column.</summary>
    public static readonly double Blank = BitConverter.Int64BitsToDouble(unchecked((long)0x7FF8_0000_0000_B1A4UL));

    /// <summary>Faults kept per part: more than a person reads.</summary>
    public const int MostFaults = 20;

    private readonly Dictionary<int, CsvRowFault> _firstText = [];
    private int _record;
    private int _row;
    private bool _commasPossible;

    /// <summary>Rows written.</summary>
    public int Rows { get; private set; }

    /// <summary>Records read, those left out included.</summary>
    public int Records => _record;

    /// <summary>Records left out (blank rows, faulty ones), rising.</summary>
    public List<int> LeftOut { get; } = [];

    /// <summary>Blank fields of each target.</summary>
    public int[] Blanks { get; } = new int[targets.Length];

    /// <summary>Texts that are no number, of each target.</summary>
    public int[] Texts { get; } = new int[targets.Length];

    /// <summary>Infinities and NaN written as such, of each target.</summary>
    public int[] NotFinite { get; } = new int[targets.Length];

    /// <summary>Row of this part of the first such value, of each target.</summary>
    public int[] FirstNotFinite { get; } = new int[targets.Length];

    /// <summary>Missing-value tokens of each target.</summary>
    public int[] Missing { get; } = new int[targets.Length];

    /// <summary>Rows of the wrong width, and rows without a time.</summary>
    public List<CsvRowFault> RowFaults { get; } = [];

    /// <summary>First text that is no number, by target.</summary>
    public IReadOnlyDictionary<int, CsvRowFault> FirstText => _firstText;

    /// <summary>Record whose quote is never closed, or -1.</summary>
    public int UnclosedRecord { get; private set; } = -1;

    /// <summary>True when that record stands on one line.</summary>
    public bool UnclosedOnOneLine { get; private set; }

    /// <summary>Parses the bytes into the targets from a row on.</summary>
    /// <param name="bytes">The part; changed in place.</param>
    /// <param name="hasQuotes">Whether a quote occurs in it.</param>
    /// <param name="firstRow">Where the first row goes.</param>
    public void Parse(Memory<byte> bytes, bool hasQuotes, int firstRow)
    {
        bytes = Prepare(bytes, plan);
        _row = firstRow;

        // The library's numbers may hold thousands separators: '1,204' would pass as 1204. Wherever a comma can stand inside a field, it is looked for.
        _commasPossible = plan.Separator == ',' ? hasQuotes : bytes.Span.Contains((byte)',');
        CsvReaderOptions options = Options(plan);
        if (hasQuotes)
        {
            options = options with
            {
                OnMalformedRecord = malformed =>
                {
                    if (malformed.Reason == CsvMalformedReason.UnterminatedQuote)
                    {
                        UnclosedRecord = _record;
                        UnclosedOnOneLine = malformed.RawRecord.AsSpan().IndexOfAny('\r', '\n') < 0;
                    }
                },
            };
        }

        using CsvReader reader = CsvReader.Create(bytes, options);
        int width = plan.Width;
        while (reader.Read())
        {
            if (reader.FieldCount == width || HasUsableWidth(reader))
            {
                ParseRow(reader);
            }

            _record++;
        }

        Rows = _row - firstRow;
    }

    /// <summary>The bytes as the reader gets them: signs swapped, runs of blanks made one.</summary>
    public static Memory<byte> Prepare(Memory<byte> bytes, CsvPlan plan)
    {
        if (plan.SwapSigns)
        {
            SwapSigns(bytes.Span);
        }

        return plan.SpaceRuns ? bytes[..SpaceRuns.Collapse(bytes.Span)] : bytes;
    }

    /// <summary>Makes every comma a point and every point a comma.</summary>
    public static void SwapSigns(Span<byte> bytes)
    {
        // The two differ in one bit (0x2C, 0x2E), so that one pass turns each into the other and touches nothing else.
        int at = 0;
        if (Vector.IsHardwareAccelerated)
        {
            Vector<byte> bit = new(0x02);
            Vector<byte> point = new((byte)'.');
            Span<Vector<byte>> blocks = MemoryMarshal.Cast<byte, Vector<byte>>(bytes);
            foreach (ref Vector<byte> block in blocks)
            {
                block ^= Vector.Equals(block | bit, point) & bit;
            }

            at = blocks.Length * Vector<byte>.Count;
        }

        for (; at < bytes.Length; at++)
        {
            if ((bytes[at] | 0x02) == '.')
            {
                bytes[at] ^= 0x02;
            }
        }
    }

    /// <summary>The reader's settings for data.</summary>
    public static CsvReaderOptions Options(CsvPlan plan) => CsvRecords.Options(plan.Separator) with { CommentPrefix = '#' };

    /// <summary>One row into the columns. Compiled fully at once: a command reads one log, and is done before the runtime would have warmed up.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void ParseRow(CsvReader reader)
    {
        int row = _row;
        if (!TryTime(reader, out double time))
        {
            return;
        }

        targets[0][row] = time;
        int[] slots = plan.Slots;
        bool commas = _commasPossible;
        for (int slot = 1; slot < slots.Length; slot++)
        {
            if (reader.TryParse(slots[slot], out double value) && double.IsFinite(value) && !(commas && reader.GetSpan(slots[slot]).Contains((byte)',')))
            {
                targets[slot][row] = value;
            }
            else
            {
                targets[slot][row] = Other(reader, slot);
            }
        }

        _row = row + 1;
    }

    private bool TryTime(CsvReader reader, out double time)
    {
        int column = plan.Slots[0];
        ReadOnlySpan<byte> text;
        if (plan.TimeStyle == TimeStyle.Number)
        {
            if (reader.TryParse(column, out time) && double.IsFinite(time) && !(_commasPossible && reader.GetSpan(column).Contains((byte)',')))
            {
                return true;
            }

            text = Trim(reader.GetSpan(column));
        }
        else
        {
            text = Trim(reader.GetSpan(column));
            long nanoseconds;
            if (plan.TimeStyle == TimeStyle.DateTime ? TimeText.TryDateTime(text, out nanoseconds, out _, out _) : TimeText.TryTimeOfDay(text, out nanoseconds, out _))
            {
                time = (nanoseconds - plan.FirstNanoseconds) / 1e9;
                return true;
            }
        }

        time = double.NaN;
        LeftOut.Add(_record);
        if (!text.IsEmpty || !IsBlankRow(reader))
        {
            AddRowFault(new(_record, 0, Readable(text), reader.FieldCount));
        }

        return false;
    }

    /// <summary>A row of nothing but separators, as spreadsheet programs leave them below a table.</summary>
    private static bool IsBlankRow(CsvReader reader)
    {
        for (int i = 0; i < reader.FieldCount; i++)
        {
            if (!Trim(reader.GetSpan(i)).IsEmpty)
            {
                return false;
            }
        }

        return true;
    }

    private bool HasUsableWidth(CsvReader reader)
    {
        int count = reader.FieldCount;
        if ((count == plan.Width + 1 && reader.GetSpan(count - 1).IsEmpty) || (count == plan.Width - 1 && plan.LastIsNameless))
        {
            return true;
        }

        LeftOut.Add(_record);
        if (!IsBlankRow(reader))
        {
            AddRowFault(new(_record, -1, null, count));
        }

        return false;
    }

    private void AddRowFault(CsvRowFault fault)
    {
        // The newest is always kept: whether the file's last row was cut off is decided on it.
        if (RowFaults.Count > MostFaults)
        {
            RowFaults[^1] = fault;
        }
        else
        {
            RowFaults.Add(fault);
        }
    }

    private double Other(CsvReader reader, int slot)
    {
        ReadOnlySpan<byte> text = Trim(reader.GetSpan(plan.Slots[slot]));
        if (text.IsEmpty)
        {
            Blanks[slot]++;
            return Blank;
        }

        foreach (byte[] token in plan.MissingTokens)
        {
            if (text.SequenceEqual(token))
            {
                Missing[slot]++;
                return double.NaN;
            }
        }

        if (!text.Contains((byte)',') && (IsNotFiniteWord(text) || reader.TryParse(plan.Slots[slot], out double _)))
        {
            if (NotFinite[slot]++ == 0)
            {
                FirstNotFinite[slot] = _record - LeftOut.Count;
            }

            return double.NaN;
        }

        if (Texts[slot]++ == 0)
        {
            _firstText.Add(slot, new(_record, slot, Readable(text), 0));
        }

        return double.NaN;
    }

    /// <summary>The words of C's strtod (ISO/IEC 9899:2018, 7.22.1.3) in any case: inf, infinity, nan, with or without a sign.</summary>
    private static bool IsNotFiniteWord(ReadOnlySpan<byte> text)
    {
        text = text[0] is (byte)'+' or (byte)'-' ? text[1..] : text;
        return Ascii.EqualsIgnoreCase(text, "nan"u8) || Ascii.EqualsIgnoreCase(text, "inf"u8) || Ascii.EqualsIgnoreCase(text, "infinity"u8);
    }

    private static ReadOnlySpan<byte> Trim(ReadOnlySpan<byte> text) => text.Trim(" \t"u8);

    /// <summary>A field's text as it stands in the file: with the signs swapped back.</summary>
    private string Readable(ReadOnlySpan<byte> text)
    {
        string shown = TextEncoding.Decode(text);
        return CsvLayoutFinder.Short(plan.SwapSigns ? shown.Replace(',', '\u0001').Replace('.', ',').Replace('\u0001', '.') : shown).ReplaceLineEndings(" ");
    }
}
