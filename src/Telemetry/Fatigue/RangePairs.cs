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

/// <summary>Full cycles by their two loads alone: all that a sum of damage needs, in half the memory of a <see cref="CycleList"/>.</summary>
internal sealed class RangePairs(int capacity) : ICycleSink
{
    private double[] from = GC.AllocateUninitializedArray<double>(capacity);
    private double[] to = GC.AllocateUninitializedArray<double>(capacity);

    public int Count { get; private set; }

    public ReadOnlySpan<double> From => from.AsSpan(0, Count);

    public ReadOnlySpan<double> To => to.AsSpan(0, Count);

    /// <inheritdoc/>
    public void Add(double fromValue, double toValue, int fromSample, int toSample, double cycles)
    {
        if (Count == from.Length)
        {
            Array.Resize(ref from, (2 * Count) + 16);
            Array.Resize(ref to, (2 * Count) + 16);
        }

        from[Count] = fromValue;
        to[Count++] = toValue;
    }
}
