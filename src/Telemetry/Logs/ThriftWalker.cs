namespace Telemetry.Logs;

/// <summary>Steps through Thrift compact protocol without making anything of it; every length is checked against the bytes that are left.</summary>
internal ref struct ThriftWalker(ReadOnlySpan<byte> bytes)
{
    private const int MostDepth = 24;
    private readonly ReadOnlySpan<byte> _bytes = bytes;

    /// <summary>Bytes walked over.</summary>
    public int Position { get; private set; }

    /// <summary>Skips a whole struct; a known field of another kind is refused.</summary>
    public void SkipStruct(ThriftShape shape) => SkipStruct(0, shape);

    /// <summary>Reads a field's head; false at the end of the struct.</summary>
    public bool ReadField(ref int field, out int kind)
    {
        int head = ReadByte();
        kind = head & 0x0F;
        if (kind == 0)
        {
            // The end is a whole byte of nothing; readers that ask for that go on at any other.
            return head == 0 ? false : throw Damaged();
        }

        int delta = head >> 4;
        if (delta != 0)
        {
            field += delta;
            return true;
        }

        // The long form is for a field that the short one does not reach; where it is not needed, readers differ in what they make of it.
        long number = ReadZigzag();
        field = number > field + 15 && number <= short.MaxValue ? (int)number : throw Damaged();
        return true;
    }

    /// <summary>Reads a plain variable-length number, which Thrift and Snappy write alike; -1 when it is none of 31 bits.</summary>
    public int ReadLength32()
    {
        ulong value = ReadVarint();
        return value <= int.MaxValue ? (int)value : -1;
    }

    /// <summary>Reads a 32-bit integer field.</summary>
    public int ReadInt32(int kind)
    {
        long value = kind == 5 ? ReadZigzag() : throw Damaged();
        return value is >= int.MinValue and <= int.MaxValue ? (int)value : throw Damaged();
    }

    /// <summary>Reads the 32-bit integer that is field 1 of a struct, and skips the rest.</summary>
    public int ReadFirstInt32(int kind, ThriftShape shape)
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
                Skip(inner, 1, shape.Of(field));
            }
        }

        return first;
    }

    /// <summary>Reads a DataPageHeaderV2: 1 number of values, 5 and 6 bytes of levels, 7 whether the values are packed (default true).</summary>
    public int ReadVersion2(int kind, out int levelBytes, out bool isPacked)
    {
        int values = -1;
        long levels = 0;
        isPacked = true;
        if (kind != 12)
        {
            throw Damaged();
        }

        int field = 0;
        while (ReadField(ref field, out int inner))
        {
            switch (field)
            {
                case 1:
                    values = ReadInt32(inner);
                    break;
                case 5 or 6:
                    levels += ReadInt32(inner);
                    break;
                case 7 when inner is 1 or 2:
                    isPacked = inner == 1;
                    break;
                default:
                    Skip(inner, 1, ParquetShapes.DataPageVersion2.Of(field));
                    break;
            }
        }

        levelBytes = levels is >= 0 and <= int.MaxValue ? (int)levels : throw Damaged();
        return values;
    }

    /// <summary>Skips a value of a kind.</summary>
    /// <param name="kind">The kind that the file states.</param>
    /// <param name="depth">How deep it lies.</param>
    /// <param name="expected">What it should be; null where that is not known.</param>
    public void Skip(int kind, int depth, ThriftType? expected = null)
    {
        if (depth > MostDepth || expected?.Fits(kind) == false)
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
                SkipList(depth, expected?.Element);
                break;
            case 11:
                SkipMap(depth);
                break;
            case 12:
                SkipStruct(depth + 1, expected?.Struct);
                break;
            case 13:
                Advance(16);
                break;
            default:
                throw Damaged();
        }
    }

    private void SkipStruct(int depth, ThriftShape? shape)
    {
        int field = 0;
        while (ReadField(ref field, out int kind))
        {
            Skip(kind, depth, shape?.Of(field));
        }
    }

    private void SkipList(int depth, ThriftType? element)
    {
        int head = ReadByte();
        int kind = head & 0x0F;
        int count = head >> 4 == 15 ? ReadLength() : head >> 4;
        for (int i = 0; i < count; i++)
        {
            // In a list a boolean takes a byte of its own.
            if (kind is 1 or 2 && element is null)
            {
                ReadByte();
            }
            else
            {
                Skip(kind, depth + 1, element);
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
