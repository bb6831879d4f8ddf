using System.Collections.Immutable;
using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>One column that may be read.</summary>
/// <param name="Field">The library's name of it.</param>
/// <param name="Column">Name and unit.</param>
/// <param name="Even">The even grid that our metadata states, or null.</param>
/// <param name="IsOurs">True when our metadata says what its times are.</param>
/// <param name="HasChecksum">True when its values are checked against a checksum.</param>
internal sealed record ParquetColumn(DataField Field, LogColumn Column, TimeBase? Even, bool IsOurs, bool HasChecksum)
{
    /// <summary>True when our metadata says that the times of the rows are the channel's own.</summary>
    public bool HasOwnRows => IsOurs && Even is null;
}

/// <summary>Which columns of a Parquet file are time and channels.</summary>
internal static class ParquetColumns
{
    /// <summary>The channels that are asked for, and the time column.</summary>
    /// <param name="reader">The open file.</param>
    /// <param name="fileName">Name for messages.</param>
    /// <param name="options">What the file leaves open.</param>
    /// <param name="notes">Takes what is left out.</param>
    /// <param name="time">The time column.</param>
    /// <exception cref="InputError">There is no time column, no channel, or two of one name.</exception>
    public static ImmutableArray<ParquetColumn> Choose(ParquetReader reader, string fileName, LogOptions options, List<LogFinding> notes, out ParquetColumn time)
    {
        DataField[] flat = Flat(reader);
        foreach (Field nested in reader.Schema.Fields.Except(flat))
        {
            notes.Add(Note(fileName, nested.Name, "The column holds lists or groups, no numbers, and is left out."));
        }

        int timeIndex = FindTime(flat, fileName, options);
        HashSet<string> only = new(options.OnlyColumns.IsDefault ? [] : options.OnlyColumns, StringComparer.Ordinal);
        ImmutableArray<ParquetColumn>.Builder columns = ImmutableArray.CreateBuilder<ParquetColumn>();
        HashSet<string> names = new(StringComparer.Ordinal);
        bool isAnyAsked = false;
        for (int i = 0; i < flat.Length; i++)
        {
            ParquetColumn candidate = Describe(reader, flat[i]);
            if (i == timeIndex || (only.Count > 0 && !only.Contains(candidate.Column.Name) && !only.Contains(flat[i].Name)))
            {
                continue;
            }

            isAnyAsked = true;
            if (!ParquetNumbers.IsNumber(flat[i].ClrType))
            {
                notes.Add(Note(fileName, flat[i].Name, "The column holds text or dates, no numbers, and is left out."));
            }
            else if (names.Add(candidate.Column.Name))
            {
                columns.Add(candidate);
            }
            else
            {
                throw new InputError(fileName, $"Two columns have the same name, '{candidate.Column.Name}'.", "Give each channel a name of its own, or read only other columns.");
            }
        }

        time = Describe(reader, flat[timeIndex]);
        return columns.Count > 0 ? columns.ToImmutable() : throw NoChannel.In(
            fileName, [.. flat.Where((_, i) => i != timeIndex).Select(field => field.Name)], isAnyAsked);
    }

    /// <summary>The columns that are neither lists nor groups.</summary>
    public static DataField[] Flat(ParquetReader reader) => [.. reader.Schema.Fields.OfType<DataField>().Where(field => !field.IsArray)];

    /// <summary>Name, unit and grid of a column.</summary>
    public static ParquetColumn Describe(ParquetReader reader, DataField field)
    {
        Dictionary<string, string> keys = reader.RowGroupCount > 0 ? reader.OpenRowGroupReader(0).GetCustomMetadata(field) ?? [] : [];
        if (!keys.TryGetValue(ParquetKeys.Unit, out string? unit))
        {
            return new(field, LogColumn.Parse(field.Name), null, false, keys.ContainsKey(ParquetChecksum.Key));
        }

        // With the unit in the metadata a bracket in the name is part of the name; only our time column carries both.
        LogColumn column = field.Name == ParquetKeys.TimeColumn ? LogColumn.Parse(field.Name) : new(field.Name, unit ?? "", field.Name);
        bool isOurs = keys.TryGetValue(ParquetKeys.TimeBase, out string? timeBase);
        return new(field, column, isOurs ? ParquetKeys.ParseEven(timeBase!) : null, isOurs, keys.ContainsKey(ParquetChecksum.Key));
    }

    /// <summary>A remark about a column.</summary>
    public static LogFinding Note(string fileName, string column, string text) => new(LogFindingKind.Note, $"{fileName}, column '{column}'", text, 1, double.NaN);

    private static int FindTime(DataField[] flat, string fileName, LogOptions options)
    {
        int index = TimeColumns.Find([.. flat.Select(field => field.Name)], options.TimeColumn);

        // A car file names the time column of the logger's own files; an imported log has ours.
        index = index >= 0 ? index : Array.FindIndex(flat, field => field.Name == ParquetKeys.TimeColumn);
        string wanted = options.TimeColumn is { } name ? $"'{name}'" : "time, t, timestamp or elapsed";
        return index >= 0 ? index : throw new InputError(
            fileName,
            $"No column is named {wanted}; the columns are {CsvLayoutFinder.Short(string.Join(", ", flat.Select(field => $"'{field.Name}'")))}.",
            "Name the time column as log.time_column in the car file.");
    }
}
