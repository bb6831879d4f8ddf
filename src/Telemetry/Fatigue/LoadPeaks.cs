namespace Telemetry.Fatigue;

/// <summary>Largest push and pull of a load, where they stand, and how much is missing.</summary>
internal readonly record struct LoadPeaks
{
    /// <summary>Sample of the largest load; -1 when there is none.</summary>
    public required int HighestIndex { get; init; }

    /// <summary>Sample of the smallest load; -1 when there is none.</summary>
    public required int LowestIndex { get; init; }

    /// <summary>Samples without a load.</summary>
    public required int Missing { get; init; }

    /// <summary>Finds the peaks; of equal ones the first.</summary>
    public static LoadPeaks Of(ReadOnlySpan<double> load)
    {
        int highest = -1;
        int lowest = -1;
        int missing = 0;
        double high = double.NegativeInfinity;
        double low = double.PositiveInfinity;
        for (int i = 0; i < load.Length; i++)
        {
            double value = load[i];
            if (!double.IsFinite(value))
            {
                missing++;
                continue;
            }

            if (value > high)
            {
                high = value;
                highest = i;
            }

            if (value < low)
            {
                low = value;
                lowest = i;
            }
        }

        return new() { HighestIndex = highest, LowestIndex = lowest, Missing = missing };
    }

    /// <summary>How much more a load can have been between two samples than at its peak sample, N: the top of a parabola through the peak and its neighbours, at worst half a step away.</summary>
    /// <remarks>
    /// An eighth of the second difference. For a half sine of length T that is the peak times (pi dt / 2T)^2 / 2, the first term of equation E8's 1 - cos(pi dt / 2T);
    /// it needs no pulse length, so it holds for any load. NaN beside a gap or an end of the log, where nothing is known.
    /// </remarks>
    public static double HiddenN(SampleSource load, int peakIndex) => peakIndex < 1 || peakIndex + 1 >= load.Length
        ? double.NaN
        : Math.Abs(load[peakIndex - 1] - (2 * load[peakIndex]) + load[peakIndex + 1]) / 8;
}
