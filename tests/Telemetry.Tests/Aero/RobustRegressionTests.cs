using System.Text.Json;
using Telemetry.Aero;

namespace Telemetry.Tests.Aero;

/// <summary>Against MASS::rlm (robust.json) and the values that other open test suites carry (robust_published.csv).</summary>
public class RobustRegressionTests
{
    [Theory]
    [InlineData("phones", 0, "rlm_huber")]
    [InlineData("phones", 0, "rlm_bisquare")]
    [InlineData("stackloss", 1, "rlm_huber")]
    [InlineData("stackloss", 1, "rlm_bisquare")]
    public void Coefficients_scale_weights_and_errors_agree_with_an_independent_program(string set, int position, string method)
    {
        (double[] design, double[] response, int columns) = Load(set);
        RobustLoss loss = method == "rlm_huber" ? RobustLoss.Huber : RobustLoss.Bisquare;
        JsonElement expected = CsvData.Json("regression", "robust.json").GetProperty("cases")[position].GetProperty(method);

        RobustFit fit = RobustRegression.Fit(design, response, columns, loss)!;

        Assert.True(fit.Converged);
        double[] coefficients = [.. expected.GetProperty("coefficients").EnumerateObject().Select(p => p.Value.GetDouble())];
        for (int j = 0; j < columns; j++)
        {
            CsvData.AssertClose(coefficients[j], fit.Coefficients[j], 1e-7);
        }

        CsvData.AssertClose(expected.Number("scale"), fit.Scale, 1e-7);
        double[] weights = [.. expected.GetProperty("weights").EnumerateArray().Select(w => w.GetDouble())];
        for (int i = 0; i < weights.Length; i++)
        {
            Assert.Equal(weights[i], fit.Weights[i], 1e-6);
        }
    }

    [Fact]
    public void Values_stored_in_other_test_suites_are_met_to_their_convergence()
    {
        (double[] design, double[] response, int columns) = Load("stackloss");
        Dictionary<string, int> place = new() { ["intercept"] = 0, ["air_flow"] = 1, ["water_temp"] = 2, ["acid_conc"] = 3 };
        foreach (string[] row in CsvData.Text("regression", "robust_published.csv").Where(r => r[0] == "stackloss"))
        {
            RobustLoss loss = row[1].StartsWith("huber", StringComparison.Ordinal) ? RobustLoss.Huber : RobustLoss.Bisquare;
            RobustFit fit = RobustRegression.Fit(design, response, columns, loss)!;
            double found = row[2] == "scale" ? fit.Scale : fit.Coefficients[place[row[2]]];
            CsvData.AssertClose(CsvData.Number(row[3]), found, 2e-4);
        }
    }

    [Fact]
    public void One_wild_row_in_twenty_moves_least_squares_but_not_the_bisquare()
    {
        double[] design = [.. Enumerable.Range(1, 20).Select(i => (double)i)];
        double[] response = [.. design.Select((x, i) => (3 * x) + (i % 2 == 0 ? 0.1 : -0.1))];
        response[17] += 500;

        Assert.True(Math.Abs(RobustRegression.Fit(design, response, 1, RobustLoss.None)!.Coefficients[0] - 3) > 1);
        Assert.Equal(3, RobustRegression.Fit(design, response, 1, RobustLoss.Bisquare)!.Coefficients[0], 0.01);
    }

    [Fact]
    public void Rows_that_are_met_exactly_give_the_line_and_no_scale()
    {
        RobustFit fit = RobustRegression.Fit([1, 2, 3, 4], [2, 4, 6, 8], 1, RobustLoss.Huber)!;
        Assert.Equal(2, fit.Coefficients[0], 1e-12);
        Assert.True(fit.Scale < 1e-12);
    }

    private static (double[] Design, double[] Response, int Columns) Load(string set)
    {
        double[][] rows = CsvData.Numbers("regression", set + ".csv").Rows;
        return set == "phones"
            ? ([.. rows.SelectMany(r => new[] { 1, r[0] })], [.. rows.Select(r => r[1])], 2)
            : ([.. rows.SelectMany(r => new[] { 1, r[0], r[1], r[2] })], [.. rows.Select(r => r[3])], 4);
    }
}
