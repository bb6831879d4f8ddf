using System.Runtime.Intrinsics;
using CsCheck;
using Telemetry.Fatigue;

namespace Telemetry.Tests.Fatigue;

public class SlopePowerTests
{
    // Outside check: the power function of the C library, by Math.Pow. The bound is the rounding of the exponent slope ln(ratio), at most 64 ln(1e6) = 884 here, and a few units of the last place.
    [Fact]
    public void Four_powers_are_those_of_the_C_library() =>
        Gen.Select(Gen.Double[1e-6, 20].Array[4], Gen.OneOf(Gen.Double[0.05, 64], Gen.Int[1, 64].Select(whole => (double)whole))).Sample(
            (ratios, slope) =>
            {
                Vector256<double> powers = SlopePower.Of(Vector256.Create(ratios), slope);
                for (int i = 0; i < ratios.Length; i++)
                {
                    double reference = Math.Pow(ratios[i], slope), exponent = Math.Abs(slope * Math.Log(ratios[i]));
                    Assert.Equal(reference, powers[i], reference * 2.3e-16 * (4 + (2 * exponent) + slope));
                }
            },
            seed: "0000KOIkZbA5");

    [Theory]
    [InlineData(4.5)]
    [InlineData(5)]
    public void Nothing_stays_nothing_one_stays_one_and_unknown_stays_unknown(double slope)
    {
        Vector256<double> powers = SlopePower.Of(Vector256.Create(0, 1, double.NaN, double.PositiveInfinity), slope);
        Assert.Equal([0, 1, double.NaN, double.PositiveInfinity], [powers[0], powers[1], powers[2], powers[3]]);
    }
}
