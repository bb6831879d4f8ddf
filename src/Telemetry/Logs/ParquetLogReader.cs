using System.Collections.Immutable;
using System.Globalization;
using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>Reads a log from Parquet: our own files back to the bit, and other tools' flat tables of numbers.</summary>
internal sealed class ParquetLogReader
{
    /// <summary>More rows than 27 hours at 1 kHz are taken for damage.</summary>
    private const long MostRows = 100_000_000;

    /// <summary>More numbers than this (8 GB) are taken for damage.</summary>
    private const long MostValues = 1_000_000_000;

    /// <summary>A column takes milliseconds; one that takes this long and the time below for each row does not end.</summary>
    private const double LongestDecodeS = 10;

    private const double LongestDecodeSPerRow = 20e-6;

    private readonly LogSource _source;
    private readonly string _path;
    private readonly string _fileName;
    private readonly LogOptions _options;
    private readonly List<LogFinding> _notes = [];

    private ParquetLogReader(LogSource source, string path, LogOptions options)
    {
        (_source, _path, _options) = (source, path, options);
        _fileName = Path.GetFileName(path);
    }

    /// <summary>Reads a log.</summary>
    /// <exception cref="InputError">The file is damaged, or no log that can be trusted as it stands.</exception>
    public static RunLog Read(LogSource source, string path, LogOptions options)
    {
        try
        {
            ParquetGuard.CheckFooter(source);
            return new ParquetLogReader(source, path, options).Read();
        }
        catch (Exception trouble) when (trouble is not InputError)
        {
            // The library's decoders throw whatever the damaged bytes lead them to (index, cast, format, decompression errors).
            string reason = trouble is InvalidDataException ? $" ({trouble.Message})" : "";
            throw new InputError(
                Path.GetFileName(path),
                $"The Parquet file is damaged, or uses a part of the format that is not read{reason}.",
                "Copy it again from where it was written, or write it with Snappy, Gzip or Zstandard pages and plain number columns.");
        }
    }

    /// <summary>All flat number columns by name, nulls as <see cref="CsvPartParser.Blank"/>, whether or not there is a time column: for tests against other readers.</summary>
    internal static Dictionary<string, double[]> ReadNumbers(LogSource source)
    {
        ParquetGuard.CheckFooter(source);
        ParquetLogReader log = new(source, "columns.parquet", LogOptions.Default);
        ParquetReader reader = log.Open();
        DataField[] fields = [.. reader.Schema.Fields.OfType<DataField>().Where(field => !field.IsArray && IsNumber(field.ClrType))];
        int rows = log.CountRows(reader, fields.Length);
        log.CheckPages(reader, [.. fields.Select(field => Describe(reader, field))]);
        return fields.ToDictionary(field => field.Name, field => ReadColumn(reader, field, rows, out _));
    }

    private RunLog Read()
    {
        ParquetReader reader = Open();
        ImmutableArray<Candidate> columns = Candidates(reader, out Candidate time);
        int rows = CountRows(reader, columns.Length + 1);
        CheckPages(reader, [time, .. columns]);
        double[] times = ReadTime(reader, time, rows, out double quantum, out DateTimeOffset? started);
        double[][] values = new double[columns.Length][];
        int[] blanks = new int[columns.Length];
        int[] notFinite = new int[columns.Length];
        Workers.Run(columns.Length, i =>
        {
            // Each worker has a reader of its own: the library's streams are not shared between threads.
            ParquetReader own = Open();
            values[i] = ReadNamedColumn(own, columns[i].Field, rows, out blanks[i]);
            notFinite[i] = ReplaceNotFinite(values[i]);
        });
        return Finish(reader, time, times, quantum, started, columns, values, blanks, notFinite);
    }

    private ParquetReader Open() =>
        Within(LongestDecodeS, () => ParquetReader.CreateAsync(new SourceStream(_source)).GetAwaiter().GetResult())
        ?? throw new InvalidDataException("its description of the columns cannot be read");

