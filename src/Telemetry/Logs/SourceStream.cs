namespace Telemetry.Logs;

/// <summary>A read-only stream over a source, for the libraries that want a stream.</summary>
internal sealed class SourceStream(LogSource source) : Stream
{
    public override bool CanRead => true;

    public override bool CanSeek => true;

    public override bool CanWrite => false;

    public override long Length => source.Length;

    public override long Position { get; set; }

    public override int Read(Span<byte> buffer)
    {
        if (Position >= source.Length)
        {
            return 0;
        }

        int got = source.Read(Position, buffer);
        Position += got;
        return got;
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    // The source answers at once; a hop to another thread would cost more than the read.
    public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) => new(Read(buffer.Span));

    public override Task<int> ReadAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) => Task.FromResult(Read(buffer.AsSpan(offset, count)));

    public override long Seek(long offset, SeekOrigin origin)
    {
        long target = origin switch
        {
            SeekOrigin.Begin => offset,
            SeekOrigin.Current => Position + offset,
            _ => source.Length + offset,
        };
        if (target < 0)
        {
            throw new IOException("An offset before the start of the file was asked for.");
        }

        return Position = target;
    }

    public override void Flush()
    {
    }

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
}
