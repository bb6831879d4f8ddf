using System.Globalization;
using CsvHelper;
using Parquet;
using Parquet.Schema;
using Telemetry.Ledger;

namespace Telemetry.Ledgers;

/// <summary>Takes a ledger over: an exported folder into an empty ledger, or the old form of the ledger (lines of text) into any.</summary>
public static class LedgerImport
{
    /// <summary>Puts an exported folder into an empty ledger, whole or not at all.</summary>
    /// <param name="folder">Folder of CSV or of Parquet files, one a table.</param>
    /// <param name="ledger">The ledger.</param>
    /// <returns>How many entries it has now.</returns>
    /// <exception cref="InputError">A file is missing or cannot be read, the export does not agree with itself, or the ledger is not empty.</exception>
    /// <exception cref="IOException">The ledger could not be written; nothing was entered.</exception>
    public static int Folder(string folder, LedgerDatabase ledger)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        ArgumentNullException.ThrowIfNull(ledger);
        bool isCsv = File.Exists(Path.Combine(folder, LedgerSchema.Entries.Name + ".csv"));
        LedgerRows rows = new();
        foreach (LedgerTable table in LedgerSchema.Content)
        {
            string path = Path.Combine(folder, table.Name + (isCsv ? ".csv" : ".parquet"));
            try
            {
                if (isCsv)
                {
                    ReadCsv(path, table, rows.Of(table));
                }
                else
                {
                    ReadParquet(path, table, rows.Of(table)).GetAwaiter().GetResult();
                }
            }
            catch (Exception error) when (error is not (InputError or OutOfMemoryException))
            {
                throw new InputError(path, $"cannot be read as a table of a ledger: {error.Message.TrimEnd('.')}.", "Export the ledger again, whole.");
            }
        }

        ledger.PutAll(rows, folder);
        return rows.Of(LedgerSchema.Entries).Count;
    }

    /// <summary>Takes the runs of a ledger of the old form over; runs that the ledger knows are passed over.</summary>
    /// <param name="path">The old file, lines of text.</param>
    /// <param name="ledger">The ledger.</param>
    /// <param name="enteredAtUtc">Now.</param>
    /// <returns>How many runs were taken over, and how many the old file holds.</returns>
    /// <exception cref="InputError">The file cannot be read; names every line that cannot.</exception>
    /// <exception cref="IOException">The ledger could not be written; nothing was entered.</exception>
    public static (int Taken, int Held) OldForm(string path, LedgerDatabase ledger, DateTimeOffset enteredAtUtc)
    {
        ArgumentNullException.ThrowIfNull(ledger);
        LifeLedger old = LifeLedger.Read(path);
        return (ledger.TakeOver([.. old.Runs.Select(OldRuns.Of)], enteredAtUtc), old.Runs.Length);
    }

    private static void ReadCsv(string path, LedgerTable table, List<object?[]> rows)
    {
        using CsvReader csv = CsvReader.Create(File.ReadAllBytes(path).AsMemory(), CsvReaderOptions.Default with { HasHeader = false });
        bool isHeader = true;
        while (csv.Read())
        {
            if (csv.FieldCount != table.Columns.Length || (isHeader && !table.Columns.Select((column, i) => csv.GetString(i) == column.Name).All(same => same)))
            {
                throw new FormatException($"row {(rows.Count + 1).ToString(CultureInfo.InvariantCulture)} does not have the columns {string.Join(", ", table.Columns.Select(column => column.Name))}");
            }

            if (!isHeader)
            {
                rows.Add([.. table.Columns.Select((column, i) => Value(column, csv.GetString(i)))]);
            }

            isHeader = false;
        }
    }

    private static object? Value(LedgerColumn column, string text) => text.Length == 0
        ? column.IsOptional ? null : throw new FormatException($"a value of '{column.Name}' is missing")
        : column.Kind switch
        {
            ColumnKind.Integer => long.Parse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture),
            ColumnKind.Real => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture) is var number && double.IsFinite(number) ? number : throw new FormatException($"a value of '{column.Name}' is not finite"),
            _ => text[0] == '\'' ? text[1..] : text,
        };

    private static async Task ReadParquet(string path, LedgerTable table, List<object?[]> rows)
    {
        using FileStream stream = new(path, FileMode.Open, FileAccess.Read);
        await using ParquetReader reader = await ParquetReader.CreateAsync(stream).ConfigureAwait(false);
        DataField[] fields = [.. reader.Schema.Fields.OfType<DataField>()];
        if (!fields.Select(field => field.Name).SequenceEqual(table.Columns.Select(column => column.Name)))
        {
            throw new FormatException($"it does not have the columns {string.Join(", ", table.Columns.Select(column => column.Name))}");
        }

        for (int group = 0; group < reader.RowGroupCount; group++)
        {
            using ParquetRowGroupReader part = reader.OpenRowGroupReader(group);
            int count = (int)part.RowCount;
            int first = rows.Count;
            rows.AddRange(Enumerable.Range(0, count).Select(_ => new object?[table.Columns.Length]));
            for (int i = 0; i < fields.Length; i++)
            {
                Func<int, object?> at = await Column(part, fields[i], table.Columns[i], count).ConfigureAwait(false);
                for (int row = 0; row < count; row++)
                {
                    rows[first + row][i] = at(row) ?? (table.Columns[i].IsOptional ? null : throw new FormatException($"a value of '{fields[i].Name}' is missing"));
                }
            }
        }
    }

    private static async Task<Func<int, object?>> Column(ParquetRowGroupReader part, DataField field, LedgerColumn column, int count)
    {
        switch (column.Kind, column.IsOptional)
        {
            case (ColumnKind.Text, _):
                string?[] texts = new string?[count];
                await part.ReadAsync(field, texts.AsMemory()).ConfigureAwait(false);
                return i => texts[i];
            case (ColumnKind.Real, true):
                double?[] optional = new double?[count];
                await part.ReadAsync<double>(field, optional.AsMemory()).ConfigureAwait(false);
                return i => optional[i];
            case (ColumnKind.Real, false):
                double[] numbers = new double[count];
                await part.ReadAsync<double>(field, numbers.AsMemory()).ConfigureAwait(false);
                return i => numbers[i];
            case (_, true):
                long?[] optionalWhole = new long?[count];
                await part.ReadAsync<long>(field, optionalWhole.AsMemory()).ConfigureAwait(false);
                return i => optionalWhole[i];
            default:
                long[] whole = new long[count];
                await part.ReadAsync<long>(field, whole.AsMemory()).ConfigureAwait(false);
                return i => whole[i];
        }
    }
}
