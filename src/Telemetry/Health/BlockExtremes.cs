namespace Telemetry.Health;

/// <summary>Smallest and largest reading of each block of 0.2 s while the car runs.</summary>
/// <param name="Low">Smallest of each block; infinite where it has no number.</param>
/// <param name="High">Largest of each block.</param>
internal sealed record BlockExtremes(List<double> Low, List<double> High)
{
    private const double BlockS = 0.2;

    /// <summary>No block.</summary>
    public static BlockExtremes None { get; } = new([], []);

    /// <summary>Smallest of all; infinite when there is none.</summary>
    public double Lowest { get; } = Low.Count == 0 ? double.PositiveInfinity : Low.Min();

    /// <summary>Largest of all.</summary>
    public double Highest { get; } = High.Count == 0 ? double.NegativeInfinity : High.Max();

    public static BlockExtremes Of(ReadOnlySpan<double> samples, IReadOnlyList<SampleSpan> spans, double rateHz)
    {
        int block = Math.Max(4, (int)Math.Round(BlockS * rateHz));
        List<double> lows = [];
        List<double> highs = [];
        foreach (SampleSpan span in spans)
        {
            for (int from = span.First; from < span.End; from += block)
            {
                (double low, double high) = Extremes.Of(samples[from..Math.Min(span.End, from + block)]);
                lows.Add(low);
                highs.Add(high);
            }
        }

        return new(lows, highs);
    }
}
