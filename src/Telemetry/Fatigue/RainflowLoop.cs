namespace Telemetry.Fatigue;

/// <content>The tight loop of the count.</content>
public sealed partial class RainflowCounter
{
    /// <summary>Fewer loads than this are not worth the making of a tight loop.</summary>
    private const int FewLoads = 16;

    /// <summary>As <see cref="Push"/> for many loads: the same rules with the newest load and the depth held in registers, and room made once.</summary>
    /// <param name="chunk">Loads.</param>
    /// <param name="at">Those of them that can matter.</param>
    /// <param name="expected">How many cycles the whole load may close, for the size of the list.</param>
    private void PushAll(ReadOnlySpan<double> chunk, ReadOnlySpan<int> at, int expected)
    {
        int next = 0;
        while (next < at.Length && depth == 0)
        {
            Push(chunk[at[next]], samplesSeen + at[next]);
            next++;
        }

        if (onlyCounts)
        {
            CycleList.Tally tally = default;
            PushMany(chunk, at[next..], ref tally);
            counted += tally.Count;
            return;
        }

        if (!isExpected)
        {
            PushAndKeep(chunk, at[next..], expected);
            return;
        }

        // As many as surely fit: a load takes the room of a cycle and closes less than half of one on average, so most of a list is filled in this way.
        for (int many = Fitting(at.Length - next); many >= FewLoads; many = Fitting(at.Length - next))
        {
            PushAndKeep(chunk, at.Slice(next, many), expected);
            next += many;
        }

        for (; next < at.Length; next++)
        {
            Push(chunk[at[next]], samplesSeen + at[next]);
        }
    }

    private int Fitting(int wanted) => Math.Min(wanted, closed.Room - depth);

    private void PushAndKeep(ReadOnlySpan<double> chunk, ReadOnlySpan<int> at, int expected)
    {
        // Every cycle that closes takes at least one load off the stack.
        CycleList.Tail tail = closed.Reserve(depth + at.Length, expected);
        PushMany(chunk, at, ref tail);
        closed.Keep(tail);
    }

    private void PushMany<TTail>(ReadOnlySpan<double> chunk, ReadOnlySpan<int> at, ref TTail cycles)
        where TTail : struct, ICycleSink, allows ref struct
    {
        if (at.IsEmpty)
        {
            return;
        }

        if (values.Length < depth + at.Length)
        {
            Array.Resize(ref values, depth + at.Length);
            Array.Resize(ref indices, depth + at.Length);
        }

        // A copy of its own stays in registers.
        TTail tail = cycles;
        Span<double> open = values;
        Span<int> places = indices;

        // The newest load is held apart; below it lie open[0] to open[below - 1], the last of them second. Both newest ranges are at hand,
        // so that the one branch that nobody can guess, whether a range closes, is known as early as can be.
        int below = depth - 1;
        double top = open[below];
        int topPlace = places[below];
        double second = open[below - 1];
        double newest = Math.Abs(top - second);
        double before = below >= 2 ? Math.Abs(second - open[below - 2]) : double.PositiveInfinity;
        bool isRising = isTopRising;
        for (int next = 0; next < at.Length; next++)
        {
            double value = chunk[at[next]];
            if (isRising ? value < top : value > top)
            {
                double step = Math.Abs(top - value);
                if (step < smallestRange)
                {
                    continue;
                }

                open[below] = top;
                places[below] = topPlace;
                below++;
                isRising = !isRising;
                before = newest;
                second = top;
                newest = step;
            }
            else
            {
                newest = Math.Abs(value - second);
            }

            top = value;
            topPlace = samplesSeen + at[next];
            while (newest >= before && below >= 2)
            {
                if (below > 2)
                {
                    tail.Add(open[below - 2], second, places[below - 2], places[below - 1], 1);
                    below -= 2;
                    second = open[below - 1];
                    newest = Math.Abs(top - second);
                    before = below >= 2 ? Math.Abs(second - open[below - 2]) : double.PositiveInfinity;
                }
                else
                {
                    tail.Add(open[0], second, places[0], places[1], 0.5);
                    open[0] = second;
                    places[0] = places[1];
                    below = 1;
                    before = double.PositiveInfinity;
                }
            }
        }

        open[below] = top;
        places[below] = topPlace;
        depth = below + 1;
        isTopRising = isRising;
        cycles = tail;
    }
}
