using Microsoft.Win32.SafeHandles;

namespace Telemetry.Logs;

/// <summary>The bytes of a log, read at any offset from several threads at once.</summary>
internal abstract class LogSource : IDisposable
{
    /// <summary>Number of bytes.</summary>
    public abstract long Length { get; }

    /// <summary>Fills the buffer from that offset on; returns how many bytes there were, which is less than asked only at the end.</summary>
    public abstract int Read(long offset, Span<byte> buffer);

    /// <inheritdoc/>
    public void Dispose()
    {
        Close();
        GC.SuppressFinalize(this);
    }

    /// <summary>Gives back what the source holds open.</summary>
    protected virtual void Close()
    {
    }

    /// <summary>The same bytes without the first ones (a byte order mark).</summary>
    public LogSource Skip(int count) => count == 0 ? this : new TailSource(this, count);

    /// <summary>All bytes from an offset to an end in one array.</summary>
    public byte[] ReadRange(long offset, long end)
    {
        byte[] bytes = GC.AllocateUninitializedArray<byte>(checked((int)(end - offset)));
        int got = Read(offset, bytes);
        return got == bytes.Length ? bytes : bytes[..got];
    }

    private sealed class TailSource(LogSource inner, int skipped) : LogSource
    {
        public override long Length => inner.Length - skipped;

        public override int Read(long offset, Span<byte> buffer) => inner.Read(offset + skipped, buffer);

        protected override void Close() => inner.Dispose();
    }
}

/// <summary>Bytes of an open file. Its length is fixed at the start, so that a file that still grows is read as it was.</summary>
internal sealed class FileSource(SafeFileHandle handle) : LogSource
{
    public override long Length { get; } = RandomAccess.GetLength(handle);

    public override int Read(long offset, Span<byte> buffer)
    {
        int total = 0;
        while (total < buffer.Length)
        {
            int got = RandomAccess.Read(handle, buffer[total..], offset + total);
            if (got == 0)
            {
                break;
            }

            total += got;
        }

        return total;
    }

    protected override void Close() => handle.Dispose();
}

/// <summary>Bytes in memory: what was unpacked or transcoded.</summary>
internal sealed class MemorySource(ReadOnlyMemory<byte> bytes) : LogSource
{
    public override long Length => bytes.Length;

    public override int Read(long offset, Span<byte> buffer)
    {
        if (offset >= bytes.Length)
        {
            return 0;
        }

        ReadOnlySpan<byte> rest = bytes.Span[(int)offset..];
        int count = Math.Min(rest.Length, buffer.Length);
        rest[..count].CopyTo(buffer);
        return count;
    }
}
