namespace Telemetry.Fatigue;

/// <summary>Other ways to count the same load, so that the spread between methods can be shown beside the default.</summary>
internal static class OtherCounts
{
    /// <summary>The turning points of a load, ends included, after the reversal filter.</summary>
    /// <remarks>Same ties, plateaus and gaps as <see cref="RainflowCounter"/>; written apart from it, so that each checks the other.</remarks>
    public static double[] Reversals(ReadOnlySpan<double> samples, double smallestRange) => Reversals(samples, smallestRange, out _);

    /// <summary>As above, with the sample of each.</summary>
    public static double[] Reversals(ReadOnlySpan<double> samples, double smallestRange, out int[] places)
    {
        int[] found = new int[samples.Length];
        int count = TurningPoints.Find(samples, found);
        List<double> reversals = new(count);
        List<int> at = new(count);
        double low = double.PositiveInfinity;
        double high = double.NegativeInfinity;
        int lowAt = -1;
        int highAt = -1;
        int direction = 0;
        foreach (int index in found.AsSpan(0, count))
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
                    reversals.Add(isHigh ? low : high);
                    reversals.Add(value);
                    at.Add(isHigh ? lowAt : highAt);
                    at.Add(index);
                }
            }
            else if (direction * (value - reversals[^1]) >= 0)
            {
                reversals[^1] = value;
                at[^1] = index;
            }
            else if (Math.Abs(value - reversals[^1]) >= smallestRange)
            {
                reversals.Add(value);
                at.Add(index);
                direction = -direction;
            }
        }

        places = [.. at];
        return [.. reversals];
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
        double[] stack = new double[reversals.Length];
        int[] stackPlaces = new int[reversals.Length];
        int depth = CloseFourPoint(reversals, places, stack, stackPlaces, cycles);
        residue = stack.AsSpan(0, depth).ToArray();
        for (int i = 0; i + 1 < depth; i++)
        {
            cycles.Add(residue[i], residue[i + 1], stackPlaces[i], stackPlaces[i + 1], 0.5);
        }

        return cycles;
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
        CloseFourPoint(joined, [], new double[joined.Length], new int[joined.Length], cycles);
        return cycles;
    }

    private static int CloseFourPoint(ReadOnlySpan<double> reversals, ReadOnlySpan<int> places, double[] stack, int[] stackPlaces, CycleList cycles)
    {
        int depth = 0;
        for (int i = 0; i < reversals.Length; i++)
        {
            stack[depth] = reversals[i];
            stackPlaces[depth++] = places.IsEmpty ? -1 : places[i];
            while (depth >= 4)
            {
                double first = Math.Abs(stack[depth - 3] - stack[depth - 4]);
                double inner = Math.Abs(stack[depth - 2] - stack[depth - 3]);
                double last = Math.Abs(stack[depth - 1] - stack[depth - 2]);
                if (inner > first || inner > last)
                {
                    break;
                }

                cycles.Add(stack[depth - 3], stack[depth - 2], stackPlaces[depth - 3], stackPlaces[depth - 2], 1);
                stack[depth - 3] = stack[depth - 1];
                stackPlaces[depth - 3] = stackPlaces[depth - 1];
                depth -= 2;
            }
        }

        return depth;
    }
}
