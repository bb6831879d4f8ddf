using System.Globalization;
using Telemetry.Car;

namespace Telemetry.Tests.Car;

public class DetailCategoryTests
{
    [Fact]
    public void Knee_and_cut_off_are_those_of_the_standard()
    {
        // EN 1993-1-9:2005, clause 7.1 (from memory); table recomputed in Data/en_1993_1_9.
        string[] rows = [.. File.ReadLines(Repository.Data("en_1993_1_9", "en_1993_1_9.csv")).Skip(1).Where(l => l.Length > 0)];
        Assert.NotEmpty(rows);
        foreach (string row in rows)
        {
            double[] value = [.. row.Split(',').Select(c => double.Parse(c, CultureInfo.InvariantCulture))];
            SnLine line = DetailCategory.Line(value[0] * 1e6);
            SnPoint knee = Assert.Single(line.Points);
            Assert.Equal(5e6, knee.Cycles);
            Assert.Equal(1, knee.Range / (value[2] * 1e6), 1e-12);
            Assert.Equal(1, line.CutOffRange!.Value / (value[3] * 1e6), 1e-12);
            Assert.Equal((3.0, 5.0), (line.SlopeAbove, line.SlopeBelow!.Value));

            // log a of each slope: N = a S^-m, S in MPa.
            Assert.Equal(value[4], Math.Log10(knee.Cycles) + (3 * Math.Log10(knee.Range / 1e6)), 9);
            Assert.Equal(value[5], Math.Log10(knee.Cycles) + (5 * Math.Log10(knee.Range / 1e6)), 9);
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-71e6)]
    [InlineData(double.NaN)]
    public void A_category_that_is_no_stress_is_refused(double category) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => DetailCategory.Line(category));
}
