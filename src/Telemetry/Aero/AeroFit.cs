using System.Collections.Immutable;
using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Double;

namespace Telemetry.Aero;

/// <summary>A prior belief in a coefficient: normal about 0 with this standard deviation.</summary>
/// <param name="Name">What is believed, as the budget names it.</param>
/// <param name="Coefficient">Index of the coefficient.</param>
/// <param name="StandardDeviation">Its standard deviation, unit of the coefficient.</param>
internal readonly record struct Prior(string Name, int Coefficient, double StandardDeviation);

/// <summary>The fitted model with what its errors depend on.</summary>
/// <remarks>
/// Windows of one pass share the air that they drove through, so their covariance is s^2 I + tau^2 z z', z the derivative of the load with head wind: a random head wind for each
/// pass beside independent noise. s is found from the residuals; tau is not, with few passes: all its values count with their weights (<see cref="GustScatter"/>), and the weights of
/// the windows take its mean. The cluster-robust covariance over passes (CR2), which holds if that picture is wrong, is kept beside it. Single windows are held back by Huber's
/// modified residuals about their pass (Huber and Ronchetti, 7.8.2). Priors keep what the log cannot tell within what is physically likely.
/// </remarks>
internal sealed class AeroFit
{
    private const int MostSteps = 80;

    /// <summary>
    /// Least scatter of a window, share of the load: friction of joints alone leaves the balance of a real car no closer. Without it a log that
    /// looks free of noise would let wind and ride height explain the last newtons of what is really an error of the balance.
    /// </summary>
    private const double LeastScatterShare = 0.003;

    /// <summary>The fit ends when no coefficient moves by more than this share of its standard error.</summary>
    private const double Settled = 1e-5;

    private readonly ModelWindow[] windows;
    private readonly int passes;
    private readonly IReadOnlyList<Prior> priors;
    private readonly double[] design;
    private readonly double[] score;
    private readonly double[] perWind;
    private readonly PassWhitening whitening;
    private readonly double[] precision;
    private readonly GustPrior gusts;
    private double typicalFrontN;
    private double typicalRearN;
    private double frontScale;
    private double rearScale;

    private AeroFit(AeroModel model, ModelWindow[] windows, int passes, IReadOnlyList<Prior> priors, GustPrior gusts)
    {
        Model = model;
        this.gusts = gusts;
        GustMps = gusts.ScaleMps;
        precision = new double[model.Count];
        foreach (Prior prior in priors)
        {
            precision[prior.Coefficient] += 1 / (prior.StandardDeviation * prior.StandardDeviation);
        }

        this.windows = windows;
        this.passes = passes;
        this.priors = priors;
        Theta = new double[model.Count];
        design = new double[2 * windows.Length * model.Count];
        score = new double[2 * windows.Length];
        perWind = new double[2 * windows.Length];
        whitening = new PassWhitening(windows, passes, perWind);
        PassWindMps = new double[passes];
    }

    public AeroModel Model { get; }

    /// <summary>Coefficients.</summary>
    public double[] Theta { get; }

    /// <summary>Standard deviation of the head wind from pass to pass that the residuals show, m/s.</summary>
    public double GustMps { get; private set; }

    /// <summary>Head wind of each pass beyond the steady one, m/s, shrunk to what the scatter supports.</summary>
    public double[] PassWindMps { get; }

    /// <summary>Every value that the scatter of head wind may have, with its weight and fit; empty before the end.</summary>
    public ImmutableArray<GustCase> Gusts { get; private set; } = [];

    /// <summary>What the passes add to the weighted normal equations.</summary>
    public ClusterSums Sums { get; private set; } = null!;

    /// <summary>Curvature that the priors add.</summary>
    public Matrix<double> PriorCurvature => DiagonalMatrix.OfDiagonal(Model.Count, Model.Count, precision);

    /// <summary>Cluster-robust covariance (CR2).</summary>
    public ClusterCovariance Covariance { get; private set; } = null!;

    /// <summary>Fits the model.</summary>
    /// <returns>Null when the windows do not determine the coefficients.</returns>
    public static AeroFit? Of(AeroModel model, ModelWindow[] windows, int passes, IReadOnlyList<Prior> priors, GustPrior gusts)
    {
        AeroFit fit = new(model, windows, passes, priors, gusts);
        return fit.Run() ? fit : null;
    }

