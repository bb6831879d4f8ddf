using Telemetry.Aero;

namespace Telemetry.Tests.Aero;

public class StudentQuantileTests
{
    /// <summary>R 4.2.2 qt (regression/student_chisq_quantiles.csv).</summary>
    [Fact]
    public void Quantiles_agree_with_an_independent_program()
    {
        double[] probabilities = [0.9, 0.95, 0.975, 0.995];
        foreach (double[] row in CsvData.Numbers("regression", "student_chisq_quantiles.csv").Rows)
        {
            for (int k = 0; k < probabilities.Length; k++)
            {
                CsvData.AssertClose(row[k + 1], StudentQuantile.At(probabilities[k], row[0]), 1e-9);
            }
        }
    }

    [Fact]
    public void Many_degrees_of_freedom_give_the_normal_quantile()
    {
        Assert.Equal(StandardNormal.Quantile975, StudentQuantile.Coverage95(1e9), 1e-9);
        Assert.Equal(StandardNormal.Quantile975, StudentQuantile.Coverage95(double.PositiveInfinity), 1e-9);
    }

    /// <summary>With one degree of freedom it is the Cauchy distribution, whose quantile is tan(pi (p - 1/2)); with two, the closed form t = 2 (p - 1/2) sqrt(2 / (1 - (2p - 1)^2)).</summary>
    [Fact]
    public void One_and_two_degrees_of_freedom_have_closed_forms()
    {
        CsvData.AssertClose(Math.Tan(Math.PI * 0.475), StudentQuantile.Coverage95(1), 1e-9);
        CsvData.AssertClose(0.95 * Math.Sqrt(2 / (1 - (0.95 * 0.95))), StudentQuantile.Coverage95(2), 1e-9);
    }
}
