using System.Buffers;

namespace Telemetry;

/// <summary>Room as long as a channel, borrowed and given back. It is kept for all threads together: the runtime's own pool keeps an array for each thread that ever gave one back.</summary>
internal static class LongRoom<T>
{
    /// <summary>More than anybody borrows at a time, for each length.</summary>
    private const int MostKept = 16;

    /// <summary>The pool.</summary>
    public static ArrayPool<T> Pool { get; } = ArrayPool<T>.Create(1 << 28, MostKept);
}
