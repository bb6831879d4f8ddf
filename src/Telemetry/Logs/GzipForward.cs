using System.IO.Compression;
using System.IO.Hashing;

namespace Telemetry.Logs;

/// <summary>
/// The content of a gzip file of any length, read forward within a few dozen megabytes: what was unpacked last is kept, and what lies before it is unpacked anew from the start.
/// </summary>
/// <remarks>
/// For who goes through a file a few times from its start to its end; <see cref="GzipFile"/> unpacks a log that fits into memory. Length and sum of the content are held against the
/// file's end (RFC 1952, 2.3.1) before anything is read, so a file of several members is refused like a damaged one: where its last begins cannot be known.
/// </remarks>
internal sealed class GzipForward : LogSource
{
    private const int ChunkBytes = 1 << 20;

    private readonly LogSource _packed;
    private readonly string _fileName;
    private readonly byte[][] _kept;
    private GZipStream? _stream;
    private long _next;

    /// <summary>Opens the content.</summary>
    /// <param name="packed">The file; closed with this.</param>
    /// <param name="fileName">Name for messages.</param>
    /// <param name="keptBytes">How far back can be read without unpacking anew.</param>
    /// <exception cref="InputError">The file is damaged, stops early, has several members, or unpacks to more than is believed.</exception>
    public GzipForward(LogSource packed, string fileName, int keptBytes)
    {
        (_packed, _fileName) = (packed, fileName);
        _kept = new byte[(keptBytes / ChunkBytes) + 2][];
        Length = Measure();
    }

    /// <inheritdoc/>
    public override long Length { get; }

    /// <inheritdoc/>
    public override int Read(long offset, Span<byte> buffer)
    {
        int total = 0;
        while (total < buffer.Length && offset < Length)
        {
            ReadOnlySpan<byte> chunk = Chunk(offset / ChunkBytes);
            int at = (int)(offset % ChunkBytes);
            int count = (int)Math.Min(Math.Min(chunk.Length - at, buffer.Length - total), Length - offset);
            chunk.Slice(at, count).CopyTo(buffer[total..]);
            total += count;
            offset += count;
        }

        return total;
    }

    /// <inheritdoc/>
    protected override void Close()
    {
        _stream?.Dispose();
        _packed.Dispose();
    }

    private byte[] Chunk(long number)
    {
        if (_stream is null || number < _next - _kept.Length)
        {
            _stream?.Dispose();
            _stream = Unpacking();
            _next = 0;
        }

        for (; _next <= number; _next++)
        {
            byte[] chunk = _kept[_next % _kept.Length] ??= GC.AllocateUninitializedArray<byte>(ChunkBytes);
            int wanted = (int)Math.Min(ChunkBytes, Length - (_next * ChunkBytes));
            if (Fill(_stream, chunk) < wanted)
            {
                throw Damaged();
            }
        }

        return _kept[number % _kept.Length];
    }

    private long Measure()
    {
        byte[] buffer = new byte[ChunkBytes];
        Crc32 sum = new();
        long length = 0;
        using SourceStream packed = new(_packed);
        using GZipStream stream = new(packed, CompressionMode.Decompress);
        for (int got = Fill(stream, buffer); got > 0; got = Fill(stream, buffer))
        {
            sum.Append(buffer.AsSpan(0, got));
            length += got;
            GzipFile.RefuseGrowth(packed.Position, length, _fileName);
        }

        return GzipFile.TryTrailer(_packed, out uint statedSum, out uint statedLength) && statedSum == sum.GetCurrentHashAsUInt32() && statedLength == (uint)length
            ? length
            : throw Damaged();
    }

    private GZipStream Unpacking() => new(new SourceStream(_packed), CompressionMode.Decompress);

    private int Fill(Stream stream, byte[] chunk)
    {
        try
        {
            return stream.ReadAtLeast(chunk, chunk.Length, throwOnEndOfStream: false);
        }
        catch (InvalidDataException)
        {
            throw Damaged();
        }
    }

    private InputError Damaged() => new(
        _fileName,
        "The gzip file is damaged, stops early, or was joined from several.",
        "Unpack it first ('gzip -dk' does), and cut what comes of it.");
}
