using System.Buffers;
using System.Collections.Immutable;

namespace Telemetry.Fatigue;

/// <summary>Rainflow cycle counting by the three-point method, fed in chunks of any size.</summary>
/// <remarks>
/// ASTM E1049-85, 5.4.4. Any chunking gives exactly the count of the whole, and a residue carried from one run into the next gives exactly
/// the count of both runs joined: a range closed by the newest load stays closed however far that load still goes,
/// so the open turning points, with the newest load as the last of them, are all the state there is.
/// <list type="bullet">
/// <item>Plateau: turns at its last sample; a plateau at the very start counts from its first.</item>
/// <item>Tie (a range equal to the one before it): counted as closed, as the standard's "X is not less than Y" says.</item>
/// <item>Gap (NaN or infinite): left out. The loads on both sides are neighbours, so a gap never invents a reversal; what happened in it is not counted.</item>
/// <item>Nothing, one sample, or a constant load: no cycle. Two different samples: one half cycle.</item>
/// </list>
/// Not safe for use by several threads at once.
/// </remarks>
public sealed partial class RainflowCounter
{
    private const int ChunkLength = 4096;

    private readonly double smallestRange;
    private readonly CycleList closed;
    private readonly bool isExpected;
    private bool onlyCounts;
    private int counted;
    private double[] values = new double[64];
    private int[] indices = new int[64];
    private int depth;
    private bool isTopRising;
    private int samplesSeen;

    // Until the load has moved by the smallest range, its lowest and highest values so far are both open.
    private bool hasStarted;
    private double low;
    private double high;
    private int lowIndex;
    private int highIndex;

    /// <summary>A counter, empty or with the open turning points of earlier runs.</summary>
    /// <param name="smallestRange">Reversal filter: a smaller return of the load is no reversal, in the load's unit; 0 counts all.</param>
    /// <param name="carried">Residue of the earlier runs, oldest first, as <see cref="Residue"/> gave it; empty for a new part.</param>
    /// <exception cref="ArgumentOutOfRangeException">The smallest range is below 0 or not a finite number.</exception>
    /// <exception cref="ArgumentException">A carried turning point is not a finite number.</exception>
    public RainflowCounter(double smallestRange = 0, ReadOnlySpan<double> carried = default)
        : this(smallestRange, carried, 0)
    {
    }

    /// <summary>As the other, for a caller that can tell how many cycles there will be.</summary>
    /// <param name="smallestRange">As above.</param>
    /// <param name="carried">As above.</param>
    /// <param name="cycles">Cycles in all, the residue's among them: where this is right, the list is made once and is never cut; 0 where it is not known.</param>
    internal RainflowCounter(double smallestRange, ReadOnlySpan<double> carried, int cycles)
    {
        isExpected = cycles > 0;
        closed = isExpected ? new(cycles) : new();
        if (!(smallestRange >= 0) || !double.IsFinite(smallestRange))
        {
            throw new ArgumentOutOfRangeException(nameof(smallestRange), smallestRange, "The smallest range must be 0 or more.");
        }

        this.smallestRange = smallestRange;
        for (int i = 0; i < carried.Length; i++)
        {
            if (!double.IsFinite(carried[i]))
            {
                throw new ArgumentException($"Carried turning point {i} is {carried[i]}, not a finite number.", nameof(carried));
            }

            Push(carried[i], i - carried.Length);
        }
    }

    /// <summary>Open turning points, oldest first, the newest load last: all that the next run needs to go on counting.</summary>
    /// <remarks>Ranges between neighbours fall strictly, so there are few. Empty before the first finite sample.</remarks>
    public ImmutableArray<double> Residue
    {
        get
        {
            if (depth > 0)
            {
                return [.. values.AsSpan(0, depth)];
            }

            if (!hasStarted)
            {
                return [];
            }

            return low == high ? [low] : lowIndex < highIndex ? [low, high] : [high, low];
        }
    }

    /// <summary>Counts on with the samples that follow those given before.</summary>
    /// <param name="samples">Loads in time order; what is not finite is a gap.</param>
    public void Add(ReadOnlySpan<double> samples)
    {
        int[] found = ArrayPool<int>.Shared.Rent(ChunkLength);
        long whole = samples.Length;
        int closedBefore = closed.Count;
        try
        {
            while (!samples.IsEmpty)
            {
                ReadOnlySpan<double> chunk = samples[..Math.Min(ChunkLength, samples.Length)];
                int count = TurningPoints.Find(chunk, found);
                long done = whole - samples.Length;
                PushAll(chunk, found.AsSpan(0, count), Expected(closed.Count - closedBefore, done, whole) + closedBefore);
                samplesSeen += chunk.Length;
                samples = samples[chunk.Length..];
            }
        }
        finally
        {
            ArrayPool<int>.Shared.Return(found);
        }
    }

