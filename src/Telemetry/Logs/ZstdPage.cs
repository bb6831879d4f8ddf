using System.Buffers.Binary;
using ZstdSharp;

namespace Telemetry.Logs;

/// <summary>Bounds what a page packed with Zstandard unpacks to: a block of four bytes stands for 128 kB, and the library unpacks all that is there.</summary>
/// <remarks>RFC 8878, 3.1.1: frame header, blocks of at most 128 kB, optional sum.</remarks>
internal static class ZstdPage
{
    private const int MostBlockBytes = 128 << 10;
    private const int HarmlessBytes = 1 << 20;

    /// <summary>Checks that a page unpacks to no more than it says, or at least to no more than harms nobody.</summary>
    /// <param name="source">The file.</param>
    /// <param name="start">Offset of the packed bytes.</param>
    /// <param name="length">Their number.</param>
    /// <param name="unpacked">Length that the page states.</param>
    /// <exception cref="InvalidDataException">There is far more in it.</exception>
    public static void Check(LogSource source, long start, int length, int unpacked)
    {
        // The heads of the blocks tell a bound at once. Writers split blocks, so that it is wide; what is twice the length harms nobody.
        long most = (2L * unpacked) + HarmlessBytes;
        if (Bound(source, start, length, most) is { } bound && bound <= most)
        {
            return;
        }

        using MemoryStream packed = new(source.ReadRange(start, start + length));
        using DecompressionStream stream = new(packed);
        byte[] buffer = new byte[1 << 16];
        long total = 0;
        int got;
        while ((got = stream.Read(buffer)) > 0)
        {
            total += got;
            if (total > unpacked)
            {
                throw new InvalidDataException("a page unpacks to more than it says");
            }
        }
    }

    /// <summary>Most bytes that the blocks of one frame can give, or the first sum beyond the limit; null where the bytes are not one whole frame.</summary>
    private static long? Bound(LogSource source, long start, int length, long limit)
    {
        Span<byte> head = stackalloc byte[8];
        if (source.Read(start, head) < head.Length || BinaryPrimitives.ReadUInt32LittleEndian(head) != 0xFD2F_B528)
        {
            return null;
        }

        int descriptor = head[4];
        bool isSingle = (descriptor & 0x20) != 0;
        int window = isSingle ? 0 : 1;
        int dictionary = (descriptor & 3) == 3 ? 4 : descriptor & 3;
        int size = descriptor >> 6 == 0 ? (isSingle ? 1 : 0) : 1 << (descriptor >> 6);
        long at = start + 5 + window + dictionary + size;
        long end = start + length;
        long bound = 0;
        while (bound <= limit)
        {
            if (source.Read(at, head[..3]) < 3)
            {
                return null;
            }

            int block = head[0] | (head[1] << 8) | (head[2] << 16);
            int type = (block >> 1) & 3;
            at += 3 + (type == 1 ? 1 : block >> 3);
            bound += type == 2 ? MostBlockBytes : block >> 3;
            if (type == 3 || at > end)
            {
                return null;
            }

            if ((block & 1) == 1)
            {
                at += (descriptor & 4) != 0 ? 4 : 0;
                return at == end ? bound : null;
            }
        }

        return bound;
    }
}
