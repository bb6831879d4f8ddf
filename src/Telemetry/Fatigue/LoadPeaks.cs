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
}
