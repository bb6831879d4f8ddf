using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace Telemetry.Fatigue;

/// <summary>Cycles while they are being counted: parallel arrays that grow by doubling.</summary>
internal sealed class CycleList : ICycleSink
{
    private double[] from;
    private double[] to;
    private int[] fromIndex;
    private int[] toIndex;
    private double[] weight;

    public CycleList(int capacity = 256)
    {
        from = GC.AllocateUninitializedArray<double>(capacity);
        to = GC.AllocateUninitializedArray<double>(capacity);
        fromIndex = GC.AllocateUninitializedArray<int>(capacity);
        toIndex = GC.AllocateUninitializedArray<int>(capacity);
        weight = GC.AllocateUninitializedArray<double>(capacity);
    }

    public int Count { get; private set; }

    /// <summary>Entries that fit before the arrays must grow.</summary>
    public int Room => from.Length - Count;

    public ReadOnlySpan<double> From => from.AsSpan(0, Count);

    public ReadOnlySpan<double> To => to.AsSpan(0, Count);

    /// <summary>Sample of the first turning point; below 0 for one carried in (the newest carried is -1).</summary>
    public ReadOnlySpan<int> FromIndex => fromIndex.AsSpan(0, Count);

    public ReadOnlySpan<int> ToIndex => toIndex.AsSpan(0, Count);

    public ReadOnlySpan<double> Weight => weight.AsSpan(0, Count);

    /// <inheritdoc/>
    public void Add(double fromValue, double toValue, int fromSample, int toSample, double cycles)
    {
        if (Count == from.Length)
        {
            Grow(Count + 1);
        }

        from[Count] = fromValue;
        to[Count] = toValue;
        fromIndex[Count] = fromSample;
        toIndex[Count] = toSample;
        weight[Count] = cycles;
        Count++;
    }

    /// <summary>Makes room for that many more entries and gives the place to write them; nothing counts until it is kept (<see cref="Keep"/>).</summary>
    /// <param name="more">Entries that must fit.</param>
    /// <param name="expected">Entries that may come in all: where the arrays must grow, they grow to this at once.</param>
    public Tail Reserve(int more, int expected)
    {
        if (Count + more > from.Length)
        {
            Grow(Math.Max(Count + more, expected));
        }

        return new(from, to, fromIndex, toIndex, weight, Count);
    }

    /// <summary>Takes over what was written.</summary>
    public void Keep(Tail tail) => Count = tail.Count;

    /// <summary>The arrays with a place to write at, so that a tight loop need not ask the list each time.</summary>
    public ref struct Tail(Span<double> from, Span<double> to, Span<int> fromIndex, Span<int> toIndex, Span<double> weight, int count) : ICycleSink
    {
        private readonly Span<double> from = from;
        private readonly Span<double> to = to;
        private readonly Span<int> fromIndex = fromIndex;
        private readonly Span<int> toIndex = toIndex;
        private readonly Span<double> weight = weight;

        public int Count { get; private set; } = count;

        public void Add(double fromValue, double toValue, int fromSample, int toSample, double cycles)
        {
            int at = Count;
            from[at] = fromValue;
            to[at] = toValue;
            fromIndex[at] = fromSample;
            toIndex[at] = toSample;
            weight[at] = cycles;
            Count = at + 1;
        }
    }

    /// <summary>Counts cycles and keeps none.</summary>
    public struct Tally : ICycleSink
    {
        public int Count { get; private set; }

        public void Add(double fromValue, double toValue, int fromSample, int toSample, double cycles) => Count++;
    }

    /// <summary>Forgets the newest entries.</summary>
    public void Truncate(int count) => Count = Math.Min(Count, count);

    /// <summary>The cycles as a result; every carried turning point has index -1.</summary>
    public CycleCount ToCycleCount() => new(
        Freeze(From.ToArray()),
        Freeze(To.ToArray()),
        Freeze(Clamp(FromIndex.ToArray())),
        Freeze(Clamp(ToIndex.ToArray())),
        Freeze(Weight.ToArray()));

    /// <summary>As <see cref="ToCycleCount"/> without a second copy: the list is cut to its length and shares its arrays with the result; nothing may be added to it or taken off it afterwards.</summary>
    public CycleCount ShareAsCycleCount()
    {
        Cut(ref from);
        Cut(ref to);
        Cut(ref fromIndex);
        Cut(ref toIndex);
        Cut(ref weight);
        return new(Freeze(from), Freeze(to), Freeze(Clamp(fromIndex)), Freeze(Clamp(toIndex)), Freeze(weight));
    }

    private void Cut<T>(ref T[] array) => array = array.Length == Count ? array : Grown(array, Count);

    private static ImmutableArray<T> Freeze<T>(T[] array) => ImmutableCollectionsMarshal.AsImmutableArray(array);

    /// <summary>The same array where no turning point was carried in, else a copy in which each of those is -1.</summary>
    private static int[] Clamp(int[] indices)
    {
        if (indices.AsSpan().IndexOfAnyInRange(int.MinValue, -2) < 0)
        {
            return indices;
        }

        int[] clamped = [.. indices];
        for (int i = 0; i < clamped.Length; i++)
        {
            clamped[i] = Math.Max(clamped[i], -1);
        }

        return clamped;
    }

    private void Grow(int least)
    {
        int capacity = Math.Max(least, from.Length + (from.Length / 2));
        from = Grown(from, capacity);
        to = Grown(to, capacity);
        fromIndex = Grown(fromIndex, capacity);
        toIndex = Grown(toIndex, capacity);
        weight = Grown(weight, capacity);
    }

    /// <summary>A longer copy whose rest is not cleared, because it is written before it is read.</summary>
    private T[] Grown<T>(T[] array, int capacity)
    {
        T[] grown = GC.AllocateUninitializedArray<T>(capacity);
        array.AsSpan(0, Count).CopyTo(grown);
        return grown;
    }
}
