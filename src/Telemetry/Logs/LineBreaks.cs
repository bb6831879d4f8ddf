namespace Telemetry.Logs;

/// <summary>Line breaks as an editor counts them: LF, CR LF and a CR alone.</summary>
internal static class LineBreaks
{
    /// <summary>Number of line breaks. A CR at the very end counts: the caller does not cut between CR and LF.</summary>
    public static int Count(ReadOnlySpan<byte> bytes)
    {
        int count = bytes.Count((byte)'\n');
        int carriageReturns = bytes.Count((byte)'\r');
        return carriageReturns == 0 ? count : count + carriageReturns - bytes.Count("\r\n"u8);
    }

    /// <summary>Number of line breaks before an offset of a source.</summary>
    public static int CountBefore(LogSource source, long offset)
    {
        byte[] buffer = new byte[1 << 18];
        int count = 0;
        bool endedWithReturn = false;
        for (long at = 0; at < offset;)
        {
            Span<byte> got = buffer.AsSpan(0, source.Read(at, buffer.AsSpan(0, (int)Math.Min(buffer.Length, offset - at))));
            if (got.IsEmpty)
            {
                break;
            }

            count += Count(got) - (endedWithReturn && got[0] == '\n' ? 1 : 0);
            endedWithReturn = got[^1] == '\r';
            at += got.Length;
        }

        return count;
    }

    /// <summary>The byte that ends a row: LF, or CR where the rows have no LF.</summary>
    /// <param name="rows">The first rows.</param>
    public static byte OfRows(ReadOnlySpan<byte> rows) => (byte)(rows.Contains((byte)'\r') && !rows.Contains((byte)'\n') ? '\r' : '\n');

    /// <summary>Offset of the first byte of a line.</summary>
    /// <param name="bytes">Text from line 1 on.</param>
    /// <param name="line">The line, from 1.</param>
    public static int OffsetOfLine(ReadOnlySpan<byte> bytes, int line)
    {
        int at = 0;
        for (int i = 1; i < line; i++)
        {
            int index = bytes[at..].IndexOfAny((byte)'\r', (byte)'\n');
            if (index < 0)
            {
                return bytes.Length;
            }

            at += index + 1;
            if (bytes[at - 1] == '\r' && at < bytes.Length && bytes[at] == '\n')
            {
                at++;
            }
        }

        return at;
    }
}
