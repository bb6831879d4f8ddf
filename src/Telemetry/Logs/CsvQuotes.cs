using System.Globalization;

namespace Telemetry.Logs;

/// <summary>Looks for a quote that opens and is not closed within reason, without holding the file.</summary>
internal static class CsvQuotes
{
    /// <summary>Refuses a quoted field that no log has; RFC 4180, 2.5 to 2.7: a quote opens a field only at its start, and a doubled one stands for itself.</summary>
    /// <exception cref="InputError">A quoted field goes on for more than <see cref="CsvHead.MostLineBytes"/>; names the row in which it opens.</exception>
    public static void RefuseEndless(LogSource source, string fileName, long start, long end, char separator)
    {
        byte[] buffer = new byte[1 << 18];
        bool atStart = true;
        bool inQuotes = false;
        long opened = 0;
        for (long at = start; at < end;)
        {
            Span<byte> got = buffer.AsSpan(0, source.Read(at, buffer.AsSpan(0, (int)Math.Min(buffer.Length, end - at))));
            if (got.IsEmpty)
            {
                return;
            }

            for (int i = 0; i < got.Length; i++)
            {
                byte sign = got[i];
                if (inQuotes)
                {
                    // A doubled quote closes here and opens again at once, which comes to the same.
                    inQuotes = sign != '"';
                    atStart = !inQuotes;
                }
                else if (sign == '"' && atStart)
                {
                    inQuotes = true;
                    opened = at + i;
                }
                else
                {
                    atStart = sign == separator || sign is (byte)'\n' or (byte)'\r' or (byte)' ' or (byte)'\t';
                }
            }

            at += got.Length;
            if (inQuotes && at - opened > CsvHead.MostLineBytes)
            {
                throw new InputError(
                    string.Create(CultureInfo.InvariantCulture, $"{fileName}, row {LineBreaks.CountBefore(source, opened) + 1}"),
                    "A quote that opens in this row is not closed within 4 MB.",
                    "Close the quote, or remove it.");
            }
        }
    }
}
