using CsCheck;

namespace Telemetry.Tests;

public sealed class ExtremesTests
{
    [Fact]
    public void Are_those_of_the_numbers_that_are_there() =>
        Gen.OneOf(Gen.Double[-1e6, 1e6], Gen.Const(double.NaN), Gen.Const(0.0), Gen.Const(double.PositiveInfinity), Gen.Const(double.NegativeInfinity)).Array[0, 40].Sample(values =>
        {
            double[] numbers = [.. values.Where(value => !double.IsNaN(value))];
            (double low, double high) = Extremes.Of(values);
            Assert.Equal(numbers.DefaultIfEmpty(double.PositiveInfinity).Min(), low);
            Assert.Equal(numbers.DefaultIfEmpty(double.NegativeInfinity).Max(), high);
        });

    [Fact]
    public void Of_nothing_are_infinite_the_wrong_way_round()
    {
        Assert.Equal((double.PositiveInfinity, double.NegativeInfinity), Extremes.Of([]));
        Assert.Equal((double.PositiveInfinity, double.NegativeInfinity), Extremes.Of([double.NaN, double.NaN, double.NaN, double.NaN, double.NaN]));
    }
}
