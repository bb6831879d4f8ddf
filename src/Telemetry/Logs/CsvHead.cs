using System.Globalization;

namespace Telemetry.Logs;

/// <summary>The first lines of a CSV file: enough of them to find the header and to see how numbers are written.</summary>
internal static class CsvHead
{
    /// <summary>How far a header is looked for.</summary>
    private const int FirstBytes = 1 << 18;

    /// <summary>No line of a log is longer; also bounds the search for a header in a file without line breaks.</summary>
    internal const int MostLineBytes = 1 << 22;

    /// <summary>Lines that show a table; a wide one needs a longer look to bring them in sight.</summary>
    private const int EnoughLines = 8;

    /// <summary>Bytes from the start of the text, ending at a row break or at the end of the file.</summary>
    /// <exception cref="InputError">The file is empty, is no text, or has no lines.</exception>
    public static byte[] Read(LogSource source, string fileName)
    {
        if (source.Length == 0)
        {
            throw new InputError(fileName, "The file is empty.", "Export the run again.");
        }

        for (int size = FirstBytes; ; size *= 4)
        {
            byte[] head = source.ReadRange(0, Math.Min(size, source.Length));
            if (head.AsSpan().Contains((byte)0))
            {
                throw Binary(source, fileName, head.AsSpan().IndexOf((byte)0));
            }

            if (head.Length == source.Length)
            {
                return head;
            }

            int lastBreak = head.AsSpan().LastIndexOfAny((byte)'\r', (byte)'\n');
            if (LineBreaks.Count(head) >= EnoughLines)
            {
                return head[..(lastBreak + 1)];
            }

            if (size >= MostLineBytes)
            {
                return lastBreak > 0 ? head[..(lastBreak + 1)] : throw TooLongLine(head, fileName);
            }
        }
    }

    /// <summary>The error for a file in which a zero byte stands.</summary>
    public static InputError Binary(LogSource source, string fileName, long offset) => new(
        string.Create(CultureInfo.InvariantCulture, $"{fileName}, row {LineBreaks.CountBefore(source, offset) + 1}"),
        FileKinds.IsNamedParquet(fileName)
            ? "The file is named as Parquet and does not begin as such a file does (PAR1); nor is it text."
            : string.Create(CultureInfo.InvariantCulture, $"A zero byte stands at byte {offset}; this is not a text file, it is damaged, or its encoding changes here."),
        "Export the run as CSV or Parquet again.");

    private static InputError TooLongLine(byte[] head, string fileName)
    {
        int fields = head.AsSpan().Count((byte)',');
        return fields > CsvLayoutFinder.MostColumns
            ? CsvLayoutFinder.TooManyColumns(fileName, fields + 1)
            : new(fileName, "The first 4 MB hold no line break.", "Check that this is a CSV file whose rows end with line breaks.");
    }
}
