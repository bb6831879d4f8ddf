namespace Telemetry.Fatigue;

/// <summary>Takes each cycle that a count closes.</summary>
internal interface ICycleSink
{
    /// <summary>One cycle.</summary>
    /// <param name="fromValue">Its first turning point.</param>
    /// <param name="toValue">Its second.</param>
    /// <param name="fromSample">Sample of the first; -1 when no places were asked for.</param>
    /// <param name="toSample">Sample of the second.</param>
    /// <param name="cycles">1 for a full cycle, 0.5 for a half.</param>
    void Add(double fromValue, double toValue, int fromSample, int toSample, double cycles);
}

/// <summary>Full cycles by their two loads alone: all that a sum of damage needs, in half the memory of a <see cref="CycleList"/>. In borrowed room, which is given back when nobody needs them any more.</summary>
internal sealed class RangePairs(int capacity) : ICycleSink, IDisposable
{
    private double[] from = LongRoom<double>.Pool.Rent(capacity);
    private double[] to = LongRoom<double>.Pool.Rent(capacity);

    public int Count { get; private set; }

    public ReadOnlySpan<double> From => from.AsSpan(0, Count);

    public ReadOnlySpan<double> To => to.AsSpan(0, Count);

    /// <inheritdoc/>
    public void Add(double fromValue, double toValue, int fromSample, int toSample, double cycles)
    {
        if (Count == Math.Min(from.Length, to.Length))
        {
            from = Longer(from);
            to = Longer(to);
        }

        from[Count] = fromValue;
        to[Count++] = toValue;
    }

    /// <summary>Gives the room back; nothing may be read afterwards.</summary>
    public void Dispose()
    {
        LongRoom<double>.Pool.Return(from);
        LongRoom<double>.Pool.Return(to);
        (from, to, Count) = ([], [], 0);
    }

    private double[] Longer(double[] room)
    {
        double[] longer = LongRoom<double>.Pool.Rent((2 * Count) + 16);
        room.AsSpan(0, Count).CopyTo(longer);
        LongRoom<double>.Pool.Return(room);
        return longer;
    }
}
