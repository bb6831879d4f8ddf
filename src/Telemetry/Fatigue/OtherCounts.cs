namespace Telemetry.Fatigue;

/// <summary>Other ways to count the same load, so that the spread between methods can be shown beside the default.</summary>
internal static class OtherCounts
{
    /// <summary>The turning points of a load, ends included, after the reversal filter.</summary>
    /// <remarks>Same ties, plateaus and gaps as <see cref="RainflowCounter"/>; written apart from it, so that each checks the other.</remarks>
    public static double[] Reversals(ReadOnlySpan<double> samples, double smallestRange)
    {
        using WholeSamples reversals = BorrowedReversals(samples, smallestRange);
        return reversals.Span.ToArray();
    }

    /// <summary>The same in borrowed room.</summary>
    public static WholeSamples BorrowedReversals(ReadOnlySpan<double> samples, double smallestRange)
    {
        int[] found = LongRoom<int>.Pool.Rent(samples.Length);
        Span<int> at = Filtered(samples, found.AsSpan(0, TurningPoints.Find(samples, found)), smallestRange);
        double[] values = LongRoom<double>.Pool.Rent(at.Length);
        Take(samples, at, values);
        WholeSamples reversals = new(values, at.Length, isBorrowed: true);
        LongRoom<int>.Pool.Return(found);
        return reversals;
    }

    /// <summary>The sample of each turning point.</summary>
    public static int[] Places(ReadOnlySpan<double> samples, double smallestRange)
    {
        int[] found = new int[samples.Length];
        return Filtered(samples, found.AsSpan(0, TurningPoints.Find(samples, found)), smallestRange).ToArray();
    }

    /// <summary>Leaves out the turns that the reversal filter takes for none; those that stay are moved to the front, where there is always room.</summary>
    private static Span<int> Filtered(ReadOnlySpan<double> samples, Span<int> found, double smallestRange)
    {
        int kept = 0;
        double low = double.PositiveInfinity;
        double high = double.NegativeInfinity;
        int lowAt = -1;
        int highAt = -1;
        int direction = 0;
        double last = double.NaN;
        foreach (int index in found)
        {
            double value = samples[index];
            if (direction == 0)
            {
                bool isHigh = value > high;
                if (value >= high)
                {
                    (high, highAt) = (value, index);
                }

                if (value <= low)
                {
                    (low, lowAt) = (value, index);
                }

                if (high > low && high - low >= smallestRange)
                {
                    direction = isHigh ? 1 : -1;
                    found[0] = isHigh ? lowAt : highAt;
                    found[1] = index;
                    kept = 2;
                    last = value;
                }
            }
            else if (direction * (value - last) >= 0)
            {
                found[kept - 1] = index;
                last = value;
            }
            else if (Math.Abs(value - last) >= smallestRange)
            {
                found[kept++] = index;
                last = value;
                direction = -direction;
            }
        }

        // A load that never moves has one end.
        if (kept == 0 && low == high)
        {
            found[0] = lowAt;
            kept = 1;
        }

        return found[..kept];
    }

    /// <summary>Simple-range counting, ASTM E1049-85 5.3: every range between neighbouring reversals is half a cycle.</summary>
    /// <remarks>Misses the large slow range that carries small ones, so it errs to less damage: the low end of the spread.</remarks>
    /// <param name="reversals">Turning points.</param>
    /// <param name="places">The sample of each; empty when no places are asked for, which are then -1.</param>
    public static CycleList SimpleRanges(ReadOnlySpan<double> reversals, ReadOnlySpan<int> places = default)
    {
        CycleList cycles = new(Math.Max(1, reversals.Length));
        for (int i = 0; i + 1 < reversals.Length; i++)
        {
            cycles.Add(reversals[i], reversals[i + 1], places.IsEmpty ? -1 : places[i], places.IsEmpty ? -1 : places[i + 1], 0.5);
        }

        return cycles;
    }

    /// <summary>Four-point counting (Amzallag and others, Int. J. Fatigue 16 (1994) 287; ISO 12110-2), with the residue as half cycles.</summary>
    /// <remarks>A range is closed when neither neighbour is smaller. The paper and the standard were not seen; the rule is as open implementations carry it.</remarks>
    public static CycleList FourPoint(ReadOnlySpan<double> reversals, out double[] residue, ReadOnlySpan<int> places = default)
    {
        CycleList cycles = new(Math.Max(1, reversals.Length / 2));
        int[] open = CloseFourPoint(reversals, places, cycles);
        residue = Values(reversals, open);
        for (int i = 0; i + 1 < open.Length; i++)
        {
            cycles.Add(residue[i], residue[i + 1], places.IsEmpty ? -1 : places[open[i]], places.IsEmpty ? -1 : places[open[i + 1]], 0.5);
        }

        return cycles;
    }

    /// <summary>The same without the places of the cycles; only the closed ones go into the sink.</summary>
    /// <returns>The turning points that are left open.</returns>
    public static double[] CloseFourPoint<TSink>(ReadOnlySpan<double> reversals, TSink closed)
        where TSink : class, ICycleSink => Values(reversals, CloseFourPoint(reversals, [], closed));

    /// <summary>The loads at some samples.</summary>
    public static double[] Values(ReadOnlySpan<double> samples, ReadOnlySpan<int> at)
    {
        double[] values = GC.AllocateUninitializedArray<double>(at.Length);
        Take(samples, at, values);
        return values;
    }

    private static void Take(ReadOnlySpan<double> samples, ReadOnlySpan<int> at, Span<double> values)
    {
        for (int i = 0; i < at.Length; i++)
        {
            values[i] = samples[at[i]];
        }
    }

    /// <summary>The cycles that a residue closes when the history repeats for ever (ASTM E1049-85, 5.4.5): the residue is run through once more.</summary>
    /// <remarks>Every range comes out whole and the largest one is paired in full, so it errs to more damage: the high end of the spread.</remarks>
    public static CycleList RepeatedResidue(ReadOnlySpan<double> residue)
    {
        double[] twice = new double[2 * residue.Length];
        residue.CopyTo(twice);
        residue.CopyTo(twice.AsSpan(residue.Length));
        double[] joined = Reversals(twice, 0);
        CycleList cycles = new();
        CloseFourPoint(joined, [], cycles);
        return cycles;
    }

    /// <summary>Closes every range that is no larger than either neighbour.</summary>
    /// <returns>Which of the turning points are left open, oldest first. There are few, because their ranges first rise and then fall.</returns>
    private static int[] CloseFourPoint<TSink>(ReadOnlySpan<double> reversals, ReadOnlySpan<int> places, TSink cycles)
        where TSink : class, ICycleSink
    {
        int[] stack = new int[64];
        int depth = 0;
        for (int i = 0; i < reversals.Length; i++)
        {
            if (depth == stack.Length)
            {
                Array.Resize(ref stack, 2 * depth);
            }

            stack[depth++] = i;
            while (depth >= 4)
            {
                (int a, int b) = (stack[depth - 3], stack[depth - 2]);
                double first = Math.Abs(reversals[a] - reversals[stack[depth - 4]]);
                double inner = Math.Abs(reversals[b] - reversals[a]);
                double last = Math.Abs(reversals[i] - reversals[b]);
                if (inner > first || inner > last)
                {
                    break;
                }

                cycles.Add(reversals[a], reversals[b], places.IsEmpty ? -1 : places[a], places.IsEmpty ? -1 : places[b], 1);
                stack[depth - 3] = i;
                depth -= 2;
            }
        }

        return stack.AsSpan(0, depth).ToArray();
    }
}
