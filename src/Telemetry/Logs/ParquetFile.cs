using System.Globalization;
using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>A Parquet file behind guards: nothing is decoded whose size was not checked against the file's.</summary>
internal sealed class ParquetFile(LogSource source, string fileName)
{
    /// <summary>More rows than 27 hours at 1 kHz are taken for damage.</summary>
    private const long MostRows = 100_000_000;

    /// <summary>Up to here (128 MB) any claim costs little.</summary>
    private const long HarmlessValues = 16_000_000;

    /// <summary>Beyond that a file with more numbers than this for each of its bytes holds no measurements: noise alone takes a bit a number.</summary>
    private const long MostValuesPerByte = 256;

    /// <summary>More numbers than this (8 GB) are taken for damage.</summary>
    private const long MostValues = 1_000_000_000;

    /// <summary>A reader of its own for each worker: the library's streams are not shared between threads.</summary>
    /// <exception cref="InvalidDataException">The footer cannot be read.</exception>
    public ParquetReader Open() =>
        PatientDecode.Within(PatientDecode.LongestS, () => ParquetReader.CreateAsync(new SourceStream(source)).GetAwaiter().GetResult())
        ?? throw new InvalidDataException("its description of the columns cannot be read");

    /// <summary>Number of rows.</summary>
    /// <exception cref="InvalidDataException">There are more than a log can have.</exception>
    /// <exception cref="InputError">There are none.</exception>
    public int CountRows(ParquetReader reader, int columns)
    {
        long rows = 0;
        for (int i = 0; i < reader.RowGroupCount; i++)
        {
            long count = reader.OpenRowGroupReader(i).RowCount;
            if (count < 0 || (rows += count) > MostRows || rows * columns > MostValues
                || (rows * columns > HarmlessValues && rows * columns / MostValuesPerByte > source.Length))
            {
                throw new InputError(
                    fileName,
                    string.Create(CultureInfo.InvariantCulture, $"The file of {source.Length} bytes claims {rows} rows of {columns} columns, more than a log of its size can hold: it is damaged, or made to fill the memory."),
                    "Copy it again from where it was written; look at where it came from.");
            }
        }

        return rows == 0 ? throw new InputError(fileName, "The file has columns but no rows.", "Write the run again with its samples.") : (int)rows;
    }

    /// <summary>Checks the pages of columns before the library decodes them.</summary>
    /// <exception cref="InvalidDataException">They cannot be those of a whole file.</exception>
    public void CheckPages(ParquetReader reader, ReadOnlySpan<ParquetColumn> columns)
    {
        for (int i = 0; i < reader.RowGroupCount; i++)
        {
            ParquetRowGroupReader group = reader.OpenRowGroupReader(i);
            foreach (ParquetColumn column in columns)
            {
                Parquet.Meta.ColumnMetaData meta = group.GetMetadata(column.Field)?.MetaData ?? throw new InvalidDataException("a column has no description");
                if (meta.NumValues != group.RowCount)
                {
                    throw new InvalidDataException("a column has not one value a row");
                }

                long start = meta.DictionaryPageOffset is > 0 and { } dictionary && dictionary < meta.DataPageOffset ? dictionary : meta.DataPageOffset;
                if (group.RowCount > 0)
                {
                    CheckPages(column, start, meta);
                }
            }
        }
    }

    private void CheckPages(ParquetColumn column, long start, Parquet.Meta.ColumnMetaData meta)
    {
        try
        {
            ParquetGuard.CheckPages(source, start, meta.TotalCompressedSize, meta.NumValues, meta.Codec);
        }
        catch (InvalidDataException trouble)
        {
            throw new InputError(
                $"{fileName}, column '{column.Field.Name}'",
                $"The column is damaged ({trouble.Message}).",
                "Copy the file again from where it was written, or read only other columns.");
        }
    }

    /// <summary>One column; when its pages cannot be decoded, or are not those that were written, the error names it, so that the others may still be asked for.</summary>
    /// <exception cref="InputError">The column is damaged, or cannot be decoded.</exception>
    public double[] ReadNamed(ParquetReader reader, ParquetColumn column, int rows, out int blanks)
    {
        int found = 0;
        DataField field = column.Field;
        double[]? values = PatientDecode.Within(PatientDecode.LongestS + (rows * PatientDecode.LongestSPerRow), () => ParquetNumbers.ReadColumn(reader, field, rows, out found));
        blanks = found;
        if (values is null)
        {
            throw new InputError(
                $"{fileName}, column '{field.Name}'",
                "The column is damaged, or is written with an encoding or codec that is not read.",
                "Copy the file again, write the column with plain or dictionary encoding, or read only other columns.");
        }

        if (column.HasChecksum || HasChecksum(reader))
        {
            CheckSums(reader, field, values);
        }

        return values;
    }

    /// <summary>True when the file says that its content is guarded by checksums.</summary>
    public static bool HasChecksum(ParquetReader reader) => reader.CustomMetadata?.ContainsKey(ParquetChecksum.Key) == true;

    /// <summary>Checks the description of the file against the checksum that it carries.</summary>
    /// <exception cref="InputError">They do not fit.</exception>
    public void CheckDescription(ParquetReader reader, int rows)
    {
        DataField[] fields = ParquetColumns.Flat(reader);
        bool isPromised = Array.Exists(fields, field => ParquetColumns.Describe(reader, field).HasChecksum);
        string? stated = reader.CustomMetadata?.GetValueOrDefault(ParquetChecksum.Key);
        if ((stated is not null || isPromised) && stated != ParquetChecksum.OfFile(reader.CustomMetadata ?? [], rows, fields.Select(field => field.Name)))
        {
            throw NotAsWritten(fileName, "The description of the file");
        }
    }

    private void CheckSums(ParquetReader reader, DataField field, double[] values)
    {
        int at = 0;
        for (int i = 0; i < reader.RowGroupCount; i++)
        {
            ParquetRowGroupReader group = reader.OpenRowGroupReader(i);
            Dictionary<string, string> keys = group.GetCustomMetadata(field) ?? [];
            int count = (int)group.RowCount;
            string sum = ParquetChecksum.OfColumn(
                field.Name, keys.GetValueOrDefault(ParquetKeys.Unit, ""), keys.GetValueOrDefault(ParquetKeys.TimeBase, ""), values.AsSpan(at, count));
            if (keys.GetValueOrDefault(ParquetChecksum.Key) != sum)
            {
                throw NotAsWritten($"{fileName}, column '{field.Name}'", "The column");
            }

            at += count;
        }
    }

    private static InputError NotAsWritten(string where, string what) => new(
        where,
        $"{what} is not what was written: its checksum does not fit. The file was damaged, or changed by another program.",
        "Import the logger's own file again, or copy this one again from where it was written.");
}
