using System.Buffers.Binary;

namespace Telemetry.Logs;

/// <summary>
/// Walks the footer and the page headers of a Parquet file (Thrift compact protocol) before the library reads it,
/// and refuses lengths that the file cannot hold: a few damaged bytes must not cost gigabytes or an endless loop.
/// </summary>
/// <remarks>Apache Parquet format, file layout and PageHeader; Apache Thrift compact protocol specification.</remarks>
internal static class ParquetGuard
{
    /// <summary>Four bytes PAR1 at both ends and the length of the footer.</summary>
    private const int FrameBytes = 12;

    /// <summary>No value of a number column takes more, levels and the slack of one page aside.</summary>
    private const long MostBytesPerValue = 24;

    private const long PageSlackBytes = 1 << 20;

    /// <summary>Checks the frame and the footer.</summary>
    /// <exception cref="InvalidDataException">They cannot be those of a whole Parquet file.</exception>
    public static void CheckFooter(LogSource source)
    {
        Span<byte> end = stackalloc byte[8];
        if (source.Length < FrameBytes || source.Read(source.Length - 8, end) < 8 || !end[4..].SequenceEqual("PAR1"u8))
        {
            throw new InvalidDataException("the file does not end as a Parquet file does");
        }

        int length = BinaryPrimitives.ReadInt32LittleEndian(end);
        if (length <= 0 || length > source.Length - FrameBytes)
        {
            throw new InvalidDataException("the footer is longer than the file");
        }

        byte[] footer = source.ReadRange(source.Length - 8 - length, source.Length - 8);
        ThriftWalker walker = new(footer);
        walker.SkipStruct();
    }

    /// <summary>Checks the page headers of one column chunk.</summary>
    /// <param name="source">The file.</param>
    /// <param name="start">Offset of the first page.</param>
    /// <param name="length">Bytes of the chunk, headers included.</param>
    /// <param name="values">Values that the chunk holds, nulls included.</param>
    /// <exception cref="InvalidDataException">The pages do not fit in the chunk, or claim more values or bytes than it can have.</exception>
    public static void CheckPages(LogSource source, long start, long length, long values)
    {
        const int mostHeaderBytes = 1 << 16;
        if (start < 4 || length < 0 || start > source.Length - 8 || length > source.Length - 8 - start)
        {
            throw new InvalidDataException("a column lies outside the file");
        }

        long most = (values * MostBytesPerValue) + PageSlackBytes;
        long end = start + length;
        long seen = 0;
        byte[] buffer = new byte[256];
        while (start < end && seen < values)
        {
            ParquetPage page;
            int used;
            while (!ParquetPage.TryRead(buffer.AsSpan(0, source.Read(start, buffer.AsSpan(0, (int)Math.Min(buffer.Length, end - start)))), out page, out used))
            {
                if (buffer.Length >= mostHeaderBytes || buffer.Length >= end - start)
                {
                    throw new InvalidDataException("a page header is damaged");
                }

                // Statistics with long texts make a long header.
                buffer = new byte[buffer.Length * 4];
            }

            if (page.Compressed < 0 || page.Uncompressed < 0 || page.Values < 0 || page.Compressed > end - start - used || page.Uncompressed > most || page.Values > values)
            {
                throw new InvalidDataException("a page claims more than its column has");
            }

            seen += page.IsData ? page.Values : 0;
            start += used + page.Compressed;
        }

        if (seen != values)
        {
            throw new InvalidDataException("the pages of a column do not hold as many values as it should");
        }
    }
}