    /// <summary>How the coefficients move when the loads of the windows do.</summary>
    public Vector<double> Influence(ReadOnlySpan<double> frontN, ReadOnlySpan<double> rearN)
    {
        double[] moved = new double[2 * windows.Length];
        for (int i = 0; i < windows.Length; i++)
        {
            moved[2 * i] = frontN[i] / frontScale;
            moved[(2 * i) + 1] = rearN[i] / rearScale;
        }

        whitening.Apply(moved, 1);
        int p = Model.Count;
        Vector<double> pull = DenseVector.Create(p, 0);
        for (int r = 0; r < moved.Length; r++)
        {
            for (int j = 0; j < p; j++)
            {
                pull[j] += design[(r * p) + j] * moved[r];
            }
        }

        return Covariance.Inverse * pull;
    }

    /// <summary>How the coefficients would move if the truth lay one standard deviation from a prior's centre.</summary>
    public Vector<double> Influence(Prior prior) =>
        Covariance.Inverse.Column(prior.Coefficient) / prior.StandardDeviation;

    private bool Run()
    {
        int p = Model.Count;
        int rows = 2 * windows.Length;
        Start();
        double[] augmented = new double[(rows + priors.Count) * p];
        double[] response = new double[rows + priors.Count];
        double[] step = new double[p];
        double[] unused = new double[response.Length];
        for (int pass = 0; pass < MostSteps; pass++)
        {
            Linearise();
            design.CopyTo(augmented, 0);
            score.CopyTo(response, 0);
            for (int k = 0; k < priors.Count; k++)
            {
                int row = rows + k;
                augmented.AsSpan(row * p, p).Clear();
                augmented[(row * p) + priors[k].Coefficient] = 1 / priors[k].StandardDeviation;
                response[row] = -Theta[priors[k].Coefficient] / priors[k].StandardDeviation;
            }

            if (!LeastSquares.TrySolve(augmented, response, p, step, unused, refine: false))
            {
                return false;
            }

            double largest = 0;
            for (int j = 0; j < p; j++)
            {
                double information = 0;
                for (int r = 0; r < response.Length; r++)
                {
                    information += augmented[(r * p) + j] * augmented[(r * p) + j];
                }

                Theta[j] += step[j];
                largest = Math.Max(largest, Math.Abs(step[j]) * Math.Sqrt(information));
            }

            if (!double.IsFinite(largest))
            {
                return false;
            }

            if (largest < Settled && pass > 0)
            {
                break;
            }
        }

        double slope = Linearise();
        return Close(slope);
    }

    /// <summary>Starts at a constant lift area.</summary>
    private void Start()
    {
        Theta[0] = OrderStatistics.Median([.. windows.Select(w => w.FrontN / (Model.DensityKgM3 * w.SpeedSquared / 2))]);
        Theta[Model.PerAxle] = OrderStatistics.Median([.. windows.Select(w => w.RearN / (Model.DensityKgM3 * w.SpeedSquared / 2))]);
        typicalFrontN = Math.Max(OrderStatistics.Median([.. windows.Select(w => Math.Abs(w.FrontN))]), 1);
        typicalRearN = Math.Max(OrderStatistics.Median([.. windows.Select(w => Math.Abs(w.RearN))]), 1);
    }

    /// <summary>Fills design and score about the present coefficients, whitened.</summary>
    /// <returns>Mean slope of the loss: how much of a small error comes through.</returns>
    private double Linearise()
    {
        int p = Model.Count;
        int n = windows.Length;
        double[] front = new double[n];
        double[] rear = new double[n];
        double[] frontWind = new double[n];
        double[] rearWind = new double[n];
        for (int i = 0; i < n; i++)
        {
            (double f, double r, frontWind[i], rearWind[i]) = Model.At(
                windows[i], Theta, design.AsSpan(2 * i * p, p), design.AsSpan(((2 * i) + 1) * p, p));
            front[i] = windows[i].FrontN - f;
            rear[i] = windows[i].RearN - r;
        }

        FindScales(front, rear, frontWind, rearWind);
        double slope = 0;
        for (int i = 0; i < n; i++)
        {
            double wind = PassWindMps[windows[i].Pass];
            perWind[2 * i] = frontWind[i] / frontScale;
            perWind[(2 * i) + 1] = rearWind[i] / rearScale;
            slope += Hold(front[i] / frontScale, 2 * i, wind) + Hold(rear[i] / rearScale, (2 * i) + 1, wind);
            for (int j = 0; j < p; j++)
            {
                design[(2 * i * p) + j] /= frontScale;
                design[(((2 * i) + 1) * p) + j] /= rearScale;
            }
        }

        FindGusts();
        whitening.Set(GustMps);
        whitening.Apply(design, p);
        whitening.Apply(score, 1);
        return slope / (2 * n);
    }

