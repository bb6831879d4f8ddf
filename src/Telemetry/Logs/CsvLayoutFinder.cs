using System.Collections.Immutable;
using System.Globalization;
using CsvRecord = Telemetry.Logs.CsvRecords.CsvRecord;

namespace Telemetry.Logs;

/// <summary>Finds the header, the separator and the way of writing numbers from the first lines of a CSV file.</summary>
/// <remarks>
/// The header is the first line that names a time column and is followed, at most <see cref="MostRowsBelowHeader"/> lines further down,
/// by a row of the same width with a time in that column. Lines above it are preamble. Separators are tried in a fixed order; the first that fits is taken.
/// </remarks>
internal sealed class CsvLayoutFinder(string fileName, LogOptions options)
{
    /// <summary>A header may be followed by a row of units and by a row of descriptions.</summary>
    private const int MostRowsBelowHeader = 3;

    /// <summary>A log with more columns than this is taken for a mistake: it is beyond any logger, and each column costs memory.</summary>
    internal const int MostColumns = 20_000;

    private static readonly char[] Separators = [',', ';', '\t', '|', ' '];

    /// <summary>Finds the layout.</summary>
    /// <param name="head">Bytes from the start of the text, ending at a row break or at the end of the file.</param>
    /// <exception cref="InputError">There is no table with a time column.</exception>
    public CsvLayout Find(byte[] head)
    {
        char? given = options.Separator ?? SeparatorLine(head);
        foreach (char separator in given is { } only ? [only] : Separators)
        {
            List<CsvRecord> records = CsvRecords.Split(head, separator);
            for (int i = 0; i < records.Count; i++)
            {
                if (TryHeader(records, i, separator) is { } layout)
                {
                    return layout;
                }
            }
        }

        throw CsvNoTable.Explain(head, given is { } one ? [one] : Separators, fileName, options);
    }

    private CsvLayout? TryHeader(List<CsvRecord> records, int index, char separator)
    {
        string[] names = Uncommented(records[index].Fields, out bool commented);
        names = separator == ' ' ? WithUnits(names) : names;
        if (names.Length < 2)
        {
            return null;
        }

        // 'Time, 10:00:00' in a preamble names a time column but is no header: names are not numbers.
        int time = TimeColumns.Find(names, options.TimeColumn);
        if (time < 0 || names.Any(name => CsvFirstNumbers.TryTime(name, out _)))
        {
            return null;
        }

        for (int below = index + 1; below < records.Count && below <= index + 1 + MostRowsBelowHeader; below++)
        {
            string[] fields = records[below].Fields;
            if (IsComment(records[below]) && !commented)
            {
                continue;
            }

            if (time < fields.Length && CsvFirstNumbers.TryTime(fields[time], out TimeStyle style))
            {
                return IsAsWide(names.Length, records, below) ? Describe(records, index, below, names, time, style, separator) : null;
            }
        }

        return null;
    }

    /// <summary>Between blanks a unit in brackets stands as a field of its own: it belongs to the name before it.</summary>
    private static string[] WithUnits(string[] fields)
    {
        List<string> names = [];
        foreach (string field in fields)
        {
            if (names.Count > 0 && field.Length > 2 && ((field[0] == '[' && field[^1] == ']') || (field[0] == '(' && field[^1] == ')')))
            {
                names[^1] += " " + field;
            }
            else
            {
                names.Add(field);
            }
        }

        return [.. names];
    }

    /// <summary>A comment below the header would otherwise be taken for units.</summary>
    internal static bool IsComment(CsvRecord record) => record.Fields[0].StartsWith('#');

    internal static string[] Uncommented(string[] fields, out bool commented)
    {
        commented = fields[0].StartsWith('#');
        if (!commented)
        {
            return fields;
        }

        string first = fields[0].TrimStart('#').Trim();
        return first.Length == 0 && fields.Length > 1 ? fields[1..] : [first, .. fields[1..]];
    }