    /// <summary>One column that may be read.</summary>
    private sealed record Candidate(DataField Field, LogColumn Column, TimeBase? Even, bool IsOurs)
    {
        /// <summary>True when our metadata says that the times of the rows are the channel's own.</summary>
        public bool HasOwnRows => IsOurs && Even is null;
    }

    private ImmutableArray<Candidate> Candidates(ParquetReader reader, out Candidate time)
    {
        DataField[] flat = [.. reader.Schema.Fields.OfType<DataField>().Where(field => !field.IsArray)];
        foreach (Field nested in reader.Schema.Fields.Except(flat))
        {
            _notes.Add(Note(nested.Name, "The column holds lists or groups, no numbers, and is left out."));
        }

        int timeIndex = TimeColumns.Find([.. flat.Select(field => field.Name)], _options.TimeColumn);
        if (timeIndex < 0)
        {
            // A car file names the time column of the logger's own files; an imported log has ours.
            timeIndex = Array.FindIndex(flat, field => field.Name == ParquetKeys.TimeColumn);
        }

        if (timeIndex < 0)
        {
            string wanted = _options.TimeColumn is { } name ? $"'{name}'" : "time, t, timestamp or elapsed";
            throw new InputError(
                _fileName,
                $"No column is named {wanted}; the columns are {CsvLayoutFinder.Short(string.Join(", ", flat.Select(field => $"'{field.Name}'")))}.",
                "Name the time column in the log options.");
        }

        HashSet<string> only = new(_options.OnlyColumns.IsDefault ? [] : _options.OnlyColumns, StringComparer.Ordinal);
        ImmutableArray<Candidate>.Builder columns = ImmutableArray.CreateBuilder<Candidate>();
        HashSet<string> names = new(StringComparer.Ordinal);
        for (int i = 0; i < flat.Length; i++)
        {
            Candidate candidate = Describe(reader, flat[i]);
            if (i == timeIndex || (only.Count > 0 && !only.Contains(candidate.Column.Name) && !only.Contains(flat[i].Name)))
            {
                continue;
            }

            if (!IsNumber(flat[i].ClrType))
            {
                _notes.Add(Note(flat[i].Name, "The column holds text or dates, no numbers, and is left out."));
            }
            else if (names.Add(candidate.Column.Name))
            {
                columns.Add(candidate);
            }
            else
            {
                throw new InputError(_fileName, $"Two columns have the same name, '{candidate.Column.Name}'.", "Give each channel a name of its own, or read only other columns.");
            }
        }

        time = Describe(reader, flat[timeIndex]);
        return columns.Count > 0 ? columns.ToImmutable() : throw new InputError(_fileName, "No column besides time holds numbers.", "Write the run with its channels, or ask for other columns.");
    }

    private static Candidate Describe(ParquetReader reader, DataField field)
    {
        Dictionary<string, string> keys = reader.RowGroupCount > 0 ? reader.OpenRowGroupReader(0).GetCustomMetadata(field) ?? [] : [];
        if (!keys.TryGetValue(ParquetKeys.Unit, out string? unit))
        {
            return new(field, LogColumn.Parse(field.Name), null, false);
        }

        // With the unit in the metadata a bracket in the name is part of the name; only our time column carries both.
        LogColumn column = field.Name == ParquetKeys.TimeColumn ? LogColumn.Parse(field.Name) : new(field.Name, unit, field.Name);
        bool isOurs = keys.TryGetValue(ParquetKeys.TimeBase, out string? timeBase);
        return new(field, column, isOurs ? ParquetKeys.ParseEven(timeBase!) : null, isOurs);
    }

    private int CountRows(ParquetReader reader, int columns)
    {
        long rows = 0;
        for (int i = 0; i < reader.RowGroupCount; i++)
        {
            long count = reader.OpenRowGroupReader(i).RowCount;
            if (count < 0 || (rows += count) > MostRows || rows * columns > MostValues)
            {
                throw new InvalidDataException("it claims more rows than a log can have");
            }
        }

        return rows == 0 ? throw new InputError(_fileName, "The file has columns but no rows.", "Write the run again with its samples.") : (int)rows;
    }

