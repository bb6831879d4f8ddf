using System.Collections.Immutable;
using System.Globalization;
using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>Reads a log from Parquet: our own files back to the bit, and other tools' flat tables of numbers.</summary>
internal sealed class ParquetLogReader
{
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
        ParquetFile file = new(source, "columns.parquet");
        ParquetReader reader = file.Open();
        DataField[] fields = [.. ParquetColumns.Flat(reader).Where(field => ParquetNumbers.IsNumber(field.ClrType))];
        int rows = file.CountRows(reader, fields.Length);
        file.CheckPages(reader, [.. fields.Select(field => ParquetColumns.Describe(reader, field))]);
        return fields.ToDictionary(field => field.Name, field => ParquetNumbers.ReadColumn(reader, field, rows, out _));
    }

    private RunLog Read()
    {
        ParquetFile file = new(_source, _fileName);
        ParquetReader reader = file.Open();
        ImmutableArray<ParquetColumn> columns = ParquetColumns.Choose(reader, _fileName, _options, _notes, out ParquetColumn time);
        int rows = file.CountRows(reader, columns.Length + 1);
        file.CheckPages(reader, [time, .. columns]);
        file.CheckDescription(reader, rows);
        ParquetTime times = ParquetTimeColumn.Read(file, reader, time, rows, _fileName, _notes);
        ReadColumn[] read = new ReadColumn[columns.Length];
        Workers.Run(columns.Length, i => read[i] = ReadColumn.Of(file.ReadNamed(file.Open(), columns[i], rows, out int blanks), blanks, columns[i].HasChecksum));
        return Finish(reader, time.Column, times, columns, read);
    }

    private RunLog Finish(
        ParquetReader reader, LogColumn timeColumn, ParquetTime time, ImmutableArray<ParquetColumn> columns, ReadColumn[] read)
    {
        double[] times = time.TimesS;
        Dictionary<string, string> keys = reader.CustomMetadata ?? [];
        List<LogFinding>? ours = keys.TryGetValue(ParquetKeys.Findings, out string? text) ? ParquetKeys.ParseFindings(text) : null;
        List<TableColumn> table = [];
        Dictionary<string, TimeBase> even = [];
        List<LogFinding> later = [];
        for (int i = 0; i < columns.Length; i++)
        {
            ParquetColumn column = columns[i];
            if (read[i].Blanks == times.Length && !column.IsOurs)
            {
                _notes.Add(ParquetColumns.Note(_fileName, column.Column.Name, "The column is empty and is left out."));
                continue;
            }

            table.Add(new(column.Column, read[i].Values, read[i].Blanks));
            if (column.Even is { } grid && grid.Count == times.Length - read[i].Blanks)
            {
                even[column.Column.Name] = grid;
            }

            AddImplausible(later, column, read[i], times);
            if (read[i].NotFinite is > 0 and var notFinite && ours is null)
            {
                int first = read[i].FirstNotFinite;
                later.Add(new(
                    LogFindingKind.NotFinite,
                    string.Create(CultureInfo.InvariantCulture, $"{_fileName}, row {first + 1}, column '{column.Column.Name}'"),
                    string.Create(CultureInfo.InvariantCulture, $"{notFinite} {(notFinite == 1 ? "value is an infinity or" : "values are infinities or")} 'not a number'; they are gaps in the channel."),
                    notFinite,
                    times[first]));
            }
        }

        if (table.Count == 0)
        {
            throw NoChannel.In(_fileName, [], isAnyAsked: true);
        }

        (ImmutableArray<LoggedChannel> channels, List<LogFinding> seen) = new ChannelAssembler(new()
        {
            FileName = _fileName,
            TimeColumn = timeColumn,
            TimesS = times,
            TimeQuantumS = time.QuantumS,
            TimeUnitsPerSecond = time.UnitsPerSecond,
            TimeIsSingle = time.IsSingle,
            Columns = table,
            RowNumber = row => row + 1,
            KnownGrids = even,
            KnownUneven = columns.Where(column => column.HasOwnRows).Select(column => column.Column.Name).ToHashSet(StringComparer.Ordinal),
        }).Assemble();
        return new(
            keys.TryGetValue(ParquetKeys.Run, out string? run) && ours is not null ? run : LogReader.RunName(_path),
            _path,
            channels,
            [.. ours ?? [], .. seen, .. ours is null ? _notes : [], .. later],
            keys.TryGetValue(ParquetKeys.StartedAtUtc, out string? at) && DateTimeOffset.TryParse(at, CultureInfo.InvariantCulture, DateTimeStyles.None, out DateTimeOffset wall) ? wall : time.StartedAtUtc);
    }

    /// <summary>Without a checksum, numbers that no sensor gives are the one trace that damage leaves in a column that can be decoded.</summary>
    private void AddImplausible(List<LogFinding> findings, ParquetColumn column, ReadColumn read, double[] times)
    {
        if (read.Implausible is not (> 0 and var count))
        {
            return;
        }

        findings.Add(new(
            LogFindingKind.ImplausibleNumber,
            string.Create(CultureInfo.InvariantCulture, $"{_fileName}, row {read.FirstImplausible + 1}, column '{column.Column.Name}'"),
            string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? "value is" : "values are")} larger than 1e30 or smaller than 1e-30, the first {read.Values[read.FirstImplausible]:G3}; no sensor gives that. The file carries no checksum, so it may be damaged; the values are kept."),
            count,
            times[read.FirstImplausible]));
    }

    /// <summary>A column as it was read, packed, and what was seen of its numbers before.</summary>
    /// <param name="Values">One value a row, <see cref="CsvPartParser.Blank"/> for a null.</param>
    /// <param name="Blanks">How many nulls.</param>
    /// <param name="NotFinite">How many infinities and NaN.</param>
    /// <param name="FirstNotFinite">Row of the first of them.</param>
    /// <param name="Implausible">How many numbers that no sensor gives; 0 where a checksum has vouched for the column.</param>
    /// <param name="FirstImplausible">Row of the first of them.</param>
    private readonly record struct ReadColumn(SampleSource Values, int Blanks, int NotFinite, int FirstNotFinite, int Implausible, int FirstImplausible)
    {
        public static ReadColumn Of(double[] values, int blanks, bool hasChecksum)
        {
            int notFinite = ParquetNumbers.ReplaceNotFinite(values, out int firstNotFinite);
            int firstImplausible = -1;
            int implausible = hasChecksum ? 0 : ParquetNumbers.CountImplausible(values, out firstImplausible);
            return new(PiecedSamples.Pack(values), blanks, notFinite, firstNotFinite, implausible, firstImplausible);
        }
    }
}