    private static bool IsAsWide(int width, List<CsvRecord> records, int row)
    {
        // The first row may itself be the damaged one: then the next rows show the width.
        for (int i = row; i < Math.Min(records.Count, row + 3); i++)
        {
            string[] fields = records[i].Fields;
            if (fields.Length == width || (fields.Length > width && Array.TrueForAll(fields[width..], field => field.Length == 0)))
            {
                return true;
            }
        }

        // One cut-off or long row and nothing else is still this table; its fault is told with its row number.
        return records.Count == row + 1 && records[row].Fields.Length >= 2;
    }

    private CsvLayout Describe(List<CsvRecord> records, int header, int data, string[] names, int time, TimeStyle style, char separator)
    {
        if (names.Length > MostColumns)
        {
            throw TooManyColumns(fileName, names.Length);
        }

        List<(int, string)> notes = [];
        CsvRecord? units = CsvUnitsRow.Find(records, header, data, notes);
        LogColumn[] columns = new LogColumn[names.Length];
        for (int i = 0; i < names.Length; i++)
        {
            columns[i] = LogColumn.Parse(names[i], units is not null && i < units.Fields.Length ? units.Fields[i] : "");
        }

        bool? decimalComma = options.DecimalComma ?? CsvFirstNumbers.HaveDecimalComma(records, data, time, style, separator);
        double unitsPerSecond = style == TimeStyle.Number ? TimeUnits(ref columns[time], records[header].Line, notes) : 1;
        int decimals = 0;
        bool hasOffset = false;
        long first = 0;
        for (int i = data; i < records.Count; i++)
        {
            if (time < records[i].Fields.Length)
            {
                decimals = Math.Max(decimals, CsvFirstNumbers.DecimalsOf(records[i].Fields[time], style, out long nanoseconds, out bool offset));
                (first, hasOffset) = i == data ? (nanoseconds, offset) : (first, hasOffset);
            }
        }

        if (style == TimeStyle.DateTime && !hasOffset)
        {
            notes.Add((records[data].Line, "The dates say no offset from UTC and are taken as UTC."));
        }

        return new()
        {
            Separator = separator,
            DecimalComma = decimalComma,
            Columns = ImmutableArray.Create(columns),
            TimeIndex = time,
            TimeStyle = style,
            TimeUnitsPerSecond = unitsPerSecond,
            TimeQuantumS = Math.Pow(10, -decimals) / unitsPerSecond,
            FirstNanoseconds = first,
            HeaderLine = records[header].Line,
            HeaderFields = records[header].Fields,
            UnitFields = units?.Fields ?? [],
            HasOffset = hasOffset,
            DataLine = records[data].Line,
            Notes = [.. notes],
        };
    }

    private double TimeUnits(ref LogColumn column, int line, List<(int, string)> notes)
    {
        column = TimeColumns.WithUnit(column);
        if (column.Unit.Length == 0)
        {
            notes.Add((line, $"The time column '{column.Name}' has no unit and is taken as seconds."));
        }

        return TimeText.UnitsPerSecond(column.Unit) ?? throw new InputError(
            $"{fileName}, row {line}, column '{column.Written}'",
            $"'{column.Unit}' is no unit of time.",
            "Write s, ms, us, ns, min or h.");
    }

    /// <summary>A first line 'sep=;' as some spreadsheet programs write it.</summary>
    private static char? SeparatorLine(byte[] head)
    {
        ReadOnlySpan<byte> line = head;
        line = line.StartsWith("\"sep="u8) ? line[1..] : line;
        return line.Length > 5 && line.StartsWith("sep="u8) && line[4] is not ((byte)'\r' or (byte)'\n') && line[4] < 0x80 ? (char)line[4] : null;
    }

    internal static InputError TooManyColumns(string fileName, int count) => new(
        fileName,
        string.Create(CultureInfo.InvariantCulture, $"The header has {count} columns; more than {MostColumns} are not read."),
        "Check that rows end with line breaks, or export fewer channels.");

    internal static string Short(string text)
    {
        text = text.ReplaceLineEndings(" ");
        return text.Length <= 120 ? text : string.Concat(text.AsSpan(0, 117), "...");
    }
}