    private void CheckPages(ParquetReader reader, ReadOnlySpan<Candidate> columns)
    {
        for (int i = 0; i < reader.RowGroupCount; i++)
        {
            ParquetRowGroupReader group = reader.OpenRowGroupReader(i);
            foreach (Candidate column in columns)
            {
                Parquet.Meta.ColumnMetaData meta = group.GetMetadata(column.Field)?.MetaData ?? throw new InvalidDataException("a column has no description");
                if (meta.NumValues != group.RowCount)
                {
                    throw new InvalidDataException("a column has not one value a row");
                }

                long start = meta.DictionaryPageOffset is > 0 and { } dictionary && dictionary < meta.DataPageOffset ? dictionary : meta.DataPageOffset;
                if (group.RowCount > 0)
                {
                    ParquetGuard.CheckPages(_source, start, meta.TotalCompressedSize, meta.NumValues);
                }
            }
        }
    }

    private static bool IsNumber(Type type) =>
        type == typeof(double) || type == typeof(float) || type == typeof(Half) || type == typeof(decimal) || type == typeof(bool)
        || type == typeof(sbyte) || type == typeof(byte) || type == typeof(short) || type == typeof(ushort)
        || type == typeof(int) || type == typeof(uint) || type == typeof(long) || type == typeof(ulong);

    /// <summary>Runs the library on a thread of its own: some damaged lengths keep it in an endless loop, which cannot be stopped, only left behind.</summary>
    /// <returns>Null when it throws, whatever it is, or does not end in time.</returns>
    private static T? Within<T>(double seconds, Func<T> work)
        where T : class
    {
        T? result = null;
        Thread worker = new(() =>
        {
            try
            {
                result = work();
            }
            catch (Exception)
            {
                // The library's decoders throw whatever damaged bytes lead them to; the caller refuses what gives no result.
                result = null;
            }
        })
        { IsBackground = true };
        worker.Start();
        return worker.Join(TimeSpan.FromSeconds(seconds)) ? result : null;
    }

    /// <summary>One column; when its pages cannot be decoded, the error names it, so that the others may still be asked for.</summary>
    private double[] ReadNamedColumn(ParquetReader reader, DataField field, int rows, out int blanks)
    {
        int found = 0;
        double[]? values = Within(LongestDecodeS + (rows * LongestDecodeSPerRow), () => ReadColumn(reader, field, rows, out found));
        blanks = found;
        if (values is not null)
        {
            return values;
        }

        throw new InputError(
            $"{_fileName}, column '{field.Name}'",
            "The column is damaged, or is written with an encoding or codec that is not read.",
            "Copy the file again, write the column with plain or dictionary encoding, or read only other columns.");
    }

    private static double[] ReadColumn(ParquetReader reader, DataField field, int rows, out int blanks)
    {
        Type type = field.ClrType;
        return type == typeof(double) ? Read<double>(reader, field, rows, out blanks, value => value)
            : type == typeof(float) ? Read<float>(reader, field, rows, out blanks, value => value)
            : type == typeof(Half) ? Read<Half>(reader, field, rows, out blanks, value => (double)value)
            : type == typeof(decimal) ? Read<decimal>(reader, field, rows, out blanks, value => (double)value)
            : type == typeof(bool) ? Read<bool>(reader, field, rows, out blanks, value => value ? 1 : 0)
            : type == typeof(sbyte) ? Read<sbyte>(reader, field, rows, out blanks, value => value)
            : type == typeof(byte) ? Read<byte>(reader, field, rows, out blanks, value => value)
            : type == typeof(short) ? Read<short>(reader, field, rows, out blanks, value => value)
            : type == typeof(ushort) ? Read<ushort>(reader, field, rows, out blanks, value => value)
            : type == typeof(int) ? Read<int>(reader, field, rows, out blanks, value => value)
            : type == typeof(uint) ? Read<uint>(reader, field, rows, out blanks, value => value)
            : type == typeof(long) ? Read<long>(reader, field, rows, out blanks, value => value)
            : Read<ulong>(reader, field, rows, out blanks, value => value);
    }

