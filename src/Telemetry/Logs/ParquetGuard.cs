using System.Buffers.Binary;
using System.IO.Hashing;
using Parquet.Meta;

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

    /// <summary>Nonce and tag behind a footer that is signed and not encrypted.</summary>
    private const int SignatureBytes = 28;

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
        walker.SkipStruct(ParquetShapes.Footer);
        if (walker.Position != footer.Length && walker.Position != footer.Length - SignatureBytes)
        {
            throw new InvalidDataException("the footer ends before its length");
        }
    }

    /// <summary>Checks the page headers of one column chunk.</summary>
    /// <param name="source">The file.</param>
    /// <param name="start">Offset of the first page.</param>
    /// <param name="length">Bytes of the chunk, headers included.</param>
    /// <param name="values">Values that the chunk holds, nulls included.</param>
    /// <param name="codec">How its pages are packed.</param>
    /// <exception cref="InvalidDataException">The pages do not fit in the chunk, or claim more values or bytes than it can have.</exception>
    public static void CheckPages(LogSource source, long start, long length, long values, CompressionCodec codec)
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

            CheckContent(source, start + used, page, codec);
            seen += page.IsData ? page.Values : 0;
            start += used + page.Compressed;
        }

        if (seen != values)
        {
            throw new InvalidDataException("the pages of a column do not hold as many values as it should");
        }
    }

    /// <summary>Checks a page's sum where it has one, the length that Snappy's own head states (its format description, section 1), and what Zstandard's blocks unpack to.</summary>
    private static void CheckContent(LogSource source, long start, ParquetPage page, CompressionCodec codec)
    {
        if (page.Crc is { } crc)
        {
            // PageHeader.crc: the CRC-32 of gzip over the page's bytes as they stand in the file, without the header.
            Crc32 sum = new();
            byte[] buffer = new byte[Math.Min(page.Compressed, 1 << 17)];
            for (int done = 0; done < page.Compressed;)
            {
                int got = source.Read(start + done, buffer.AsSpan(0, Math.Min(buffer.Length, page.Compressed - done)));
                if (got == 0)
                {
                    break;
                }

                sum.Append(buffer.AsSpan(0, got));
                done += got;
            }

            if (sum.GetCurrentHashAsUInt32() != unchecked((uint)crc))
            {
                throw new InvalidDataException("a page's checksum does not fit its bytes");
            }
        }

        // The levels of a version 2 page stand before the packed values, unpacked.
        long packed = start + page.LevelBytes;
        int length = page.Compressed - page.LevelBytes;
        if (!page.IsPacked || length <= 0)
        {
            return;
        }

        if (codec == CompressionCodec.SNAPPY)
        {
            Span<byte> head = stackalloc byte[5];
            ThriftWalker walker = new(head[..source.Read(packed, head)]);
            if (walker.ReadLength32() != page.Uncompressed - page.LevelBytes)
            {
                throw new InvalidDataException("a page states two lengths");
            }
        }
        else if (codec == CompressionCodec.ZSTD)
        {
            ZstdPage.Check(source, packed, length, page.Uncompressed - page.LevelBytes);
        }
    }
}
