namespace Telemetry.Fatigue;

/// <summary>Ways to count cycles.</summary>
public enum CountMethod
{
    /// <summary>Three-point rainflow, ASTM E1049-85 5.4.4, residue as half cycles: the default, the only one whose residue is carried from run to run.</summary>
    Rainflow,

    /// <summary>Four-point rainflow (Amzallag and others 1994, ISO 12110-2), residue as half cycles. Same sums by range as three-point; exact ties may come as one full cycle or two halves.</summary>
    FourPoint,

    /// <summary>Simple ranges, ASTM E1049-85 5.3: every range between neighbouring turning points is half a cycle. Misses the slow range that carries small ones, so it errs to less damage.</summary>
    SimpleRange,
}

/// <summary>Counts a whole load at once by a chosen method.</summary>
public static class CycleCounting
{
    /// <summary>All cycles of a load.</summary>
    /// <remarks>Plateaus, ties, gaps and the reversal filter as in <see cref="RainflowCounter"/>; a constant or single sample gives no cycle.</remarks>
    /// <param name="load">Loads in time order; what is not finite is a gap.</param>
    /// <param name="method">The method.</param>
    /// <param name="smallestRange">Reversal filter (hysteresis): a smaller return of the load is no reversal; 0 counts all.</param>
    /// <returns>Cycles with loads and samples of both turning points.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The method is not known, or the smallest range is below 0 or not a finite number.</exception>
    public static CycleCount Of(ReadOnlySpan<double> load, CountMethod method, double smallestRange = 0)
    {
        RainflowCounter counter = new(smallestRange);
        if (method == CountMethod.Rainflow)
        {
            counter.Add(load);
            return counter.Finish().ToCycleCount();
        }

        int[] places = OtherCounts.Places(load, smallestRange);
        double[] reversals = OtherCounts.Values(load, places);
        return method switch
        {
            CountMethod.FourPoint => OtherCounts.FourPoint(reversals, out _, places).ToCycleCount(),
            CountMethod.SimpleRange => OtherCounts.SimpleRanges(reversals, places).ToCycleCount(),
            _ => throw new ArgumentOutOfRangeException(nameof(method), method, "The counting method is not known."),
        };
    }
}
