using System.Globalization;
using CsvRecord = Telemetry.Logs.CsvRecords.CsvRecord;

namespace Telemetry.Logs;

/// <summary>Says why no table with a time column was found in a file.</summary>
internal static class CsvNoTable
{
    /// <summary>The error, after the separator that shows most of a table.</summary>
    public static InputError Explain(byte[] head, ReadOnlySpan<char> separators, string fileName, LogOptions options)
    {
        List<CsvRecord> records = [];
        CsvRecord? header = null;
        foreach (char separator in separators)
        {
            List<CsvRecord> tried = CsvRecords.Split(head, separator);
            tried.RemoveAll(CsvLayoutFinder.IsComment);
            CsvRecord? named = tried.Find(record => record.Fields.Length > 1 && TimeColumns.Find(record.Fields, options.TimeColumn) >= 0);
            if (records.Count == 0 || (header is null && (named is not null || Widest(tried) > Widest(records))))
            {
                (records, header) = (tried, named);
            }
        }

        if (records.Count == 0)
        {
            return new(fileName, "The file has no rows.", "Export the run again: a header with a time column and rows of numbers are needed.");
        }

        int width = Widest(records);
        header ??= records.Find(record => record.Fields.Length > 1) ?? records[0];
        if (width > CsvLayoutFinder.MostColumns)
        {
            return CsvLayoutFinder.TooManyColumns(fileName, width);
        }

        string where = $"{fileName}, row {header.Line}";
        string wanted = options.TimeColumn is { } name ? $"'{name}'" : "time, t, timestamp or elapsed";
        int time = TimeColumns.Find(CsvLayoutFinder.Uncommented(header.Fields, out _), options.TimeColumn);
        if (time < 0)
        {
            bool isData = header.Fields.All(field => field.Length == 0 || double.TryParse(field, NumberStyles.Float, CultureInfo.InvariantCulture, out _));
            return isData
                ? new(where, $"There is no header: the first row is '{CsvLayoutFinder.Short(string.Join(" | ", header.Fields))}'.", "Add a header row with the channels' names, one of them time.")
                : new(where, $"No column is named {wanted}; the columns are {CsvLayoutFinder.Short(string.Join(", ", header.Fields.Select(field => $"'{field}'")))}.", "Name the time column as log.time_column in the car file, or correct the header.");
        }

        CsvRecord? next = records.Find(record => record.Line > header.Line);
        return next is null ? new(where, "There is a header but no row of data below it.", "Export the run again with its samples.")
            : next.Fields.Length != header.Fields.Length && next.Fields.Length > time && CsvFirstNumbers.TryTime(next.Fields[time], out _)
            ? new(
                $"{fileName}, row {next.Line}",
                string.Create(CultureInfo.InvariantCulture, $"The rows have {next.Fields.Length} fields; the header in row {header.Line} has {header.Fields.Length}."),
                "Give every column a name, or correct the separator.")
            : width < 2 ? new(where, "There is a time column but no other.", "Export the run with its channels, or give the separator as log.separator in the car file.")
            : new($"{fileName}, row {next.Line}, column '{header.Fields[time]}'",
                $"No usable time: '{CsvLayoutFinder.Short(next.Fields.Length > time ? next.Fields[time] : "")}' is neither a number nor an ISO 8601 date and time.",
                "Write the time as seconds, milliseconds (unit ms) or ISO 8601, or name another time column as log.time_column in the car file.");
    }

    private static int Widest(List<CsvRecord> records) => records.Count == 0 ? 0 : records.Max(record => record.Fields.Length);
}
