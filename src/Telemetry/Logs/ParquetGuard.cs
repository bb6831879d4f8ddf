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
            Page page;
            int used;
            while (!TryPage(buffer.AsSpan(0, source.Read(start, buffer.AsSpan(0, (int)Math.Min(buffer.Length, end - start)))), out page, out used))
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

    private readonly record struct Page(bool IsData, int Compressed, int Uncompressed, int Values);

    private static bool TryPage(ReadOnlySpan<byte> bytes, out Page page, out int used)
    {
        page = default;
        used = 0;
        try
        {
            ThriftWalker walker = new(bytes);
            int type = -1;
            int uncompressed = -1;
            int compressed = -1;
            int values = -1;
            int field = 0;
            while (walker.ReadField(ref field, out int kind))
            {
                // PageHeader: 1 type, 2 uncompressed size, 3 compressed size, 5 data page, 7 dictionary page, 8 data page version 2.
                switch (field)
                {
                    case 1:
                        type = walker.ReadInt32(kind);
                        break;
                    case 2:
                        uncompressed = walker.ReadInt32(kind);
                        break;
                    case 3:
                        compressed = walker.ReadInt32(kind);
                        break;
                    case 5 or 7 or 8:
                        values = walker.ReadFirstInt32(kind);
                        break;
                    default:
                        walker.Skip(kind, 0);
                        break;
                }
            }

            // Types: 0 data page, 1 index page, 2 dictionary page, 3 data page version 2.
            page = new(type is 0 or 3, compressed, uncompressed, type == 1 ? 0 : values);
            used = walker.Position;
            return true;
        }
        catch (InvalidDataException)
        {
            return false;
        }
    }
}

/// <summary>Steps through Thrift compact protocol without making anything of it; every length is checked against the bytes that are left.</summary>
internal ref struct ThriftWalker(ReadOnlySpan<byte> bytes)
{
    private const int MostDepth = 24;
    private readonly ReadOnlySpan<byte> _bytes = bytes;

    /// <summary>Bytes walked over.</summary>
    public int Position { get; private set; }

    /// <summary>Skips a whole struct.</summary>
    public void SkipStruct() => SkipStruct(0);

    /// <summary>Reads a field's head; false at the end of the struct.</summary>
    public bool ReadField(ref int field, out int kind)
    {
        int head = ReadByte();
        kind = head & 0x0F;
        if (kind == 0)
        {
            return false;
        }

        int delta = head >> 4;
        field = delta != 0 ? field + delta : (int)ReadZigzag();
        return true;
    }

    /// <summary>Reads a 32-bit integer field.</summary>
    public int ReadInt32(int kind)
    {
        long value = kind == 5 ? ReadZigzag() : throw Damaged();
        return value is >= int.MinValue and <= int.MaxValue ? (int)value : throw Damaged();
    }

    /// <summary>Reads the 32-bit integer that is field 1 of a struct, and skips the rest.</summary>
    public int ReadFirstInt32(int kind)
    {
        if (kind != 12)
        {
            throw Damaged();
        }

        int first = -1;
        int field = 0;
        while (ReadField(ref field, out int inner))
        {
            if (field == 1)
            {
                first = ReadInt32(inner);
            }
            else
            {
                Skip(inner, 1);
            }
        }

        return first;
    }

    /// <summary>Skips a value of a kind.</summary>
    public void Skip(int kind, int depth)
    {
        if (depth > MostDepth)
        {
            throw Damaged();
        }

        switch (kind)
        {
            case 1 or 2:
                break;
            case 3:
                ReadByte();
                break;
            case 4 or 5 or 6:
                ReadVarint();
                break;
            case 7:
                Advance(8);
                break;
            case 8:
                Advance(ReadLength());
                break;
            case 9 or 10:
                SkipList(depth);
                break;
            case 11:
                SkipMap(depth);
                break;
            case 12:
                SkipStruct(depth + 1);
                break;
            case 13:
                Advance(16);
                break;
            default:
                throw Damaged();
        }
    }

    private void SkipStruct(int depth)
    {
        int field = 0;
        while (ReadField(ref field, out int kind))
        {
            Skip(kind, depth);
        }
    }

    private void SkipList(int depth)
    {
        int head = ReadByte();
        int kind = head & 0x0F;
        int count = head >> 4 == 15 ? ReadLength() : head >> 4;
        for (int i = 0; i < count; i++)
        {
            // In a list a boolean takes a byte of its own.
            if (kind is 1 or 2)
            {
                ReadByte();
            }
            else
            {
                Skip(kind, depth + 1);
            }
        }
    }

    private void SkipMap(int depth)
    {
        int count = ReadLength();
        int kinds = count == 0 ? 0 : ReadByte();
        for (int i = 0; i < count; i++)
        {
            Skip(kinds >> 4, depth + 1);
            Skip(kinds & 0x0F, depth + 1);
        }
    }

    /// <summary>A length or count: every element takes at least one byte.</summary>
    private int ReadLength()
    {
        ulong length = ReadVarint();
        return length <= (ulong)(_bytes.Length - Position) ? (int)length : throw Damaged();
    }

    private void Advance(int count) => Position = count <= _bytes.Length - Position ? Position + count : throw Damaged();

    private byte ReadByte() => Position < _bytes.Length ? _bytes[Position++] : throw Damaged();

    private long ReadZigzag()
    {
        ulong value = ReadVarint();
        return (long)(value >> 1) ^ -(long)(value & 1);
    }

    private ulong ReadVarint()
    {
        ulong value = 0;
        for (int shift = 0; shift < 64; shift += 7)
        {
            byte part = ReadByte();
            value |= (ulong)(part & 0x7F) << shift;
            if (part < 0x80)
            {
                return value;
            }
        }

        throw Damaged();
    }

    private static InvalidDataException Damaged() => new("the description of the data is damaged");
}
