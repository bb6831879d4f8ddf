using System.Buffers;
using System.Runtime.CompilerServices;
using CsvHelper;

namespace Telemetry.Logs;

/// <summary>Parses one part with the byte-span reader into columns, and packs these while they are in the processor's cache.</summary>
/// <param name="plan">How.</param>
internal sealed class CsvPartParser(CsvPlan plan)
{
    /// <summary>Stands for a blank field: a NaN that no arithmetic makes, replaced before anyone else sees the column.</summary>
    public static readonly double Blank = BitConverter.Int64BitsToDouble(unchecked((long)0x7FF8_0000_0000_B1A4UL));

    /// <summary>Faults kept per part: more than a person reads.</summary>
    public const int MostFaults = 20;

    private Target[] _targets = [];
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
    public int[] Blanks { get; } = new int[plan.Slots.Length];

    /// <summary>Texts that are no number, of each target.</summary>
    public int[] Texts { get; } = new int[plan.Slots.Length];

    /// <summary>Infinities and NaN written as such, of each target.</summary>
    public int[] NotFinite { get; } = new int[plan.Slots.Length];

    /// <summary>Row of this part of the first such value, of each target.</summary>
    public int[] FirstNotFinite { get; } = new int[plan.Slots.Length];

    /// <summary>Missing-value tokens of each target.</summary>
    public int[] Missing { get; } = new int[plan.Slots.Length];

    /// <summary>What was read of a sparse column, with rows from the first of this part.</summary>
    public SparseValues Sparse(int slot) => _targets[slot].Sparse!;

    /// <summary>What was read of each column that is not sparse, <see cref="Blank"/> where a row has no value.</summary>
    public PackedPiece[] Columns { get; } = new PackedPiece[plan.Slots.Length];

    /// <summary>Records that repeat the header or its units, rising, each with the rows above it in this part.</summary>
    public List<(int Record, int RowsAbove)> HeadersAgain { get; } = [];

    /// <summary>Rows of the wrong width, and rows without a time.</summary>
    public List<CsvRowFault> RowFaults { get; } = [];

    /// <summary>First text that is no number, by target.</summary>
    public IReadOnlyDictionary<int, CsvRowFault> FirstText => _firstText;

    /// <summary>Record whose quote is never closed, or -1.</summary>
    public int UnclosedRecord { get; private set; } = -1;

    /// <summary>True when that record stands on one line.</summary>
    public bool UnclosedOnOneLine { get; private set; }

    /// <summary>Parses the bytes.</summary>
    /// <param name="bytes">The part; changed in place.</param>
    /// <param name="hasQuotes">Whether a quote occurs in it.</param>
    /// <param name="mostRows">Rows that it has at most.</param>
    /// <param name="decimals">How many decimals each column is thought to have; what is found is written there for the parts to come.</param>
    public void Parse(Memory<byte> bytes, bool hasQuotes, int mostRows, int[] decimals)
    {
        double[][] rooms = [.. plan.Sparse.Select(isSparse => isSparse ? [] : ArrayPool<double>.Shared.Rent(mostRows))];
        _targets =
        [
            .. plan.Slots.Select((field, slot) => new Target
            {
                Field = field,
                Values = rooms[slot],
                Sparse = plan.Sparse[slot] ? new SparseValues(mostRows) : null,
                MayBeBlank = plan.Sparse[slot],
            }),
        ];
        ParseInto(bytes, hasQuotes);
        for (int slot = 0; slot < rooms.Length; slot++)
        {
            if (_targets[slot].Sparse is { } sparse)
            {
                sparse.Keep();
            }
            else
            {
                Columns[slot] = PackedPiece.Of(rooms[slot].AsSpan(0, Rows), ref decimals[slot]);
                _targets[slot].Values = [];
                ArrayPool<double>.Shared.Return(rooms[slot]);
            }
        }
    }

    private void ParseInto(Memory<byte> bytes, bool hasQuotes)
    {
        bytes = CsvBytes.Prepare(bytes, plan);

        // The library's numbers may hold thousands separators: '1,204' would pass as 1204. Wherever a comma can stand inside a field, it is looked for.
        _commasPossible = plan.Separator == ',' ? hasQuotes : bytes.Span.Contains((byte)',');
        CsvReaderOptions options = CsvBytes.Options(plan);
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

        Rows = _row;
    }

