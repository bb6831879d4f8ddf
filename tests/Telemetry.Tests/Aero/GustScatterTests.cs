using Telemetry.Aero;

namespace Telemetry.Tests.Aero;

/// <summary>The restricted likelihood of the gusts against closed forms that a calculation by hand gives.</summary>
public class GustScatterTests
{
    /// <summary>
    /// One coefficient, a mean; every pass has n windows whose derivative with wind is 1. Then the pass means are normal with variance s^2 = tau^2 + 1/n and the restricted
    /// likelihood of them is s^-(G-1) exp(-S / (2 s^2)), S their sum of squares about the mean: written out here without matrices.
    /// </summary>
    [Fact]
    public void Of_balanced_passes_the_weights_are_those_of_a_variance_of_means()
    {
        double[] means = [1.2, -0.4, 0.3, 2.0, -1.1];
        const int Windows = 6;
        GustPrior prior = new(1, 0.4, 0.1);
        PassSums[] sums = [.. means.Select(m => Pass(m, Windows))];
        var cases = GustScatter.Cases(sums, [0], [0], prior);
        double mean = means.Average();
        double squares = means.Sum(m => (m - mean) * (m - mean));
        double Likelihood(double tau)
        {
            double variance = (tau * tau) + (1.0 / Windows);
            return Math.Pow(variance, -(means.Length - 1) / 2.0) * Math.Exp(-squares / (2 * variance));
        }

        // 0.6 of a half-Cauchy of scale 1 and 0.4 of one of scale 0.1: 2 / pi left out of both.
        static double Believed(double tau) => (0.6 / (1 + (tau * tau))) + (0.4 * 0.1 / (0.01 + (tau * tau)));

        // Neighbours on the grid stand for equal stretches of log tau, so their weights go as tau * likelihood * prior.
        GustCase first = cases[10];
        foreach (GustCase other in cases.Skip(1))
        {
            double expected = other.GustMps * Believed(other.GustMps) * Likelihood(other.GustMps) / (first.GustMps * Believed(first.GustMps) * Likelihood(first.GustMps));
            Assert.Equal(expected, other.Weight / first.Weight, 1e-8 * expected);

            // Generalised least squares of balanced groups is the plain mean, with variance s^2 / G.
            double variance = ((other.GustMps * other.GustMps) + (1.0 / Windows)) / means.Length;
            Assert.Equal(mean, other.Moved[0], 1e-9);
            Assert.Equal(variance, other.Variance([1]), 1e-9 * variance);
        }

        Assert.Equal(1, cases.Sum(c => c.Weight), 1e-12);
    }

    /// <summary>
    /// With no prior to speak of (a scale far above the scatter) and passes that are known exactly, the mixture is Student's t: a prior flat in tau gives G - 2 degrees
    /// of freedom, t = (mean - mu) / (sqrt(S / (G - 2)) / sqrt(G)) (Gelman, Bayesian Data Analysis, 3rd ed., 5.7, from memory; the integral is elementary).
    /// </summary>
    [Fact]
    public void Of_many_windows_the_mixture_is_students_distribution()
    {
        double[] means = [1.2, -0.4, 0.3, 2.0, -1.1, 0.7];
        double mean = means.Average();
        PassSums[] sums = [.. means.Select(m => Pass(m - mean, 1_000_000))];
        var cases = GustScatter.Cases(sums, [mean], [0], new GustPrior(30, 0, 1));
        double half = AeroInterval.HalfWidth(cases, MathNet.Numerics.LinearAlgebra.Vector<double>.Build.Dense([1.0]), 0);
        double squares = means.Sum(m => (m - mean) * (m - mean));
        int g = means.Length;
        double expected = StudentQuantile.Coverage95(g - 2) * Math.Sqrt(squares / (g - 2) / g);

        // The grid's steps of a fifth in tau and the tail of the prior cost a little.
        Assert.Equal(expected, half, 0.02 * expected);
    }

    /// <summary>A prior is a distribution: half of a breeze lies below its scale (median of a half-Cauchy), and shares mix. Summed by the midpoint rule over the arctangent.</summary>
    [Theory]
    [InlineData(0, 1, 0.5)]
    [InlineData(1, 0.05, 0.5)]
    [InlineData(0.5, 0.05, 0.265902)] // below 0.05: half of half, and half of 2/pi atan(0.05)
    public void The_prior_of_gusts_has_its_mass_where_it_says(double calmShare, double belowMps, double share)
    {
        GustPrior prior = new(1, calmShare, 0.05);
        double Mass(double to)
        {
            const int Steps = 200_000;
            double end = Math.Atan(to / 0.05);
            double sum = 0;
            for (int i = 0; i < Steps; i++)
            {
                double tau = 0.05 * Math.Tan(end * (i + 0.5) / Steps);
                sum += prior.Density(tau) * 0.05 * (1 + (tau * tau / 0.0025)) * end / Steps;
            }

            return sum;
        }

        Assert.Equal(share, Mass(belowMps) / Mass(double.PositiveInfinity), 1e-4);
    }

    [Fact]
    public void A_systematic_part_alone_gives_the_normal_interval()
    {
        GustCase certain = new(0, 1, [0], [1e9]);
        Assert.Equal(1.959963984540054 * 3, AeroInterval.HalfWidth([certain], MathNet.Numerics.LinearAlgebra.Vector<double>.Build.Dense([1.0]), 9), 1e-6);
    }

    [Fact]
    public void Coefficients_that_nothing_determines_give_no_case()
    {
        PassSums pass = new(2);
        pass.Add([1, 2], 1, 0.3);
        pass.Add([2, 4], 1, 0.1);
        Assert.Empty(GustScatter.Cases([pass], [0, 0], [0, 0], new GustPrior(1, 0, 1)));
    }

    private static PassSums Pass(double mean, int windows)
    {
        PassSums sums = new(1);
        double root = Math.Sqrt(windows);

        // Rows of one value may be gathered into one row of root(n) times the value: the squares within it do not depend on tau.
        sums.Add([root], root, root * mean);
        return sums;
    }
}