    private double Hold(double residual, int row, double wind)
    {
        double ofPass = wind * perWind[row];
        double own = residual - ofPass;
        score[row] = ofPass + (RobustLoss.Huber.Weight(own) * own);
        return RobustLoss.Huber.Slope(own);
    }

    /// <summary>Alternates between the head wind of each pass and the scatter that is left; three rounds bring both to rest for the purpose of weights.</summary>
    private void FindScales(double[] front, double[] rear, double[] frontWind, double[] rearWind)
    {
        int n = windows.Length;
        for (int round = 0; round < 3; round++)
        {
            double[] left = new double[n];
            for (int i = 0; i < n; i++)
            {
                left[i] = front[i] - (PassWindMps[windows[i].Pass] * frontWind[i]);
            }

            frontScale = Floor(RobustLosses.Scale(left), front: true);
            for (int i = 0; i < n; i++)
            {
                left[i] = rear[i] - (PassWindMps[windows[i].Pass] * rearWind[i]);
            }

            rearScale = Floor(RobustLosses.Scale(left), front: false);
            double[] weight = new double[passes];
            double[] pull = new double[passes];
            for (int i = 0; i < n; i++)
            {
                int pass = windows[i].Pass;
                double f = frontWind[i] / frontScale;
                double r = rearWind[i] / rearScale;
                weight[pass] += (f * f) + (r * r);
                pull[pass] += (f * front[i] / frontScale) + (r * rear[i] / rearScale);
            }

            double variance = GustMps * GustMps;
            for (int g = 0; g < passes; g++)
            {
                PassWindMps[g] = variance > 0 ? pull[g] / (weight[g] + (1 / variance)) : 0;
            }
        }

        double Floor(double scale, bool front) => Math.Max(scale, LeastScatterShare * (front ? typicalFrontN : typicalRearN));
    }

    /// <summary>Weighs all values of the scatter of head wind; the weights of the windows take the root of its mean square.</summary>
    private void FindGusts()
    {
        int p = Model.Count;
        PassSums[] sums = [.. Enumerable.Range(0, passes).Select(_ => new PassSums(p))];
        for (int r = 0; r < score.Length; r++)
        {
            sums[windows[r / 2].Pass].Add(design.AsSpan(r * p, p), perWind[r], score[r]);
        }

        ImmutableArray<GustCase> cases = GustScatter.Cases(sums, Theta, precision, gusts);
        if (!cases.IsEmpty)
        {
            Gusts = cases;
            GustMps = cases.Sum(c => c.Weight * c.GustMps);
        }
    }

    private bool Close(double slope)
    {
        int p = Model.Count;
        double[][] curvature = [.. Enumerable.Range(0, passes).Select(_ => new double[p * p])];
        double[][] pull = [.. Enumerable.Range(0, passes).Select(_ => new double[p])];
        for (int r = 0; r < score.Length; r++)
        {
            int pass = windows[r / 2].Pass;
            ReadOnlySpan<double> row = design.AsSpan(r * p, p);
            for (int j = 0; j < p; j++)
            {
                pull[pass][j] += row[j] * score[r] / slope;
                for (int k = 0; k < p; k++)
                {
                    curvature[pass][(j * p) + k] += row[j] * row[k];
                }
            }
        }

        ClusterSums sums = new(p, passes);
        for (int g = 0; g < passes; g++)
        {
            Matrix<double>.Build.DenseOfRowMajor(p, p, curvature[g]).CopyTo(sums.Curvature[g]);
            DenseVector.OfArray(pull[g]).CopyTo(sums.Score[g]);
        }

        Sums = sums;
        if (ClusterCovariance.From(sums, ClusterCorrection.Cr2, PriorCurvature) is not { } covariance)
        {
            return false;
        }

        Covariance = covariance;
        return true;
    }
}
