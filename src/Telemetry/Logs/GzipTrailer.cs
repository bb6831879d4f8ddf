using System.Buffers.Binary;

namespace Telemetry.Logs;

/// <summary>The end of a gzip file, which tells whether all of it arrived: the runtime's stream ends without an error where a file was cut off.</summary>
/// <remarks>RFC 1952, 2.3.1: CRC32 and ISIZE, the length modulo 2^32, of the last member; 8: the sum.</remarks>
internal static class GzipTrailer
{
    private const int TrailerBytes = 8;

    /// <summary>A head of 10 bytes, at least 2 of data, and the trailer.</summary>
    private const int LeastBytes = 20;

    private static readonly uint[] Table = MakeTable();

    /// <summary>Unpacked length that the file claims for its last member; 0 when it is too short to claim any.</summary>
    public static long ClaimedLength(LogSource source) => TryRead(source, out _, out uint length) ? length : 0;

    /// <summary>True when the last member's length and sum are those of the end of the unpacked bytes.</summary>
    public static bool Fits(LogSource source, ReadOnlySpan<byte> unpacked) =>
        TryRead(source, out uint sum, out uint length) && length <= unpacked.Length
        && (length == unpacked.Length || Sum(unpacked[^(int)length..]) == sum);

    private static bool TryRead(LogSource source, out uint sum, out uint length)
    {
        Span<byte> trailer = stackalloc byte[TrailerBytes];
        bool isLong = source.Length >= LeastBytes && source.Read(source.Length - TrailerBytes, trailer) == TrailerBytes;
        sum = BinaryPrimitives.ReadUInt32LittleEndian(trailer);
        length = BinaryPrimitives.ReadUInt32LittleEndian(trailer[4..]);
        return isLong;
    }

    private static uint Sum(ReadOnlySpan<byte> bytes)
    {
        uint sum = 0xFFFF_FFFF;
        foreach (byte b in bytes)
        {
            sum = Table[(byte)(sum ^ b)] ^ (sum >> 8);
        }

        return ~sum;
    }

    private static uint[] MakeTable()
    {
        uint[] table = new uint[256];
        for (uint i = 0; i < table.Length; i++)
        {
            uint value = i;
            for (int bit = 0; bit < 8; bit++)
            {
                value = (value & 1) == 1 ? 0xEDB8_8320 ^ (value >> 1) : value >> 1;
            }

            table[i] = value;
        }

        return table;
    }
}