    private static double[] Read<T>(ParquetReader reader, DataField field, int rows, out int blanks, Func<T, double> convert)
        where T : struct
    {
        double[] target = GC.AllocateUninitializedArray<double>(rows);
        blanks = 0;
        int at = 0;
        for (int i = 0; i < reader.RowGroupCount; i++)
        {
            ParquetRowGroupReader group = reader.OpenRowGroupReader(i);
            int count = (int)group.RowCount;
            if (field.IsNullable)
            {
                T?[] values = new T?[count];
                group.ReadAsync<T>(field, values.AsMemory()).AsTask().GetAwaiter().GetResult();
                for (int k = 0; k < count; k++)
                {
                    target[at + k] = values[k] is { } value ? convert(value) : CsvPartParser.Blank;
                    blanks += values[k] is null ? 1 : 0;
                }
            }
            else if (target is T[] same)
            {
                group.ReadAsync<T>(field, same.AsMemory(at, count)).AsTask().GetAwaiter().GetResult();
            }
            else
            {
                T[] values = new T[count];
                group.ReadAsync<T>(field, values.AsMemory()).AsTask().GetAwaiter().GetResult();
                for (int k = 0; k < count; k++)
                {
                    target[at + k] = convert(values[k]);
                }
            }

            at += count;
        }

        return target;
    }

    /// <summary>Infinities and every NaN become the one NaN that stands for a gap; blanks stay what they are.</summary>
    private static int ReplaceNotFinite(double[] values)
    {
        int count = 0;
        long blank = BitConverter.DoubleToInt64Bits(CsvPartParser.Blank);
        foreach (ref double value in values.AsSpan())
        {
            if (!double.IsFinite(value) && BitConverter.DoubleToInt64Bits(value) != blank)
            {
                value = double.NaN;
                count++;
            }
        }

        return count;
    }

    private double[] ReadTime(ParquetReader reader, Candidate time, int rows, out double quantum, out DateTimeOffset? started)
    {
        started = null;
        DataField field = time.Field;
        double[] times;
        int blanks;
        if (field.ClrType == typeof(DateTime))
        {
            times = ReadDates(reader, field, rows, out blanks, out quantum, out started);
        }
        else if (IsNumber(field.ClrType))
        {
            LogColumn column = TimeColumns.WithUnit(time.Column);
            if (column.Unit.Length == 0)
            {
                _notes.Add(Note(column.Name, "The time column has no unit and is taken as seconds."));
            }

            double perSecond = TimeText.UnitsPerSecond(column.Unit) ?? throw new InputError(
                $"{_fileName}, column '{field.Name}'", $"'{column.Unit}' is no unit of time.", "Write s, ms, us, ns, min or h.");
            times = ReadNamedColumn(reader, field, rows, out blanks);
            quantum = ParquetTimes.Quantum(times, field.ClrType) / perSecond;
            for (int i = 0; i < times.Length; i++)
            {
                times[i] /= perSecond;
            }
        }
        else
        {
            throw new InputError($"{_fileName}, column '{field.Name}'", "The time column holds neither numbers nor dates.", "Write the time as seconds, or as a time stamp.");
        }

        int missing = Array.FindIndex(times, value => !double.IsFinite(value));
        return blanks == 0 && missing < 0 ? times : throw new InputError(
            string.Create(CultureInfo.InvariantCulture, $"{_fileName}, row {missing + 1}, column '{field.Name}'"),
            "The row has no time.",
            "Give the row its time, or remove it.");
    }

