using Telemetry.Simulation;

namespace Telemetry.Tests.Simulation;

public class FourPointCountTests
{
    [Fact]
    public void The_standards_example_is_counted_as_printed()
    {
        // ASTM E1049-85 5.4.4 and figure 6: -2, 1, -3, 5, -1, 3, -4, 4, -2; counts by range 3: 0.5, 4: 1.5, 6: 0.5, 8: 1.0, 9: 0.5. Here in kN.
        RainflowTruth count = FourPointCount.Of([-2000, 1000, -3000, 5000, -1000, 3000, -4000, 4000, -2000]);
        Assert.Equal(250, count.BinWidthN);
        double[] expected = new double[37];
        expected[12] = 0.5;
        expected[16] = 1.5;
        expected[24] = 0.5;
        expected[32] = 1.0;
        expected[36] = 0.5;
        Assert.Equal(expected, count.CountByBin);
        Assert.Equal(4, count.Cycles);
        Assert.Equal(9000, count.LargestRangeN);

        // Hand calculation: (sum n S^5 / 1e6)^(1/5), S in kN: 0.5*243 + 1.5*1024 + 0.5*7776 + 32768 + 0.5*59049 = 67838.
        Assert.Equal(1000 * Math.Pow(67838 / 1e6, 0.2), count.EquivalentRangeN, 1e-6);
    }

    [Fact]
    public void Samples_on_the_way_and_plateaus_change_nothing()
    {
        RainflowTruth plain = FourPointCount.Of([0, 4000, 1000, 3000, -500]);
        RainflowTruth dense = FourPointCount.Of([0, 1000, 4000, 4000, 2500, 1000, 1000, 2000, 3000, 0, -500, -500]);
        Assert.Equal(plain.CountByBin, dense.CountByBin);
        Assert.Equal(plain.Cycles, dense.Cycles);
    }

    [Fact]
    public void A_constant_or_empty_load_has_no_range()
    {
        Assert.Equal(0, FourPointCount.Of([5, 5, 5]).LargestRangeN);
        Assert.Equal(0, FourPointCount.Of([]).Cycles);
        Assert.Equal(0, FourPointCount.Of([7]).Cycles);
    }
}
