namespace Telemetry.Logs;

/// <summary>What a page of a Parquet file says of itself.</summary>
/// <param name="IsData">True for a page of values, false for a dictionary or an index.</param>
/// <param name="Compressed">Bytes in the file, without the header.</param>
/// <param name="Uncompressed">Bytes when unpacked.</param>
/// <param name="Values">Values, nulls included.</param>
/// <param name="Crc">CRC-32 of the page's bytes, or null.</param>
/// <param name="LevelBytes">Bytes of the levels of a version 2 page, which stand before the packed values and are not packed; 0 for others.</param>
/// <param name="IsPacked">False for a version 2 page that says that it is not packed, whatever its column's codec.</param>
internal readonly record struct ParquetPage(bool IsData, int Compressed, int Uncompressed, int Values, int? Crc, int LevelBytes, bool IsPacked)
{
    /// <summary>Reads a page's header; false when it is damaged or longer than the bytes at hand.</summary>
    public static bool TryRead(ReadOnlySpan<byte> bytes, out ParquetPage page, out int used)
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
            int? crc = null;
            int levels = 0;
            bool isPacked = true;
            int field = 0;
            while (walker.ReadField(ref field, out int kind))
            {
                // PageHeader: 1 type, 2 uncompressed size, 3 compressed size, 4 CRC, 5 data page, 7 dictionary page, 8 data page version 2.
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
                    case 4:
                        crc = walker.ReadInt32(kind);
                        break;
                    case 5 or 7:
                        values = walker.ReadFirstInt32(kind, field == 5 ? ParquetShapes.DataPage : ParquetShapes.DictionaryPage);
                        break;
                    case 8:
                        values = walker.ReadVersion2(kind, out levels, out isPacked);
                        break;
                    default:
                        walker.Skip(kind, 0);
                        break;
                }
            }

            // Types: 0 data page, 1 index page, 2 dictionary page, 3 data page version 2.
            page = new(type is 0 or 3, compressed, uncompressed, type == 1 ? 0 : values, crc, levels, isPacked);
            used = walker.Position;
            return true;
        }
        catch (InvalidDataException)
        {
            return false;
        }
    }
}