    private static double[] ReadDates(ParquetReader reader, DataField field, int rows, out int blanks, out double quantum, out DateTimeOffset? started)
    {
        long[] ticks = new long[rows];
        int next = 0;
        _ = Read<DateTime>(reader, field, rows, out blanks, value =>
        {
            ticks[next++] = value.Ticks;
            return 0;
        });
        started = blanks == 0 ? new DateTimeOffset(ticks[0], TimeSpan.Zero) : null;
        bool isMilli = true;
        bool isMicro = true;
        double[] times = new double[rows];
        for (int i = 0; i < rows; i++)
        {
            isMilli &= ticks[i] % TimeSpan.TicksPerMillisecond == 0;
            isMicro &= ticks[i] % TimeSpan.TicksPerMicrosecond == 0;
            times[i] = blanks == 0 ? (double)(ticks[i] - ticks[0]) / TimeSpan.TicksPerSecond : double.NaN;
        }

        quantum = isMilli ? 1e-3 : isMicro ? 1e-6 : 1e-7;
        return times;
    }

    private RunLog Finish(
        ParquetReader reader, Candidate time, double[] times, double quantum, DateTimeOffset? started,
        ImmutableArray<Candidate> columns, double[][] values, int[] blanks, int[] notFinite)
    {
        Dictionary<string, string> keys = reader.CustomMetadata ?? [];
        List<LogFinding>? ours = keys.TryGetValue(ParquetKeys.Findings, out string? text) ? ParquetKeys.ParseFindings(text) : null;
        List<TableColumn> table = [];
        Dictionary<string, TimeBase> even = [];
        List<LogFinding> later = [];
        for (int i = 0; i < columns.Length; i++)
        {
            Candidate column = columns[i];
            if (blanks[i] == times.Length && !column.IsOurs)
            {
                _notes.Add(Note(column.Column.Name, "The column is empty and is left out."));
                continue;
            }

            table.Add(new(column.Column, values[i], blanks[i]));
            if (column.Even is { } grid && grid.Count == times.Length - blanks[i])
            {
                even[column.Column.Name] = grid;
            }

            if (notFinite[i] > 0 && ours is null)
            {
                int first = Array.FindIndex(values[i], value => BitConverter.DoubleToInt64Bits(value) == BitConverter.DoubleToInt64Bits(double.NaN));
                later.Add(new(
                    LogFindingKind.NotFinite,
                    string.Create(CultureInfo.InvariantCulture, $"{_fileName}, row {first + 1}, column '{column.Column.Name}'"),
                    string.Create(CultureInfo.InvariantCulture, $"{notFinite[i]} {(notFinite[i] == 1 ? "value is an infinity or" : "values are infinities or")} 'not a number'; they are gaps in the channel."),
                    notFinite[i],
                    times[first]));
            }
        }

        if (table.Count == 0)
        {
            throw new InputError(_fileName, "No column besides time holds numbers.", "Write the run with its channels, or ask for other columns.");
        }

        (ImmutableArray<LoggedChannel> channels, List<LogFinding> seen) = new ChannelAssembler(new()
        {
            FileName = _fileName,
            TimeColumn = time.Column,
            TimesS = times,
            TimeQuantumS = quantum,
            Columns = table,
            RowNumber = row => row + 1,
            KnownGrids = even,
            KnownUneven = columns.Where(column => column.HasOwnRows).Select(column => column.Column.Name).ToHashSet(StringComparer.Ordinal),
        }).Assemble();
        return new(
            keys.TryGetValue(ParquetKeys.Run, out string? run) && ours is not null ? run : LogReader.RunName(_path),
            _path,
            channels,
            ours is not null ? [.. ours] : [.. seen, .. _notes, .. later],
            keys.TryGetValue(ParquetKeys.StartedAtUtc, out string? at) && DateTimeOffset.TryParse(at, CultureInfo.InvariantCulture, DateTimeStyles.None, out DateTimeOffset wall) ? wall : started);
    }

    private LogFinding Note(string column, string text) => new(LogFindingKind.Note, $"{_fileName}, column '{column}'", text, 1, double.NaN);
}
