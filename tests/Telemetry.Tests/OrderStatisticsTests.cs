using CsCheck;
using MathNet.Numerics.Statistics;

namespace Telemetry.Tests;

public class OrderStatisticsTests
{
    [Fact]
    public void A_median_is_the_one_of_the_reference_library_ties_and_all()
    {
        // Outside check: MathNet.Numerics, Statistics.Median.
        Gen<double[]> withTies = Gen.Int[-9, 9].Select(i => i / 2.0).Array[1, 60];
        Gen<double[]> wide = Gen.Double[-1e9, 1e9].Array[1, 400];
        Gen.OneOf(withTies, wide).Sample(values => OrderStatistics.Median([.. values]) == Statistics.Median(values), seed: "0000000000001", iter: 5000);
    }

    [Theory]
    [InlineData(50_000)]
    [InlineData(50_001)]
    public void Sorted_and_organ_pipe_orders_are_no_trap(int count)
    {
        double[] rising = [.. Enumerable.Range(0, count).Select(i => (double)i)];
        double[] pipe = [.. rising.Select(i => Math.Min(i, count - 1 - i))];
        double[] sorted = [.. pipe.Order()];
        Assert.Equal((count - 1) / 2.0, OrderStatistics.Median([.. rising]));
        Assert.Equal((count - 1) / 2.0, OrderStatistics.Median([.. rising.Reverse()]));
        Assert.Equal((sorted[(count - 1) / 2] + sorted[count / 2]) / 2, OrderStatistics.Median(pipe));
    }

    [Fact]
    public void No_numbers_have_no_median() => Assert.Equal(double.NaN, OrderStatistics.Median([]));

    /// <summary>Source: the upper quartile of the standard normal distribution, from MathNet.Numerics.</summary>
    [Fact]
    public void The_factor_makes_the_deviation_of_normal_values_their_standard_deviation() =>
        Assert.Equal(1, OrderStatistics.NormalConsistency * MathNet.Numerics.Distributions.Normal.InvCDF(0, 1, 0.75), 4);
}
