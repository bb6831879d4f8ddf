using CsvHelper;

namespace Telemetry.Logs;

/// <summary>The first records of a CSV file as text, under one choice of separator.</summary>
internal static class CsvRecords
{
    /// <summary>One record: the line it starts on and its fields, trimmed.</summary>
    internal sealed record CsvRecord(int Line, string[] Fields);

    /// <summary>Enough lines for any preamble, and for a look at the numbers below the header.</summary>
    private const int MostRecords = 600;

    /// <summary>Bounds the work on a header that is wide beyond reason.</summary>
    private const int MostFields = 400_000;

    /// <summary>Splits the head of a file into records.</summary>
    /// <param name="head">Bytes from the start of the file, ending at a row break or at the end of the file.</param>
    /// <param name="separator">The separator; a space stands for runs of spaces and tabs.</param>
    public static List<CsvRecord> Split(byte[] head, char separator)
    {
        byte[] bytes = head;
        int length = head.Length;
        if (separator == ' ')
        {
            bytes = (byte[])head.Clone();
            length = SpaceRuns.Collapse(bytes);
        }

        List<CsvRecord> records = [];
        int fieldCount = 0;
        using CsvReader reader = CsvReader.Create(bytes.AsMemory(0, length), Options(separator) with { TrackLineNumbers = true });
        while (records.Count < MostRecords && fieldCount < MostFields && reader.Read())
        {
            string[] fields = new string[reader.FieldCount];
            for (int i = 0; i < fields.Length; i++)
            {
                // A byte order mark inside the file is left of files that were joined; it is no part of a name.
                fields[i] = TextEncoding.Decode(reader.GetSpan(i)).Trim().Trim('\ufeff').Trim();
            }

            fieldCount += fields.Length;
            records.Add(new((int)reader.LineNumber, fields));
        }

        return records;
    }

    /// <summary>The reader's settings: what is read is decided by this project, not guessed a second time by the library.</summary>
    public static CsvReaderOptions Options(char separator) => new()
    {
        HasHeader = false,
        Separator = separator,
        DetectSeparatorHint = false,
        Encoding = System.Text.Encoding.UTF8,
    };
}

/// <summary>Turns runs of blanks between fields into single ones, so that a file in fixed columns reads as one with a separator.</summary>
internal static class SpaceRuns
{
    /// <summary>Collapses runs of spaces and tabs outside quotes and drops those at the ends of lines, in place; line breaks stay. Returns the new length.</summary>
    public static int Collapse(Span<byte> bytes)
    {
        int write = 0;
        bool inQuotes = false;
        for (int read = 0; read < bytes.Length; read++)
        {
            byte b = bytes[read];
            inQuotes ^= b == '"';
            if (!inQuotes && b is (byte)' ' or (byte)'\t')
            {
                bool atStart = write == 0 || bytes[write - 1] is (byte)'\n' or (byte)'\r';
                bool afterBlank = write > 0 && bytes[write - 1] == ' ';
                if (!atStart && !afterBlank)
                {
                    bytes[write++] = (byte)' ';
                }
            }
            else
            {
                if (!inQuotes && b is (byte)'\n' or (byte)'\r' && write > 0 && bytes[write - 1] == ' ')
                {
                    write--;
                }

                bytes[write++] = b;
            }
        }

        return write > 0 && bytes[write - 1] == ' ' ? write - 1 : write;
    }
}
