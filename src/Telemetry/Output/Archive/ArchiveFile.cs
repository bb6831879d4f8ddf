using System.Globalization;
using System.IO.Compression;
using Parquet;
using Parquet.Schema;
using Telemetry.Output.Tables;

namespace Telemetry.Output.Archive;

/// <summary>Writes one table of one run as Parquet.</summary>
internal static class ArchiveFile
{
    /// <summary>Writes a table; one without rows has its columns all the same, so that a query finds them.</summary>
    /// <exception cref="InvalidOperationException">A cell is not what its column says.</exception>
    public static void Write(ResultTable table, ArchiveKey key, Stream stream) => WriteAsync(table, key, stream).GetAwaiter().GetResult();

    private static async Task WriteAsync(ResultTable table, ArchiveKey key, Stream stream)
    {
        ArchiveColumn[] columns = ArchiveColumn.Of(table);
        DataField car = Text("car"), run = Text("run"), hash = Text("log_sha256");
        DateTimeDataField started = new("started_at_utc", DateTimeFormat.Timestamp, isAdjustedToUTC: true, unit: DateTimeTimeUnit.Micros, isNullable: true);
        DataField[] fields = [.. columns.Select(Field)];
        ParquetOptions options = new() { CompressionMethod = CompressionMethod.Zstd, CompressionLevel = CompressionLevel.Fastest };
        await using ParquetWriter writer = await ParquetWriter.CreateAsync(new ParquetSchema([car, run, started, hash, .. fields]), stream, options).ConfigureAwait(false);
        int rows = table.Rows.Length;
        using ParquetRowGroupWriter group = writer.CreateRowGroup();
        await group.WriteAsync(car, Repeated(key.Car, rows)).ConfigureAwait(false);
        await group.WriteAsync(run, Repeated(key.Run, rows)).ConfigureAwait(false);
        await group.WriteAsync<DateTime>(started, Repeated(key.StartedAtUtc?.UtcDateTime, rows).AsMemory()).ConfigureAwait(false);
        await group.WriteAsync(hash, Repeated(key.LogHash, rows)).ConfigureAwait(false);
        for (int i = 0; i < columns.Length; i++)
        {
            Dictionary<string, string> metadata = new() { ["header"] = table.Columns[i].Header };
            switch (columns[i].Kind)
            {
                case ArchiveKind.Text:
                    await group.WriteAsync(fields[i], Cells(table, i, InText)).ConfigureAwait(false);
                    break;
                case ArchiveKind.Whole:
                    await group.WriteAsync<long>(fields[i], Cells(table, i, Whole).AsMemory(), customMetadata: metadata).ConfigureAwait(false);
                    break;
                default:
                    await group.WriteAsync<double>(fields[i], Cells(table, i, Number).AsMemory(), customMetadata: metadata).ConfigureAwait(false);
                    break;
            }
        }
    }

    private static DataField Field(ArchiveColumn column) => column.Kind switch
    {
        ArchiveKind.Text => Text(column.Name),
        ArchiveKind.Whole => new DataField<long>(column.Name, true),
        _ => new DataField<double>(column.Name, true),
    };

    private static DataField<string> Text(string name) => new DataField<string>(name, true);

    private static T[] Repeated<T>(T value, int rows)
    {
        T[] all = new T[rows];
        all.AsSpan().Fill(value);
        return all;
    }

    private static T[] Cells<T>(ResultTable table, int column, Func<TableCell, ResultTable, int, T> convert) =>
        [.. table.Rows.Select(row => convert(row[column], table, column))];

    /// <summary>Blank text is no value, as in the CSV table; a stray number in a column of text keeps its digits.</summary>
    private static string InText(TableCell cell, ResultTable table, int column) =>
        cell.Text is { Length: > 0 } text ? text
        : cell.Text is null && double.IsFinite(cell.Number) ? cell.Number.ToString("R", CultureInfo.InvariantCulture)
        : null!;

    private static double? Number(TableCell cell, ResultTable table, int column) =>
        cell.Text is { Length: > 0 } text ? throw new InvalidOperationException($"Table {table.Name}: column '{table.Columns[column].Name}' holds numbers, and a cell holds '{text}'.")
        : double.IsFinite(cell.Number) ? cell.Number + 0.0
        : null;

    private static long? Whole(TableCell cell, ResultTable table, int column) => Number(cell, table, column) switch
    {
        null => null,
        double number when number == Math.Floor(number) && Math.Abs(number) < 1L << 53 => (long)number,
        double number => throw new InvalidOperationException(FormattableString.Invariant($"Table {table.Name}: column '{table.Columns[column].Name}' counts things, and a cell holds {number}.")),
    };
}
