using System.Text.Json;
using CsCheck;
using Telemetry.Aero;

namespace Telemetry.Tests.Aero;

public class LeastSquaresTests
{
    /// <summary>NIST StRD certified coefficients; log relative error as NIST defines it.</summary>
    [Theory]
    [InlineData("Norris", 9)]
    [InlineData("NoInt1", 9)]
    [InlineData("Longley", 9)]
    [InlineData("Wampler1", 9)]
    [InlineData("Wampler3", 9)]
    [InlineData("Wampler5", 9)]
    [InlineData("Filip", 7)]
    public void Certified_coefficients_come_out_to_nine_digits(string name, double digits)
    {
        double[][] rows = CsvData.Numbers("nist_strd", name + ".csv").Rows;
        JsonElement certificate = CsvData.Json("nist_strd", "certified.json").GetProperty("linear_regression")
            .EnumerateArray().First(e => e.GetProperty("name").GetString() == name);
        double[] certified = [.. certificate.GetProperty("parameters").EnumerateArray()
            .Select(p => CsvData.Number(p.GetProperty("estimate").GetString()!))];
        int columns = certified.Length;
        double[] design = [.. rows.SelectMany(r => Row(name, r, columns))];
        double[] response = [.. rows.Select(r => r[0])];
        double[] coefficients = new double[columns];
        double[] residuals = new double[response.Length];

        Assert.True(LeastSquares.TrySolve(design, response, columns, coefficients, residuals));

        double worst = certified.Zip(coefficients, (c, f) => c == f ? 15 : Math.Min(15, -Math.Log10(Math.Abs((f - c) / c)))).Min();
        Assert.True(worst >= digits, $"{name}: {worst:F2} right digits");

        double sigma = CsvData.Number(certificate.GetProperty("residual_standard_deviation").GetString()!);
        double found = Math.Sqrt(residuals.Sum(r => r * r) / (response.Length - columns));
        Assert.Equal(sigma, found, 1e-9 * Math.Max(1, sigma));
    }

    [Fact]
    public void A_sum_of_columns_is_found_again() =>
        Gen.Select(Gen.Double[-100, 100].Array[12], Gen.Double[-100, 100].Array[4]).Sample(
            (numbers, truth) =>
            {
                // 24 rows, four columns that are independent for any numbers: a constant, a step, a ramp, and the numbers twice.
                double[] design = new double[24 * 4];
                double[] response = new double[24];
                for (int i = 0; i < 24; i++)
                {
                    double[] row = [1, i < 12 ? 0 : 1, i, (i % 5) + (numbers[i % 12] / 1000)];
                    row.CopyTo(design, i * 4);
                    response[i] = row.Zip(truth, (x, b) => x * b).Sum();
                }

                double[] found = new double[4];
                Assert.True(LeastSquares.TrySolve(design, response, 4, found, new double[24]));
                for (int j = 0; j < 4; j++)
                {
                    Assert.Equal(truth[j], found[j], 1e-9);
                }
            },
            seed: "0000aeroLSQ01",
            iter: 200);

    [Fact]
    public void Columns_that_depend_on_each_other_have_no_answer() =>
        Assert.False(LeastSquares.TrySolve([1, 2, 2, 4, 3, 6], [1, 2, 4], 2, new double[2], new double[3]));

    [Fact]
    public void A_column_of_nothing_has_no_answer() =>
        Assert.False(LeastSquares.TrySolve([1, 0, 2, 0, 3, 0], [1, 2, 4], 2, new double[2], new double[3]));

    [Fact]
    public void Fewer_rows_than_coefficients_have_no_answer() =>
        Assert.False(LeastSquares.TrySolve([1, 2], [1], 2, new double[2], new double[1]));

    private static IEnumerable<double> Row(string name, double[] record, int columns) => name switch
    {
        "NoInt1" => [record[1]],
        "Norris" => [1, record[1]],
        "Longley" => [1, .. record.Skip(1)],
        _ => Enumerable.Range(0, columns).Select(k => Power(record[1], k)),
    };

    private static double Power(double x, int k)
    {
        double power = 1;
        for (int i = 0; i < k; i++)
        {
            power *= x;
        }

        return power;
    }
}
