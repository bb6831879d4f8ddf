using System.Text.Json;
using MathNet.Numerics.LinearAlgebra;
using Telemetry.Aero;

namespace Telemetry.Tests.Aero;

/// <summary>Against sandwich 3.0-2 and clubSandwich 0.5.8 (regression/passes_*.json).</summary>
public class ClusterCovarianceTests
{
    private static readonly string[] Terms = ["(Intercept)", "q_pa"];

    [Theory]
    [InlineData("passes_8_unequal")]
    [InlineData("passes_12_outliers")]
    public void Standard_errors_agree_with_an_independent_program(string set)
    {
        Passes data = Passes.Load(set);
        JsonElement expected = data.Expected.GetProperty("ols_cluster");
        ClusterSums sums = data.Sums(RobustRegression.Fit(data.Design, data.Response, 2, RobustLoss.None)!, RobustLoss.None);
        Compare(sums, ClusterCorrection.Cr1, expected.GetProperty("clubSandwich_CR1_se"));
        Compare(sums, ClusterCorrection.Cr2, expected.GetProperty("clubSandwich_CR2_se"));
        Compare(sums, ClusterCorrection.Cr3, expected.GetProperty("clubSandwich_CR3_se"));

        double uncorrected = ClusterCovariance.From(sums, ClusterCorrection.Cr0)!.Matrix[1, 1];
        double corrected = ClusterCovariance.From(sums, ClusterCorrection.Cr1)!.Matrix[1, 1];
        CsvData.AssertClose(data.Clusters / (data.Clusters - 1.0), corrected / uncorrected, 1e-12);

        Matrix<double> matrix = ClusterCovariance.From(sums, ClusterCorrection.Cr2)!.Matrix;
        CsvData.AssertClose(expected.GetProperty("vcovCL_HC2_matrix")[0][1].GetDouble(), matrix[0, 1], 1e-8);
    }

    [Theory]
    [InlineData("passes_8_unequal")]
    [InlineData("passes_12_outliers")]
    public void Satterthwaite_degrees_of_freedom_and_limits_agree_with_an_independent_program(string set)
    {
        Passes data = Passes.Load(set);
        JsonElement expected = data.Expected.GetProperty("ols_cluster");
        RobustFit fit = RobustRegression.Fit(data.Design, data.Response, 2, RobustLoss.None)!;
        ClusterCovariance covariance = ClusterCovariance.From(data.Sums(fit, RobustLoss.None), ClusterCorrection.Cr2)!;
        for (int j = 0; j < 2; j++)
        {
            Vector<double> contrast = Vector<double>.Build.Dense(2);
            contrast[j] = 1;
            double degrees = covariance.DegreesOfFreedom(contrast);
            CsvData.AssertClose(expected.Number("clubSandwich_CR2_satterthwaite_df", Terms[j]), degrees, 1e-6);
            double half = StudentQuantile.Coverage95(degrees) * Math.Sqrt(covariance.Variance(contrast));
            JsonElement limits = expected.GetProperty("clubSandwich_CR2_ci95").GetProperty(Terms[j]);
            CsvData.AssertClose(limits[0].GetDouble(), fit.Coefficients[j] - half, 1e-7);
            CsvData.AssertClose(limits[1].GetDouble(), fit.Coefficients[j] + half, 1e-7);
        }
    }

    [Theory]
    [InlineData("passes_8_unequal", "huber")]
    [InlineData("passes_12_outliers", "huber")]
    [InlineData("passes_8_unequal", "bisquare")]
    [InlineData("passes_12_outliers", "bisquare")]
    public void Robust_fits_have_the_errors_of_an_independent_program(string set, string method)
    {
        Passes data = Passes.Load(set);
        RobustLoss loss = method == "huber" ? RobustLoss.Huber : RobustLoss.Bisquare;
        RobustFit fit = RobustRegression.Fit(data.Design, data.Response, 2, loss)!;
        JsonElement expected = data.Expected.GetProperty(method);
        CsvData.AssertClose(expected.Number("coefficients", "q_pa"), fit.Coefficients[1], 1e-7);
        Matrix<double> matrix = ClusterCovariance.From(data.Sums(fit, loss), ClusterCorrection.Cr1)!.Matrix;
        for (int j = 0; j < 2; j++)
        {
            CsvData.AssertClose(expected.GetProperty("vcovCL_HC0_se")[j].GetDouble(), Math.Sqrt(matrix[j, j]), 1e-6);
        }
    }

    [Fact]
    public void Two_balanced_clusters_of_a_mean_leave_one_degree_of_freedom()
    {
        // A mean over G equal clusters is a mean of G cluster means: G - 1 degrees of freedom, and CR2 is their variance over G.
        ClusterSums sums = new(1, 2);
        double[] means = [4, 6];
        for (int g = 0; g < 2; g++)
        {
            for (int i = 0; i < 5; i++)
            {
                sums.Add(g, [1], 1, means[g] - 5);
            }
        }

        ClusterCovariance covariance = ClusterCovariance.From(sums, ClusterCorrection.Cr2)!;
        Vector<double> contrast = Vector<double>.Build.Dense(1, 1);
        Assert.Equal(1, covariance.DegreesOfFreedom(contrast), 1e-9);
        Assert.Equal(1, covariance.Variance(contrast), 1e-9); // sample variance of {4, 6} is 2, over 2 clusters
    }

    private static void Compare(ClusterSums sums, ClusterCorrection correction, JsonElement expected)
    {
        Matrix<double> matrix = ClusterCovariance.From(sums, correction)!.Matrix;
        for (int j = 0; j < 2; j++)
        {
            CsvData.AssertClose(expected.Number(Terms[j]), Math.Sqrt(matrix[j, j]), 1e-8);
        }
    }

    private sealed record Passes(double[] Design, double[] Response, int[] Cluster, int Clusters, JsonElement Expected)
    {
        public static Passes Load(string set)
        {
            double[][] rows = CsvData.Numbers("regression", set + ".csv").Rows;
            int[] cluster = [.. rows.Select(r => (int)r[0] - 1)];
            return new(
                [.. rows.SelectMany(r => new[] { 1, r[1] })],
                [.. rows.Select(r => r[2])],
                cluster,
                cluster.Max() + 1,
                CsvData.Json("regression", set + ".json"));
        }

        public ClusterSums Sums(RobustFit fit, RobustLoss loss)
        {
            ClusterSums sums = new(2, Clusters);
            for (int i = 0; i < Response.Length; i++)
            {
                double z = loss == RobustLoss.None ? 0 : fit.Residuals[i] / fit.Scale;
                sums.Add(Cluster[i], Design.AsSpan(2 * i, 2), loss.Slope(z), loss.Weight(z) * fit.Residuals[i]);
            }

            return sums;
        }
    }
}
