namespace Telemetry.Logs;

/// <summary>Bytes in memory that came one after another: kept in pieces, so that growing never copies what is there.</summary>
internal sealed class ChunkedSource : LogSource
{
    private const int ChunkBits = 22;
    private const int ChunkBytes = 1 << ChunkBits;
    private readonly List<byte[]> _chunks = [];
    private long _length;

    /// <inheritdoc/>
    public override long Length => _length;

    /// <summary>Appends what a stream gives next; returns how much that was, 0 at its end.</summary>
    public int Fill(Stream stream)
    {
        int at = (int)(_length & (ChunkBytes - 1));
        if (at == 0 && _chunks.Count << ChunkBits == _length)
        {
            _chunks.Add(GC.AllocateUninitializedArray<byte>(ChunkBytes));
        }

        int got = stream.Read(_chunks[^1].AsSpan(at));
        _length += got;
        return got;
    }

    /// <inheritdoc/>
    public override int Read(long offset, Span<byte> buffer)
    {
        int total = 0;
        while (total < buffer.Length && offset < _length)
        {
            ReadOnlySpan<byte> chunk = _chunks[(int)(offset >> ChunkBits)];
            int at = (int)(offset & (ChunkBytes - 1));
            int count = (int)Math.Min(Math.Min(chunk.Length - at, buffer.Length - total), _length - offset);
            chunk.Slice(at, count).CopyTo(buffer[total..]);
            total += count;
            offset += count;
        }

        return total;
    }
}
