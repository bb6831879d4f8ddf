using System.Text.Json;
using Telemetry.Car;
using Telemetry.CrossChecks;
using Telemetry.Runs;
using Telemetry.Simulation;
using Telemetry.Tests.Aero;

namespace Telemetry.Tests.CrossChecks;

/// <summary>The statistics by themselves: covariances and tails against an independent program, false alarms against draws from the model.</summary>
public class StatisticsTests
{
    [Theory]
    [InlineData("passes_8_unequal")]
    [InlineData("passes_12_outliers")]
    public void Cluster_robust_errors_agree_with_an_independent_program(string set)
    {
        // sandwich 3.0-2 vcovCL, type HC1: the factors G/(G-1) and (n-1)/(n-k). Ours has (G-1)/(G-3) besides, for Student's variance.
        double[][] columns = CsvData.Numbers("regression", set + ".csv").Rows;
        JsonElement expected = CsvData.Json("regression", set + ".json").GetProperty("ols_cluster");
        double[] ones = [.. columns.Select(_ => 1.0)];
        SharedRegression fit = SharedRegression.Of(
            [ones, [.. columns.Select(row => row[1])]],
            [[.. columns.Select(row => row[2])]],
            [.. Enumerable.Range(0, columns.Length)],
            [.. columns.Select(row => (int)row[0])]);
        int clusters = columns.Select(row => row[0]).Distinct().Count();
        string[] terms = ["(Intercept)", "q_pa"];
        for (int j = 0; j < 2; j++)
        {
            (double value, double variance) = fit.Combination(0, (j, 1));
            CsvData.AssertClose(expected.GetProperty("coefficients").GetProperty(terms[j]).GetDouble(), value, 1e-9);
            CsvData.AssertClose(expected.GetProperty("vcovCL_HC1_se").GetProperty(terms[j]).GetDouble(), Math.Sqrt(variance * (clusters - 3) / (clusters - 1)), 1e-8);
        }
    }

    [Fact]
    public void A_regressor_that_does_not_vary_or_that_others_make_up_tells_nothing()
    {
        double[] time = [.. Enumerable.Range(0, 60).Select(k => (double)k)];
        double[] ones = [.. time.Select(_ => 1.0)];
        double[] constant = [.. time.Select(_ => 3.0)];
        double[] twice = [.. time.Select(t => (2 * t) + 1)];
        double[] response = [.. time.Select(t => 5 + (2 * t))];
        SharedRegression fit = SharedRegression.Of([ones, time, constant, twice], [response], [.. Enumerable.Range(0, 60)], [.. Enumerable.Range(0, 60).Select(k => k / 6)]);
        Assert.Equal(double.PositiveInfinity, fit.Combination(0, (2, 1)).Variance);
        Assert.Single(new[] { 1, 3 }, j => double.IsInfinity(fit.Combination(0, (j, 1)).Variance));
    }

    [Fact]
    public void Tails_agree_with_an_independent_program()
    {
        // R 4.2.2 qchisq(0.975, df): the tail beyond it is 0.025.
        foreach (double[] row in CsvData.Numbers("regression", "student_chisq_quantiles.csv").Rows)
        {
            CsvData.AssertClose(0.025, SuspectSearch.Tail(row[6], (int)row[0]), 1e-9);
        }

        // Without a free number Markov's inequality: a likelihood ratio of 20 has at most one chance in 20.
        CsvData.AssertClose(1 / 20.0, SuspectSearch.Tail(2 * Math.Log(20), 0), 1e-12);
        Assert.Equal(1, SuspectSearch.Tail(-3, 1));
    }

    [Fact]
    public void Healthy_cars_as_far_from_the_model_as_is_allowed_raise_no_more_alarms_than_stated()
    {
        // Responses drawn from the model itself, every allowance used in full. One gain by itself is chi-square with one degree of freedom (Wilks): 5 % beyond 3.84.
        // All explanations together: 0.5 % is stated, so more than 2 of 100 have a probability of 1.4 %.
        const int Draws = 100;
        (Telemetry.Logs.RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        Run run = RunAssembly.From(log, car);
        ExpectedResponses expected = ExpectedResponses.Of(run, CrossCheckOptions.Default);
        SeededRandom random = new(20261, "healthy cars");
        int alarms = 0;
        int beyond = 0;
        for (int draw = 0; draw < Draws; draw++)
        {
            MotionResponses responses = Draw(random, expected);
            SingleStatements single = Draw(random);
            ResponseModel model = ResponseModel.Of(responses, expected, car, CrossCheckOptions.Default);
            FaultContext context = new(responses, expected, single, [1400, 1400, 1700, 1700], new(0.921, 0.84), new(0.85, 0.8));
            FaultFit fit = new(model, single);
            (var rounds, _, _) = SuspectSearch.Run(fit, FaultList.Of(run, context), context, CrossCheckOptions.Default);
            alarms += rounds[0].Found > 0 ? 1 : 0;
            beyond += rounds[0].Tested.Single(test => test.Fault.Subject == "load cell FL" && test.Fault.Kind == FaultKind.Gain).Hypothesis.LikelihoodGain > 3.84 ? 1 : 0;
        }

        Assert.True(alarms <= 2, $"{alarms} alarms in {Draws} draws");
        Assert.InRange(beyond, 0, 13);
    }

    /// <summary>A car that loads its wheels as expected, with an aero load, each response off by its allowance times a normal number.</summary>
    private static MotionResponses Draw(SeededRandom random, ExpectedResponses expected)
    {
        double[,] value = new double[8, 5];
        CrossCheckOptions options = CrossCheckOptions.Default;
        for (int s = 0; s < 8; s++)
        {
            Axle axle = s % 4 < 2 ? Axle.Front : Axle.Rear;
            double side = s % 2 == 0 ? -1 : 1;
            double roll = expected.RollMomentNm * (axle == Axle.Front ? expected.RollSplit / 1.56 : (1 - expected.RollSplit) / 1.51);
            double[] load = [2500, side * roll, expected.BrakingN[axle], expected.DrivingN[axle], expected.VerticalN[axle]];
            for (int m = 0; m < 5; m++)
            {
                double compliance = s < 4 ? 1
                    : m == 1 ? expected.RollCompliance[axle]!.Value
                    : m == 4 ? 0
                    : expected.HeaveCompliance(axle, m == 0 ? 2500 : 1250)!.Value;
                double size = Math.Abs(load[m] * compliance);
                double asymmetry = m == 4 ? 0.1 : s < 4 ? options.LoadAsymmetry : options.TravelAsymmetry;
                double leak = options.Leakage * 2500 * (s < 4 ? 1 : compliance);
                value[s, m] = (load[m] * compliance) + (double.Hypot(asymmetry * size, leak) * random.Normal());
            }
        }

        return new()
        {
            Value = value,
            SumVariance = new double[4, 5],
            DifferenceVariance = new double[4, 5],
            ReferenceSpeedMps = 70,
            LateralIsMeasured = true,
            LongitudinalIsMeasured = true,
        };
    }

    private static SingleStatements Draw(SeededRandom random)
    {
        double[] allowed = [160, 160, 160, 160, 0.03, 0.03, 0.03, 0.03, 0.006, 0.01, 0.03, 0.12, 0.12, 0.12, 0.12, 0.12, 0.006];
        SingleStatements single = new();
        for (int i = 0; i < allowed.Length; i++)
        {
            single.Measured[i] = SingleStatements.Expected(i) + (allowed[i] * random.Normal());
            single.Deviation[i] = allowed[i];
        }

        return single;
    }
}