    /// <summary>How many cycles the whole load will close, to go by the part that is done: with room for three standard deviations of a count, because to grow once more at the end costs more than the count.</summary>
    private static int Expected(int closed, long done, long whole) =>
        closed > 0 ? (int)Math.Min((closed + (3 * Math.Sqrt(closed))) * whole / done, whole) : 0;

    /// <summary>All cycles up to now: those that have closed, in that order, then the residue as half cycles, oldest first.</summary>
    /// <remarks>Does not disturb the count, which may go on. Indices are from the first sample ever added; -1 stands for a carried turning point.</remarks>
    public CycleCount Count()
    {
        int closedCount = closed.Count;
        CycleCount all = Finish().ToCycleCount();
        closed.Truncate(closedCount);
        return all;
    }

    /// <summary>How many cycles a load has, the residue's half cycles among them: a count that keeps none.</summary>
    /// <param name="smallestRange">As for the counter.</param>
    /// <param name="carried">As for the counter.</param>
    /// <param name="samples">The load, or its turning points alone.</param>
    internal static int CyclesOf(double smallestRange, ReadOnlySpan<double> carried, ReadOnlySpan<double> samples)
    {
        RainflowCounter counter = new(smallestRange, carried) { onlyCounts = true };
        counter.Add(samples);
        return counter.counted + counter.closed.Count + Math.Max(0, counter.depth - 1);
    }

    /// <summary>As <see cref="Count"/> without a copy, with the carried turning points told apart (the newest is -1); the counter must not be used afterwards.</summary>
    internal CycleList Finish()
    {
        for (int i = 0; i + 1 < depth; i++)
        {
            closed.Add(values[i], values[i + 1], indices[i], indices[i + 1], 0.5);
        }

        return closed;
    }

    /// <summary>Takes any next load. One that is no turning point changes nothing that lasts, so a caller may leave such loads out, but need not.</summary>
    private void Push(double value, int index)
    {
        if (depth == 0)
        {
            Start(value, index);
            return;
        }

        double top = values[depth - 1];
        if (isTopRising ? value >= top : value <= top)
        {
            values[depth - 1] = value;
            indices[depth - 1] = index;
        }
        else if (Math.Abs(top - value) >= smallestRange)
        {
            Open(value, index);
            isTopRising = !isTopRising;
        }
        else
        {
            return;
        }

        Close();
    }

    private void Start(double value, int index)
    {
        if (!hasStarted)
        {
            hasStarted = true;
            low = high = value;
            lowIndex = highIndex = index;
            return;
        }

        if (low == high && value == low)
        {
            return;
        }

        bool isHigh = value >= high;
        if (isHigh)
        {
            high = value;
            highIndex = index;
        }
        else if (value <= low)
        {
            low = value;
            lowIndex = index;
        }

        if (high > low && high - low >= smallestRange)
        {
            Open(isHigh ? low : high, isHigh ? lowIndex : highIndex);
            Open(isHigh ? high : low, isHigh ? highIndex : lowIndex);
            isTopRising = isHigh;
        }
    }

    private void Open(double value, int index)
    {
        if (depth == values.Length)
        {
            Array.Resize(ref values, 2 * depth);
            Array.Resize(ref indices, 2 * depth);
        }

        values[depth] = value;
        indices[depth] = index;
        depth++;
    }

    /// <summary>The three-point rule: while the newest range X is not less than the one before it, Y, that one is counted.</summary>
    private void Close()
    {
        while (depth >= 3)
        {
            double newest = Math.Abs(values[depth - 1] - values[depth - 2]);
            double before = Math.Abs(values[depth - 2] - values[depth - 3]);
            if (newest < before)
            {
                return;
            }

            if (depth == 3)
            {
                // Y holds the starting point: half a cycle, and its first point is done with.
                closed.Add(values[0], values[1], indices[0], indices[1], 0.5);
                values[0] = values[1];
                values[1] = values[2];
                indices[0] = indices[1];
                indices[1] = indices[2];
                depth = 2;
            }
            else
            {
                closed.Add(values[depth - 3], values[depth - 2], indices[depth - 3], indices[depth - 2], 1);
                values[depth - 3] = values[depth - 1];
                indices[depth - 3] = indices[depth - 1];
                depth -= 2;
            }
        }
    }
}
