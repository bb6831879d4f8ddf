using CsCheck;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

public sealed class SinglePrecisionTests
{
    [Fact]
    public void Eight_at_a_time_are_rounded_as_one_at_a_time() =>
        Gen.Select(Gen.Double.Array[0, 50], Gen.Double[-2000, 2000]).Sample((values, scale) =>
        {
            float[] singles = new float[values.Length];
            double[] back = new double[values.Length];
            SinglePrecision.Of(values, scale, singles, back);
            Assert.Equal(values.Select(value => BitConverter.SingleToInt32Bits((float)(value * scale))), singles.Select(BitConverter.SingleToInt32Bits));
            Assert.Equal(singles.Select(single => BitConverter.DoubleToInt64Bits(single)), back.Select(BitConverter.DoubleToInt64Bits));
        });
}
