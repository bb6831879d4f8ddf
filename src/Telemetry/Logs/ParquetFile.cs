using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>A Parquet file behind guards: nothing is decoded whose size was not checked against the file's.</summary>
internal sealed class ParquetFile(LogSource source, string fileName)
{
    /// <summary>More rows than 27 hours at 1 kHz are taken for damage.</summary>
    private const long MostRows = 100_000_000;

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
            if (count < 0 || (rows += count) > MostRows || rows * columns > MostValues)
            {
                throw new InvalidDataException("it claims more rows than a log can have");
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
                    ParquetGuard.CheckPages(source, start, meta.TotalCompressedSize, meta.NumValues);
                }
            }
        }
    }

    /// <summary>One column; when its pages cannot be decoded, the error names it, so that the others may still be asked for.</summary>
    public double[] ReadNamed(ParquetReader reader, DataField field, int rows, out int blanks)
    {
        int found = 0;
        double[]? values = PatientDecode.Within(PatientDecode.LongestS + (rows * PatientDecode.LongestSPerRow), () => ParquetNumbers.ReadColumn(reader, field, rows, out found));
        blanks = found;
        if (values is not null)
        {
            return values;
        }

        throw new InputError(
            $"{fileName}, column '{field.Name}'",
            "The column is damaged, or is written with an encoding or codec that is not read.",
            "Copy the file again, write the column with plain or dictionary encoding, or read only other columns.");
    }
}
