namespace Telemetry.Zero;

/// <summary>Middle and scatter of a stretch of samples, from block medians: one knock on the car does not move it.</summary>
/// <param name="Middle">Median of the block medians; NaN when no sample is finite.</param>
/// <param name="Scatter">Robust standard deviation of the block medians (1.4826 times their median absolute deviation); 0 with one block.</param>
/// <param name="Blocks">Number of blocks with at least one finite sample.</param>
internal readonly record struct BlockMedian(double Middle, double Scatter, int Blocks)
{
    /// <summary>Middle and scatter of some samples; what is not finite is left out.</summary>
    /// <param name="samples">A channel.</param>
    /// <param name="from">First sample.</param>
    /// <param name="until">One past the last.</param>
    /// <param name="blockLength">Samples of a block; the last may have fewer.</param>
    public static BlockMedian Of(SampleSource samples, int from, int until, int blockLength)
    {
        List<double> medians = [];
        double[] room = new double[Math.Min(blockLength, until - from)], finite = new double[room.Length];
        for (int start = from; start < until; start += blockLength)
        {
            int count = 0;
            foreach (double value in samples.Read(start, Math.Min(blockLength, until - start), room))
            {
                if (double.IsFinite(value))
                {
                    finite[count++] = value;
                }
            }

            if (count > 0)
            {
                medians.Add(OrderStatistics.Median(finite.AsSpan(0, count)));
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
