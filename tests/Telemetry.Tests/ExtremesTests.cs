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

    [Fact]
    public void Of_steps_are_those_between_neighbours() =>
        Gen.Double[-1e6, 1e6].Array[0, 40].Sample(values =>
        {
            double[] steps = [.. values.Zip(values.Skip(1), (one, next) => next - one)];
            (double low, double high) = Extremes.OfSteps(values);
            Assert.Equal(steps.DefaultIfEmpty(double.PositiveInfinity).Min(), low);
            Assert.Equal(steps.DefaultIfEmpty(double.NegativeInfinity).Max(), high);
        });

    [Fact]
    public void Of_a_stretch_of_a_channel_are_those_of_its_samples() =>
        Gen.Select(Gen.OneOf(Gen.Double[-1e6, 1e6], Gen.Const(double.NaN)).Array[1, 6000], Gen.Double[0, 1], Gen.Double[0, 1]).Sample(
            (values, one, other) =>
            {
                (int from, int until) = ((int)(Math.Min(one, other) * values.Length), (int)(Math.Max(one, other) * values.Length));
                Assert.Equal(Extremes.Of(values.AsSpan()[from..until]), Extremes.Of(SampleSource.Copy(values), from, until));
            },
            iter: 200);
}
