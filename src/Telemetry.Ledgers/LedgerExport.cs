using System.Globalization;
using CsvHelper;
using Parquet;
using Parquet.Schema;

namespace Telemetry.Ledgers;

/// <summary>Forms of an exported ledger.</summary>
public enum ExportForm
{
    /// <summary>One CSV file a table (RFC 4180, UTF-8).</summary>
    Csv,

    /// <summary>One Parquet file a table.</summary>
    Parquet,
}

/// <summary>Writes all tables of a ledger into a folder, for another program or to be imported again.</summary>
/// <remarks>
/// Numbers are written so that they read back to the last bit. A text that a spreadsheet would run as a formula (it starts with = + - @, a tab or a carriage return; advice of
/// OWASP on CSV injection), or that starts with an apostrophe, gets an apostrophe in front in CSV; the import takes it off again. A blank field is a missing value.
/// </remarks>
public static class LedgerExport
{
    private const string Guarded = "=+-@\t\r'";

    /// <summary>Writes a folder whole or not at all.</summary>
    /// <param name="content">The ledger.</param>
    /// <param name="folder">The folder; it must not exist, or be empty.</param>
    /// <param name="form">The form.</param>
    /// <exception cref="IOException">The folder is in use, or the file system refuses; nothing is left behind.</exception>
    /// <exception cref="UnauthorizedAccessException">The place may not be written to.</exception>
    public static void Write(LedgerContent content, string folder, ExportForm form)
    {
        ArgumentNullException.ThrowIfNull(content);
        ArgumentException.ThrowIfNullOrEmpty(folder);
        string target = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder));
        if (File.Exists(target) || (Directory.Exists(target) && Directory.EnumerateFileSystemEntries(target).Any()))
        {
            throw new IOException("it exists and is not empty");
        }

        string draft = Path.Combine(Path.GetDirectoryName(target)!, $".{Path.GetFileName(target)}.{Guid.NewGuid():N}.partial");
        try
        {
            Directory.CreateDirectory(draft);
            foreach (LedgerTable table in LedgerSchema.Content)
            {
                using FileStream stream = new(Path.Combine(draft, table.Name + (form == ExportForm.Csv ? ".csv" : ".parquet")), FileMode.CreateNew, FileAccess.Write);
                if (form == ExportForm.Csv)
                {
                    WriteCsv(table, content.Rows.Of(table), stream);
                }
                else
                {
                    WriteParquet(table, content.Rows.Of(table), stream).GetAwaiter().GetResult();
                }
            }

            if (Directory.Exists(target))
            {
                Directory.Delete(target);
            }

            Directory.Move(draft, target);
        }
        finally
        {
            if (Directory.Exists(draft))
            {
                Directory.Delete(draft, recursive: true);
            }
        }
    }

    /// <summary>A text as a CSV field.</summary>
    internal static string Guard(string text) => text.Length > 0 && Guarded.Contains(text[0]) ? "'" + text : text;

    private static void WriteCsv(LedgerTable table, List<object?[]> rows, Stream stream)
    {
        using CsvWriter csv = CsvWriter.Create(stream, CsvWriterOptions.Default with { Injection = CsvInjection.None }, leaveOpen: true);
        foreach (LedgerColumn column in table.Columns)
        {
            csv.WriteField(column.Name);
        }

        csv.EndRecord();
        foreach (object?[] row in rows)
        {
            foreach (object? value in row)
            {
                csv.WriteField(value switch
                {
                    null => "",
                    string text => Guard(text),
                    double number => number.ToString("R", CultureInfo.InvariantCulture),
                    _ => Convert.ToString(value, CultureInfo.InvariantCulture)!,
                });
            }

            csv.EndRecord();
        }
    }

    private static async Task WriteParquet(LedgerTable table, List<object?[]> rows, Stream stream)
    {
        DataField[] fields = [.. table.Columns.Select(Field)];
        await using ParquetWriter writer = await ParquetWriter.CreateAsync(new ParquetSchema([.. fields]), stream).ConfigureAwait(false);
        using ParquetRowGroupWriter group = writer.CreateRowGroup();
        for (int i = 0; i < fields.Length; i++)
        {
            int at = i;
            switch (table.Columns[i].Kind, table.Columns[i].IsOptional)
            {
                case (ColumnKind.Text, _):
                    await group.WriteAsync(fields[i], (IReadOnlyCollection<string>)[.. rows.Select(row => (string)row[at]!)]).ConfigureAwait(false);
                    break;
                case (ColumnKind.Real, true):
                    await group.WriteAsync<double>(fields[i], (ReadOnlyMemory<double?>)rows.Select(row => (double?)row[at]).ToArray()).ConfigureAwait(false);
                    break;
                case (ColumnKind.Real, false):
                    await group.WriteAsync<double>(fields[i], (ReadOnlyMemory<double>)rows.Select(row => (double)row[at]!).ToArray()).ConfigureAwait(false);
                    break;
                case (_, true):
                    await group.WriteAsync<long>(fields[i], (ReadOnlyMemory<long?>)rows.Select(row => (long?)row[at]).ToArray()).ConfigureAwait(false);
                    break;
                default:
                    await group.WriteAsync<long>(fields[i], (ReadOnlyMemory<long>)rows.Select(row => (long)row[at]!).ToArray()).ConfigureAwait(false);
                    break;
            }
        }
    }

    private static DataField Field(LedgerColumn column) => column.Kind switch
    {
        ColumnKind.Text => new DataField<string>(column.Name, nullable: column.IsOptional),
        ColumnKind.Real => column.IsOptional ? new DataField<double?>(column.Name) : new DataField<double>(column.Name),
        _ => column.IsOptional ? new DataField<long?>(column.Name) : new DataField<long>(column.Name),
    };
}
