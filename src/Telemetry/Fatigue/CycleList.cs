using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace Telemetry.Fatigue;

/// <summary>Cycles while they are being counted: parallel arrays that grow by doubling.</summary>
internal sealed class CycleList
{
    private double[] from;
    private double[] to;
    private int[] fromIndex;
    private int[] toIndex;
    private double[] weight;

    public CycleList(int capacity = 256)
    {
        from = new double[capacity];
        to = new double[capacity];
        fromIndex = new int[capacity];
        toIndex = new int[capacity];
        weight = new double[capacity];
    }

    public int Count { get; private set; }

    public ReadOnlySpan<double> From => from.AsSpan(0, Count);

    public ReadOnlySpan<double> To => to.AsSpan(0, Count);

    /// <summary>Sample of the first turning point; below 0 for one carried in (the newest carried is -1).</summary>
    public ReadOnlySpan<int> FromIndex => fromIndex.AsSpan(0, Count);

    public ReadOnlySpan<int> ToIndex => toIndex.AsSpan(0, Count);

    public ReadOnlySpan<double> Weight => weight.AsSpan(0, Count);

    public void Add(double fromValue, double toValue, int fromSample, int toSample, double cycles)
    {
        if (Count == from.Length)
        {
            Grow();
        }

        from[Count] = fromValue;
        to[Count] = toValue;
        fromIndex[Count] = fromSample;
        toIndex[Count] = toSample;
        weight[Count] = cycles;
        Count++;
    }

    /// <summary>Forgets the newest entries.</summary>
    public void Truncate(int count) => Count = Math.Min(Count, count);

    /// <summary>The cycles as a result; every carried turning point has index -1.</summary>
    public CycleCount ToCycleCount() => new(
        Freeze(From.ToArray()),
        Freeze(To.ToArray()),
        Freeze(Clamp(FromIndex)),
        Freeze(Clamp(ToIndex)),
        Freeze(Weight.ToArray()));

    private static ImmutableArray<T> Freeze<T>(T[] array) => ImmutableCollectionsMarshal.AsImmutableArray(array);

    private static int[] Clamp(ReadOnlySpan<int> indices)
    {
        int[] clamped = indices.ToArray();
        for (int i = 0; i < clamped.Length; i++)
        {
            clamped[i] = Math.Max(clamped[i], -1);
        }

        return clamped;
    }

    private void Grow()
    {
        int capacity = Math.Max(16, 2 * from.Length);
        Array.Resize(ref from, capacity);
        Array.Resize(ref to, capacity);
        Array.Resize(ref fromIndex, capacity);
        Array.Resize(ref toIndex, capacity);
        Array.Resize(ref weight, capacity);
    }
}