    /// <summary>One row into the columns. Compiled fully at once: a command reads one log, and is done before the runtime would have warmed up.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void ParseRow(CsvReader reader)
    {
        int row = _row;
        if (!TryTime(reader, out double time))
        {
            return;
        }

        Target[] all = _targets;
        all[0].Values[row] = time;
        bool commas = _commasPossible;
        for (int slot = 1; slot < all.Length; slot++)
        {
            ref Target target = ref all[slot];
            if (!target.MayBeBlank && reader.TryParse(target.Field, out double value) && double.IsFinite(value) && !(commas && reader.GetSpan(target.Field).Contains((byte)',')))
            {
                target.Values[row] = value;
            }
            else if (target.Sparse is not null && reader.GetSpan(target.Field).IsEmpty)
            {
                // What most fields of a slow channel are.
                Blanks[slot]++;
            }
            else
            {
                ParseSeldom(reader, slot, row);
            }
        }

        _row = row + 1;
    }

    /// <summary>A field of a column that was blank before, or one that is no plain number.</summary>
    private void ParseSeldom(CsvReader reader, int slot, int row)
    {
        // A blank is looked for first: the library's parser tries everything that a number can be before it gives an empty field up.
        ref Target target = ref _targets[slot];
        double value;
        if (reader.GetSpan(target.Field).IsEmpty)
        {
            Blanks[slot]++;
            value = Blank;
        }
        else if (reader.TryParse(target.Field, out double parsed) && double.IsFinite(parsed) && !(_commasPossible && reader.GetSpan(target.Field).Contains((byte)',')))
        {
            value = parsed;
        }
        else
        {
            value = Other(reader, slot);
        }

        bool isBlank = BitConverter.DoubleToInt64Bits(value) == BitConverter.DoubleToInt64Bits(Blank);
        target.MayBeBlank |= isBlank;
        if (target.Sparse is not { } sparse)
        {
            target.Values[row] = value;
        }
        else if (!isBlank)
        {
            sparse.Add(row, value);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
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

            text = CsvFieldText.Trim(reader.GetSpan(column));
        }
        else
        {
            text = CsvFieldText.Trim(reader.GetSpan(column));
            long nanoseconds;
            if (plan.TimeStyle == TimeStyle.DateTime
                ? TimeText.TryDateTime(text, out nanoseconds, out _, out bool hasOffset) && hasOffset == plan.HasOffset
                : TimeText.TryTimeOfDay(text, out nanoseconds, out _))
            {
                time = (nanoseconds - plan.FirstNanoseconds) / 1e9;
                return true;
            }
        }

        time = double.NaN;
        LeftOut.Add(_record);
        if (!IsHeaderAgain(reader) && (!text.IsEmpty || !IsBlankRow(reader)))
        {
            AddRowFault(new(_record, 0, CsvFieldText.Readable(text, plan.SwapSigns), reader.FieldCount));
        }

        return false;
    }

    /// <summary>A row of nothing but separators, as spreadsheet programs leave them below a table.</summary>
    private static bool IsBlankRow(CsvReader reader) => CsvRow.IsBlankFrom(reader, 0);

    /// <summary>True for the header, or its row of units, once more: the logger started again, or files were joined.</summary>
    private bool IsHeaderAgain(CsvReader reader)
    {
        bool isAgain = Array.Exists(plan.HeaderRows, fields => CsvRow.Holds(reader, fields, plan.SwapSigns));
        if (isAgain)
        {
            HeadersAgain.Add((_record, _row));
        }

        return isAgain;
    }

    private bool HasUsableWidth(CsvReader reader)
    {
        int count = reader.FieldCount;
        if ((count > plan.Width && CsvRow.IsBlankFrom(reader, plan.Width)) || (count == plan.Width - 1 && plan.LastIsNameless))
        {
            return true;
        }

        LeftOut.Add(_record);
        if (!IsHeaderAgain(reader) && !IsBlankRow(reader))
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
        ReadOnlySpan<byte> text = CsvFieldText.Trim(reader.GetSpan(plan.Slots[slot]));
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

        if (!text.Contains((byte)',') && (CsvFieldText.IsNotFiniteWord(text) || reader.TryParse(plan.Slots[slot], out double _)))
        {
            if (NotFinite[slot]++ == 0)
            {
                FirstNotFinite[slot] = _record - LeftOut.Count;
            }

            return double.NaN;
        }

        if (Texts[slot]++ == 0)
        {
            _firstText.Add(slot, new(_record, slot, CsvFieldText.Readable(text, plan.SwapSigns), 0));
        }

        return double.NaN;
    }

    /// <summary>A column as its fields are parsed: all of it at hand in one place, because it is asked for at every field.</summary>
    private struct Target
    {
        /// <summary>Which field of a record.</summary>
        public required int Field { get; init; }

        /// <summary>Room for its values, one a row.</summary>
        public required double[] Values { get; set; }

        /// <summary>Where its values go instead when it is sparse; else null.</summary>
        public required SparseValues? Sparse { get; init; }

        /// <summary>True when it was blank once in this part, or is expected to be.</summary>
        public required bool MayBeBlank { get; set; }
    }
}
