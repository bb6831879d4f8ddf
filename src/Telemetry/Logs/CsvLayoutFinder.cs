using System.Collections.Immutable;
using System.Globalization;
using System.Text;
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

        throw NoTable(head, given);
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
        if (time < 0 || names.Any(name => TryTime(name, out _)))
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

            if (time < fields.Length && TryTime(fields[time], out TimeStyle style))
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
    private static bool IsComment(CsvRecord record) => record.Fields[0].StartsWith('#');

    private static string[] Uncommented(string[] fields, out bool commented)
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
            if (fields.Length == width || (fields.Length == width + 1 && fields[^1].Length == 0))
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
            throw TooManyColumns(names.Length);
        }

        List<(int, string)> notes = [];
        CsvRecord? units = UnitsRow(records, header, data, notes);
        LogColumn[] columns = new LogColumn[names.Length];
        for (int i = 0; i < names.Length; i++)
        {
            columns[i] = LogColumn.Parse(names[i], units is not null && i < units.Fields.Length ? units.Fields[i] : "");
        }

        bool? decimalComma = options.DecimalComma ?? FindDecimalComma(records, data, time, style, separator);
        double unitsPerSecond = style == TimeStyle.Number ? TimeUnits(ref columns[time], records[header].Line, notes) : 1;
        int decimals = 0;
        bool hasOffset = true;
        long first = 0;
        for (int i = data; i < records.Count; i++)
        {
            if (time < records[i].Fields.Length)
            {
                string text = records[i].Fields[time];
                decimals = Math.Max(decimals, DecimalsOf(text, style, out long nanoseconds, ref hasOffset));
                first = i == data ? nanoseconds : first;
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

    private static int DecimalsOf(string text, TimeStyle style, out long nanoseconds, ref bool hasOffset)
    {
        nanoseconds = 0;
        int decimals = 0;
        switch (style)
        {
            case TimeStyle.Number:
                return TimeText.Decimals(text);
            case TimeStyle.DateTime:
                if (TimeText.TryDateTime(Encoding.ASCII.GetBytes(text), out nanoseconds, out decimals, out bool offset))
                {
                    hasOffset &= offset;
                }

                return decimals;
            default:
                TimeText.TryTimeOfDay(Encoding.ASCII.GetBytes(text), out nanoseconds, out decimals);
                return decimals;
        }
    }

    /// <summary>The row between header and data that holds the units: the only one, or of several the one with the most known units.</summary>
    private static CsvRecord? UnitsRow(List<CsvRecord> records, int header, int data, List<(int, string)> notes)
    {
        CsvRecord? best = null;
        int bestScore = -1;
        for (int i = header + 1; i < data; i++)
        {
            int score = records[i].Fields.Count(field => KnownUnits.Contains(field.Trim('[', ']', '(', ')', ' ')));
            if (!IsComment(records[i]) && score > bestScore)
            {
                (best, bestScore) = (records[i], score);
            }
        }

        for (int i = header + 1; i < data; i++)
        {
            if (records[i] != best && !IsComment(records[i]))
            {
                notes.Add((records[i].Line, "This row between the header and the data holds neither units nor numbers; it was not used."));
            }
        }

        return best;
    }

    private static readonly HashSet<string> KnownUnits = new(StringComparer.OrdinalIgnoreCase)
    {
        "s", "ms", "N", "kN", "m", "mm", "m/s", "km/h", "m/s2", "m/s^2", "g", "deg", "rad", "rad/s", "deg/s", "C", "\u00b0C", "degC", "K",
        "bar", "Pa", "kPa", "mbar", "hPa", "V", "mV", "A", "%", "-", "rpm", "1/min", "Nm", "kg", "l", "\u00b0", "\u00b5m/m",
    };

    /// <summary>Looks at the first rows: a comma among digits, and no point, means a decimal comma.</summary>
    private static bool? FindDecimalComma(List<CsvRecord> records, int data, int time, TimeStyle style, char separator)
    {
        bool comma = false;
        bool point = false;
        for (int i = data; i < records.Count; i++)
        {
            string[] fields = records[i].Fields;
            for (int c = 0; c < fields.Length; c++)
            {
                if (c == time && style != TimeStyle.Number)
                {
                    continue;
                }

                comma |= IsNumberWith(fields[c], ',');
                point |= IsNumberWith(fields[c], '.');
            }
        }

        return comma ? !point : point ? false : separator == ',' ? false : null;
    }

    private static bool IsNumberWith(string text, char sign)
    {
        int at = text.IndexOf(sign, StringComparison.Ordinal);
        return at >= 0 && text.IndexOf(sign, at + 1) < 0 && text.IndexOf(sign == ',' ? '.' : ',', StringComparison.Ordinal) < 0
            && double.TryParse(text.Replace(sign, '.'), NumberStyles.Float, CultureInfo.InvariantCulture, out _);
    }

    private static bool TryTime(string text, out TimeStyle style)
    {
        byte[] ascii = Encoding.ASCII.GetBytes(text);
        style = TimeText.TryDateTime(ascii, out _, out _, out _) ? TimeStyle.DateTime
            : TimeText.TryTimeOfDay(ascii, out _, out _) ? TimeStyle.TimeOfDay : TimeStyle.Number;
        return style != TimeStyle.Number || double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out _) || IsNumberWith(text, ',');
    }

    /// <summary>A first line 'sep=;' as some spreadsheet programs write it.</summary>
    private static char? SeparatorLine(byte[] head)
    {
        ReadOnlySpan<byte> line = head;
        line = line.StartsWith("\"sep="u8) ? line[1..] : line;
        return line.Length > 5 && line.StartsWith("sep="u8) && line[4] is not ((byte)'\r' or (byte)'\n') && line[4] < 0x80 ? (char)line[4] : null;
    }

    internal InputError TooManyColumns(int count) => new(
        fileName,
        string.Create(CultureInfo.InvariantCulture, $"The header has {count} columns; more than {MostColumns} are not read."),
        "Check that rows end with line breaks, or export fewer channels.");

    private InputError NoTable(byte[] head, char? given)
    {
        List<CsvRecord> records = [];
        CsvRecord? header = null;
        foreach (char separator in given is { } only ? [only] : Separators)
        {
            List<CsvRecord> tried = CsvRecords.Split(head, separator);
            tried.RemoveAll(IsComment);
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
        if (width > MostColumns)
        {
            return TooManyColumns(width);
        }

        string where = $"{fileName}, row {header.Line}";
        string wanted = options.TimeColumn is { } name ? $"'{name}'" : "time, t, timestamp or elapsed";
        int time = TimeColumns.Find(Uncommented(header.Fields, out _), options.TimeColumn);
        if (time < 0)
        {
            bool isData = header.Fields.All(field => field.Length == 0 || double.TryParse(field, NumberStyles.Float, CultureInfo.InvariantCulture, out _));
            return isData
                ? new(where, $"There is no header: the first row is '{Short(string.Join(" | ", header.Fields))}'.", "Add a header row with the channels' names, one of them time.")
                : new(where, $"No column is named {wanted}; the columns are {Short(string.Join(", ", header.Fields.Select(field => $"'{field}'")))}.", "Name the time column in the log options, or correct the header.");
        }

        CsvRecord? next = records.Find(record => record.Line > header.Line);
        return next is null ? new(where, "There is a header but no row of data below it.", "Export the run again with its samples.")
            : next.Fields.Length != header.Fields.Length && next.Fields.Length > time && TryTime(next.Fields[time], out _)
            ? new(
                $"{fileName}, row {next.Line}",
                string.Create(CultureInfo.InvariantCulture, $"The rows have {next.Fields.Length} fields; the header in row {header.Line} has {header.Fields.Length}."),
                "Give every column a name, or correct the separator.")
            : width < 2 ? new(where, "There is a time column but no other.", "Export the run with its channels, or give the separator in the log options.")
            : new($"{fileName}, row {next.Line}, column '{header.Fields[time]}'",
                $"No usable time: '{Short(next.Fields.Length > time ? next.Fields[time] : "")}' is neither a number nor an ISO 8601 date and time.",
                "Write the time as seconds, milliseconds (unit ms) or ISO 8601, or name another time column in the log options.");
    }

    private static int Widest(List<CsvRecord> records) => records.Count == 0 ? 0 : records.Max(record => record.Fields.Length);

    internal static string Short(string text)
    {
        text = text.ReplaceLineEndings(" ");
        return text.Length <= 120 ? text : string.Concat(text.AsSpan(0, 117), "...");
    }
}
