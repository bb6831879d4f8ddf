namespace Telemetry.Zero;

/// <summary>Middle and scatter of a stretch of samples, from block medians: one knock on the car does not move it.</summary>
/// <param name="Middle">Median of the block medians; NaN when no sample is finite.</param>
/// <param name="Scatter">Robust standard deviation of the block medians (1.4826 times their median absolute deviation); 0 with one block.</param>
/// <param name="Blocks">Number of blocks with at least one finite sample.</param>
internal readonly record struct BlockMedian(double Middle, double Scatter, int Blocks)
{
    public static BlockMedian Of(ReadOnlySpan<double> samples, int blockLength)
    {
        List<double> medians = [];
        double[] block = new double[blockLength];
        for (int from = 0; from < samples.Length; from += blockLength)
        {
            int count = 0;
            foreach (double value in samples[from..Math.Min(from + blockLength, samples.Length)])
            {
                if (double.IsFinite(value))
                {
                    block[count++] = value;
                }
            }

            if (count > 0)
            {
                medians.Add(OrderStatistics.Median(block.AsSpan(0, count)));
            }
        }

        if (medians.Count == 0)
        {
            return new(double.NaN, double.NaN, 0);
        }

        double[] values = [.. medians];
        double middle = OrderStatistics.Median(values);
        double[] deviations = [.. medians.Select(value => Math.Abs(value - middle))];
        return new(middle, OrderStatistics.NormalConsistency * OrderStatistics.Median(deviations), medians.Count);
    }
}
