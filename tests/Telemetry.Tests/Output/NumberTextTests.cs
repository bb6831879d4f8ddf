using Telemetry.Output;

namespace Telemetry.Tests.Output;

public class NumberTextTests
{
    // JCGM 100:2008, 7.2.6: at most two significant digits of the uncertainty, and the value to the same place.
    [Theory]
    [InlineData(3.4218, 0.0384, "3.422 (3.383 to 3.460)")]
    [InlineData(3.4215, 0.38, "3.42 (3.04 to 3.80)")]
    [InlineData(9841.3, 184.2, "9841 (9657 to 10026)")]
    [InlineData(-0.001, 0.5, "0.00 (-0.50 to 0.50)")]
    public void An_interval_shows_two_digits_of_its_half_width(double value, double half, string expected) =>
        Assert.Equal(expected, NumberText.Interval(new Estimate(value, value - half, value + half)));

    [Fact]
    public void An_interval_without_width_still_shows_its_value() =>
        Assert.Equal("2.500 (2.500 to 2.500)", NumberText.Interval(new Estimate(2.5, 2.5, 2.5)));

    [Fact]
    public void A_missing_estimate_is_a_dash() => Assert.Equal("-", NumberText.Interval(null));

    [Theory]
    [InlineData(1234567.0, 1234570.0)]
    [InlineData(0.0123456789, 0.0123457)]
    [InlineData(-9.99999951e-9, -1e-8)]
    [InlineData(0.0, 0.0)]
    public void A_number_in_a_file_keeps_six_digits(double value, double expected) => Assert.Equal(expected, NumberText.Rounded(value));

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void A_number_that_is_none_becomes_null_in_a_file(double value) => Assert.Null(NumberText.Rounded(value));

    [Theory]
    [InlineData(4.4219e-5, "4.42e-5")]
    [InlineData(0.01234, "0.0123")]
    [InlineData(0.25, "0.250")]
    [InlineData(0.0, "0")]
    [InlineData(12.34, "12.3")]
    [InlineData(double.NaN, "-")]
    public void A_damage_shows_three_digits(double value, string expected) => Assert.Equal(expected, NumberText.Small(value));

    [Fact]
    public void A_negative_zero_loses_its_sign() => Assert.Equal("0.0", NumberText.Fixed(-0.04, 1));

    [Fact]
    public void Control_characters_of_a_name_cannot_steer_a_terminal() =>
        Assert.Equal("PR?[31m?FL?", NumberText.Printable("PR\u001b[31m\u202eFL\n"));
}
