namespace Telemetry.Logs;

/// <summary>A stream that is written to at once when it is asked to do so some time later: who writes bit by bit stays on his thread and his processor, and leaves none of the pool's waiting.</summary>
/// <param name="under">What is written to; stays open.</param>
internal sealed class PromptStream(Stream under) : Stream
{
    public override bool CanRead => under.CanRead;

    public override bool CanSeek => under.CanSeek;

    public override bool CanWrite => under.CanWrite;

    public override long Length => under.Length;

    public override long Position
    {
        get => under.Position;
        set => under.Position = value;
    }

    public override void Flush() => under.Flush();

    public override Task FlushAsync(CancellationToken cancellationToken)
    {
        under.Flush();
        return Task.CompletedTask;
    }

    public override int Read(byte[] buffer, int offset, int count) => under.Read(buffer, offset, count);

    public override int Read(Span<byte> buffer) => under.Read(buffer);

    public override long Seek(long offset, SeekOrigin origin) => under.Seek(offset, origin);

    public override void SetLength(long value) => under.SetLength(value);

    public override void Write(byte[] buffer, int offset, int count) => under.Write(buffer, offset, count);

    public override void Write(ReadOnlySpan<byte> buffer) => under.Write(buffer);

    public override Task WriteAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken)
    {
        under.Write(buffer, offset, count);
        return Task.CompletedTask;
    }

    public override ValueTask WriteAsync(ReadOnlyMemory<byte> buffer, CancellationToken cancellationToken = default)
    {
        under.Write(buffer.Span);
        return ValueTask.CompletedTask;
    }
}
