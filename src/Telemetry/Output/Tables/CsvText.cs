using CsvHelper;

namespace Telemetry.Output.Tables;

/// <summary>Writes a table as CSV that every spreadsheet reads the same way.</summary>
/// <remarks>
/// RFC 4180: comma, CR LF after each row, quotes only where a field needs them; UTF-8 without a byte-order mark; a point
/// before the decimals; seven significant digits; a blank for a missing number. Text from a log or a car file that starts
/// with = + - @, a tab or a carriage return is quoted with an apostrophe in front, because a spreadsheet would run it as a
/// formula (advice of OWASP on CSV injection); numbers never are.
/// </remarks>
public static class CsvText
{
    private static readonly CsvWriterOptions Form = CsvWriterOptions.Default with { Injection = CsvInjection.Escape };

    /// <summary>Writes one table, header first.</summary>
    /// <exception cref="IOException">The stream refuses.</exception>
    public static void Write(ResultTable table, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(table);
        using CsvWriter csv = CsvWriter.Create(stream, Form, leaveOpen: true);
        foreach (TableColumn column in table.Columns)
        {
            csv.WriteField(column.Header);
        }

        csv.EndRecord();
        foreach (var row in table.Rows)
        {
            foreach (TableCell cell in row)
            {
                if (cell.Text is not null)
                {
                    csv.WriteField(cell.Text);
                }
                else if (double.IsFinite(cell.Number))
                {
                    // Adding 0 turns a negative zero into a plain one.
                    csv.WriteField(cell.Number + 0.0, "G7");
                }
                else
                {
                    csv.WriteField("");
                }
            }

            csv.EndRecord();
        }
    }
}
