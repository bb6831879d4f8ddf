using MathNet.Numerics.LinearAlgebra;
using Telemetry.Comparison;
using Telemetry.Tests.Aero;

namespace Telemetry.Tests.Comparison;

public class ComparisonStatisticsTests
{
    private static readonly double[] First = [27.5, 21.0, 19.0, 23.6, 17.0, 17.9, 16.9, 20.1, 21.9, 22.6, 23.1, 19.6, 19.0, 21.7, 21.4];
    private static readonly double[] Second = [27.1, 22.0, 20.8, 23.4, 23.4, 23.5, 25.8, 22.0, 24.8];

    // SciPy 1.10.1 (comparison/noncentral_t.csv, see its SOURCE.md).
    [Fact]
    public void The_noncentral_distribution_agrees_with_an_independent_program()
    {
        foreach (double[] row in CsvData.Numbers("comparison", "noncentral_t.csv").Rows)
        {
            Assert.Equal(row[3], NoncentralStudent.Below(row[0], row[1], row[2]), 1e-9);
        }
    }

    // R, stats::power.t.test(n = 20, delta = 1, sd = 1): power = 0.8689528 (its documented example, from memory; SciPy 1.10.1 gives 0.86895280 without the far tail, 0.86895303 with it).
    [Fact]
    public void Power_agrees_with_a_published_example()
    {
        double uncertainty = Math.Sqrt(2.0 / 20);
        Assert.Equal(0.8689530275835383, DetectionPower.Of(1, uncertainty, 38), 1e-9);
        Assert.Equal(0.8689528, DetectionPower.Of(1, uncertainty, 38), 1e-6);
    }

    // R, power.t.test(power = .90, delta = 1): n = 22.02110 (its documented example, from memory), so at that n the smallest difference for 90 % is 1.
    [Fact]
    public void The_smallest_difference_is_the_power_read_backwards()
    {
        const double n = 22.02110;
        Assert.Equal(1, DetectionPower.Smallest(0.9, Math.Sqrt(2 / n), 2 * (n - 1)), 1e-5);
        Assert.Equal(0.8, DetectionPower.Of(DetectionPower.Smallest(0.8, 0.3, 7.5), 0.3, 7.5), 1e-9);
    }

    // The second sample less the first: SciPy 1.10.1 ttest_ind(equal_var=False): t = 2.878402952292628, difference 2.824444..., standard error 0.981254011775800.
    // Degrees of freedom of Bell and McCaffrey for two means, by hand: (1/n1 + 1/n2)^2 / (1/(n1^2 (n1 - 1)) + 1/(n2^2 (n2 - 1))) = 16.98578.
    [Fact]
    public void For_two_means_the_regression_is_the_test_of_Welch()
    {
        int n = First.Length + Second.Length;
        Matrix<double> design = Matrix<double>.Build.Dense(n, 2, (i, j) => j == 0 || i >= First.Length ? 1 : 0);
        PassRegression fit = PassRegression.Of(design, Vector<double>.Build.Dense([.. First, .. Second]), [double.PositiveInfinity, double.PositiveInfinity])!;
        Vector<double> contrast = Vector<double>.Build.Dense([0, 1]);
        (double uncertainty, double degrees) = fit.Scatter(contrast);
        Assert.Equal(2.824444444444449, fit.Theta[1], 1e-12);
        Assert.Equal(0.9812540117758003, uncertainty, 1e-12);
        Assert.Equal(16.985781990521325, degrees, 1e-9);
    }

    // JCGM 100:2008, G.4.1, by hand: u = 5 of 3 (12 degrees of freedom) and 4 (for certain): 12 (25 / 9)^2 = 92.59.
    [Fact]
    public void Degrees_of_freedom_grow_with_the_part_that_is_known_for_certain()
    {
        (double uncertainty, double degrees) = DetectionPower.Combined(3, 12, 4);
        Assert.Equal(5, uncertainty, 12);
        Assert.Equal(12 * 625.0 / 81, degrees, 9);
    }

    // Holm 1979 by hand: 0.005 x 4, 0.01 x 3, 0.03 x 2, then 0.04 x 1 held at the 0.06 before it.
    [Fact]
    public void Holm_multiplies_the_smallest_by_all_and_never_falls()
    {
        Assert.Equal([0.03, 0.06, 0.06, 0.02], HolmAdjustment.Of([0.01, 0.04, 0.03, 0.005]).Select(p => Math.Round(p, 12)));
        Assert.Equal([0.04], HolmAdjustment.Of([0.04]));
        Assert.Equal([1.0, 1.0], HolmAdjustment.Of([0.9, 0.6]));
        Assert.Equal([double.NaN, 0.01], HolmAdjustment.Of([double.NaN, 0.01]));
    }

    [Fact]
    public void More_laps_help_until_the_systematic_part_is_left()
    {
        DetectionPower helped = DetectionPower.From(0.6, 40, 0.2, 1.5, 54, 3, 3, "zero");
        Assert.True(helped.PowerAtWanted < 0.9 && helped.MoreLaps is > 0 and < 20);
        Assert.Equal(0, DetectionPower.From(0.1, 40, 0.2, 1.5, 54, 3, 3, "zero").MoreLaps);
        DetectionPower hopeless = DetectionPower.From(0.6, 40, 0.8, 1.5, 54, 3, 3, "zero FL");
        Assert.Null(hopeless.MoreLaps);
        Assert.Contains("zero FL", hopeless.MoreLapsRemark, StringComparison.Ordinal);
    }
}
