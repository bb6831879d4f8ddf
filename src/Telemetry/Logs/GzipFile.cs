using System.Buffers.Binary;
using System.Globalization;
using System.IO.Compression;
using System.IO.Hashing;

namespace Telemetry.Logs;

/// <summary>Unpacks a gzip file into memory, with a bound on what a small file may become.</summary>
/// <remarks>RFC 1952, 2.3.1: a member ends with the CRC-32 and the length modulo 2^32 of what it holds.</remarks>
internal static class GzipFile
{
    /// <summary>Up to here anything is unpacked: it costs little.</summary>
    private const long HarmlessBytes = 64 << 20;

    /// <summary>
    /// Beyond that a file that grows more than so many times is taken for a bomb. Logs grow 3 to 20 times, one of hundreds of constant columns
    /// some 200 times; Deflate's own bound is 1032.
    /// </summary>
    private const long MostGrowth = 500;

    private const int TrailerBytes = 8;

    /// <summary>A head of 10 bytes, at least 2 of data, and the trailer.</summary>
    private const int LeastBytes = 20;

    /// <summary>True when the bytes begin as a gzip file does.</summary>
    public static bool Is(ReadOnlySpan<byte> start) => start.Length > 1 && start[0] == 0x1F && start[1] == 0x8B;

    /// <summary>The unpacked bytes.</summary>
    /// <exception cref="InputError">The file is damaged, stops early, or unpacks to more than is believed.</exception>
    public static ChunkedSource Unpack(LogSource source, string fileName)
    {
        ChunkedSource unpacked = new();
        try
        {
            using SourceStream packed = new(source);
            using GZipStream stream = new(packed, CompressionMode.Decompress);
            while (unpacked.Fill(stream) > 0)
            {
                RefuseBomb(packed.Position, unpacked.Length, fileName);
            }
        }
        catch (InvalidDataException)
        {
            throw Damaged(fileName);
        }

        // The runtime's stream ends without an error where a file was cut off.
        return Fits(source, unpacked) ? unpacked : throw Damaged(fileName);
    }

    /// <summary>Judged on what has been taken so far, so that a large bomb is stopped as early as a small one.</summary>
    private static void RefuseBomb(long packed, long unpacked, string fileName)
    {
        if (unpacked > LogReader.MostBytesInMemory)
        {
            throw new InputError(fileName, "The gzip file unpacks to more than 2 GB.", "Unpack it and read the plain file, or cut the run into shorter ones.");
        }

        RefuseGrowth(packed, unpacked, fileName);
    }

    /// <summary>Refuses a file that grows as no log does.</summary>
    /// <param name="packed">Bytes taken so far.</param>
    /// <param name="unpacked">Bytes that they became.</param>
    /// <param name="fileName">Name for the message.</param>
    public static void RefuseGrowth(long packed, long unpacked, string fileName)
    {
        if (unpacked > HarmlessBytes && unpacked / MostGrowth > packed)
        {
            throw new InputError(
                fileName,
                string.Create(CultureInfo.InvariantCulture, $"The first {packed} bytes of the gzip file unpack to more than {MostGrowth} times their size; no log does that."),
                "Look at where the file came from; if it is a log all the same, unpack it and read the plain file.");
        }
    }

    /// <summary>True when the last member's length and sum are those of the end of the unpacked bytes.</summary>
    private static bool Fits(LogSource source, ChunkedSource unpacked) =>
        TryTrailer(source, out uint sum, out uint length)
        && length <= unpacked.Length && (length == unpacked.Length || SumOfEnd(unpacked, length) == sum);

    /// <summary>What the last member's end says: the CRC-32 of its content, and its length modulo 2^32; false where a file is too short for one.</summary>
    public static bool TryTrailer(LogSource source, out uint sum, out uint length)
    {
        Span<byte> trailer = stackalloc byte[TrailerBytes];
        bool isThere = source.Length >= LeastBytes && source.Read(source.Length - TrailerBytes, trailer) == TrailerBytes;
        sum = BinaryPrimitives.ReadUInt32LittleEndian(trailer);
        length = BinaryPrimitives.ReadUInt32LittleEndian(trailer[4..]);
        return isThere;
    }

    private static uint SumOfEnd(ChunkedSource unpacked, uint length)
    {
        Crc32 sum = new();
        byte[] buffer = new byte[1 << 17];
        for (long at = unpacked.Length - length; at < unpacked.Length;)
        {
            int got = unpacked.Read(at, buffer);
            sum.Append(buffer.AsSpan(0, got));
            at += got;
        }

        return sum.GetCurrentHashAsUInt32();
    }

    private static InputError Damaged(string fileName) =>
        new(fileName, "The gzip file is damaged or stops early.", "Copy it again from the logger, or unpack what can be saved and read that.");
}
