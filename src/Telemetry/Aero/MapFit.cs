using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Double;
using Telemetry.Car;

namespace Telemetry.Aero;

/// <summary>Fits the surface of a map.</summary>
/// <remarks>
/// A = Q C(heights) with C of second order. The heights of a window are not the measured ones but those that its run's springs take under the load
/// that the fit itself expects there: they then depend on speed, acceleration, fuel and static setting and not on the scatter of the very load that is
/// fitted (an instrument for the heights; two-stage least squares, iterated until heights and surface agree). Weights: independent noise on each axle
/// and a head wind of each pass's own, both found from the residuals. The curvature's penalty is chosen by leaving one pass out in turn.
/// </remarks>
internal sealed class MapFit
{
    private const int Rounds = 12;
    private const int HeightRounds = 6;
    private const double HuberBound = 1.345;

    private readonly MapRows data;
    private readonly IReadOnlyList<MapRow> rows;
    private readonly RideHeightMapOptions options;
    private readonly HeightPair[] heights;
    private readonly double[] hold;
    private readonly double frontArea;
    private readonly double rearArea;
    private double frontScale = 1;
    private double rearScale = 1;
    private double gustMps;
    private double[] theta = new double[2 * MapSurface.PerAxle];

    private MapFit(MapRows data, RideHeightMapOptions options)
    {
        this.data = data;
        this.options = options;
        rows = data.Rows;
        heights = new HeightPair[rows.Count];
        hold = new double[2 * rows.Count];
        Array.Fill(hold, 1);
        frontArea = OrderStatistics.Median([.. rows.Select(r => r.FrontN / r.PressurePa)]);
        rearArea = OrderStatistics.Median([.. rows.Select(r => r.RearN / r.PressurePa)]);
        theta[0] = frontArea;
        theta[MapSurface.PerAxle] = rearArea;
        frontScale = OrderStatistics.Median([.. rows.Select(r => Math.Abs(r.FrontN))]) / 100;
        rearScale = OrderStatistics.Median([.. rows.Select(r => Math.Abs(r.RearN))]) / 100;
    }

    /// <summary>Heights of each window.</summary>
    public IReadOnlyList<HeightPair> Heights => heights;

    /// <summary>The surface.</summary>
    public MapSurface Surface { get; private set; } = null!;

    /// <summary>Root mean square error at left-out passes, share of the total load.</summary>
    public double LeftOutErrorShare { get; private set; }

    /// <summary>Curvature that was chosen, share per mm2.</summary>
    public double CurvatureShare { get; private set; }

    /// <summary>Fits.</summary>
    /// <returns>Null when the windows do not determine a surface.</returns>
    public static MapFit? Of(MapRows data, RideHeightMapOptions options)
    {
        MapFit fit = new(data, options);
        return fit.frontArea > 0 && fit.rearArea > 0 && fit.Run() ? fit : null;
    }

    /// <summary>Ride heights of a steady condition by a run's springs and the surface.</summary>
    public HeightPair HeightsAt(int run, HeightTarget target) => Settle(data.Springs[run], target.PressurePa, target.FrontWeightN, target.RearWeightN, default);

    private bool Run()
    {
        int n = rows.Count;
        Surface = Empty(new(0, 0), 0.01);
        SetHeights(constant: true);
        Surface = Empty(new(heights.Average(h => h.FrontM), heights.Average(h => h.RearM)), Spread());
        theta = [.. Surface.Theta];
        double middle = options.CurvatureSharesPerMm2[options.CurvatureSharesPerMm2.Length / 2];
        for (int round = 0; round < Rounds; round++)
        {
            if (Solve(Sums(), Precision(middle)) is not { } found)
            {
                return false;
            }

            theta = found;
            Surface = Surface with { Theta = theta };
            SetHeights(constant: false);
            FindScales();
        }

        return n > 0 && Choose();
    }

    private MapSurface Empty(HeightPair centre, double scaleM) => new()
    {
        Centre = centre,
        ScaleM = scaleM,
        Theta = [.. Enumerable.Range(0, 2 * MapSurface.PerAxle).Select(k => k == 0 ? frontArea : k == MapSurface.PerAxle ? rearArea : 0)],
        Covariance = null!,
        Shared = [],
    };

    private double Spread()
    {
        double front = heights.Max(h => h.FrontM) - heights.Min(h => h.FrontM);
        double rear = heights.Max(h => h.RearM) - heights.Min(h => h.RearM);
        return Math.Max(Math.Max(front, rear) / 2, 1e-4);
    }

    private void SetHeights(bool constant)
    {
        for (int i = 0; i < heights.Length; i++)
        {
            MapRow row = rows[i];
            PerAxle<HeightLine> springs = data.Springs[row.Run];
            heights[i] = constant
                ? new(springs.Front.At(row.FrontWeightN + (row.PressurePa * frontArea)) - row.SqueezeM.FrontM, springs.Rear.At(row.RearWeightN + (row.PressurePa * rearArea)) - row.SqueezeM.RearM)
                : Settle(springs, row.PressurePa, row.FrontWeightN, row.RearWeightN, row.SqueezeM);
        }
    }

    private HeightPair Settle(PerAxle<HeightLine> springs, double pressurePa, double frontWeightN, double rearWeightN, HeightPair squeezeM)
    {
        (double front, double rear) = (frontArea, rearArea);
        HeightPair at = default;
        for (int round = 0; round < HeightRounds; round++)
        {
            at = new(springs.Front.At(frontWeightN + (pressurePa * front)) - squeezeM.FrontM, springs.Rear.At(rearWeightN + (pressurePa * rear)) - squeezeM.RearM);
            (front, rear) = Surface.Value(at);
        }

        return at;
    }

    /// <summary>Precisions of what is believed: slopes and curvatures about 0, in units of the scaled heights.</summary>
    private Vector<double> Precision(double curvatureShare)
    {
        double scaleMm = 1000 * Surface.ScaleM;
        return DenseVector.Create(2 * MapSurface.PerAxle, k =>
        {
            double area = k < MapSurface.PerAxle ? frontArea : rearArea;
            double deviation = (k % MapSurface.PerAxle) switch
            {
                0 => double.PositiveInfinity,
                1 or 2 => options.SlopeSharePerMm * area * scaleMm,
                _ => curvatureShare * area * scaleMm * scaleMm,
            };
            return 1 / (deviation * deviation);
        });
    }

    /// <summary>Normal equations of each pass, whitened, with the windows' loads as response.</summary>
    private ClusterSums Sums() => MapPasses.Sums(rows, heights, Surface, hold, frontScale, rearScale, gustMps, theta, data.Passes, (i, isFront) => isFront ? rows[i].FrontN : rows[i].RearN);

    private static double[]? Solve(ClusterSums sums, Vector<double> precision)
    {
        Matrix<double> total = DiagonalMatrix.OfDiagonal(precision.Count, precision.Count, precision).Add(DenseMatrix.Create(precision.Count, precision.Count, 0));
        Vector<double> pull = DenseVector.Create(precision.Count, 0);
        for (int g = 0; g < sums.Clusters; g++)
        {
            total += sums.Curvature[g];
            pull += sums.Score[g];
        }

        return Solve(total, pull);
    }

    private static double[]? Solve(Matrix<double> total, Vector<double> pull)
    {
        double[] result = [.. total.Solve(pull)];
        return result.All(double.IsFinite) ? result : null;
    }

    /// <summary>Scatter of both axles within passes, and of the head wind between them, by their moments; holds far residuals back (Huber).</summary>
    private void FindScales()
    {
        double[] front = new double[rows.Count];
        double[] rear = new double[rows.Count];
        double[] wind = MapPasses.Winds(rows, heights, Surface, frontScale, rearScale, data.Passes, front, rear, out double windVariance, out double noise);
        frontScale = Math.Max(OrderStatistics.NormalConsistency * OrderStatistics.Median([.. front.Select(Math.Abs)]), 1e-3 * frontArea * rows[0].PressurePa);
        rearScale = Math.Max(OrderStatistics.NormalConsistency * OrderStatistics.Median([.. rear.Select(Math.Abs)]), 1e-3 * rearArea * rows[0].PressurePa);
        gustMps = Math.Sqrt(Math.Max(0, windVariance - noise));
        for (int i = 0; i < rows.Count; i++)
        {
            hold[2 * i] = Math.Min(1, HuberBound / Math.Max(Math.Abs(front[i]) / frontScale, 1e-12));
            hold[(2 * i) + 1] = Math.Min(1, HuberBound / Math.Max(Math.Abs(rear[i]) / rearScale, 1e-12));
        }

        _ = wind;
    }

    /// <summary>Chooses the curvature by leaving one pass out, and makes the surface with its errors.</summary>
    private bool Choose()
    {
        ClusterSums sums = Sums();
        List<(double Share, double[] Theta, double Score, double[] ByPass)> tried = [];
        foreach (double share in options.CurvatureSharesPerMm2)
        {
            Vector<double> precision = Precision(share);
            if (Solve(sums, precision) is not { } found)
            {
                return false;
            }

            double[] byPass = MapPasses.LeftOut(sums, precision);
            tried.Add((share, found, byPass.Sum(), byPass));
        }

        // The smoothest of those within one standard error of the best, and what the others would change goes into the interval.
        tried = AsGood(tried);
        (double bestShare, double[] best, _, _) = tried.MinBy(one => one.Share);
        theta = best;
        CurvatureShare = bestShare;
        Vector<double> chosen = Precision(bestShare);
        Matrix<double> certain = DenseMatrix.Create(chosen.Count, chosen.Count, (i, j) => i == j ? chosen[i] : 0);

        // Scores of the covariance are those of the residuals: the response less the fit.
        ClusterSums residuals = MapPasses.Sums(rows, heights, Surface, hold, frontScale, rearScale, gustMps, theta, data.Passes, (i, isFront) => isFront ? rows[i].FrontN : rows[i].RearN);
        Vector<double> at = DenseVector.OfArray(theta);
        for (int g = 0; g < residuals.Clusters; g++)
        {
            residuals.Score[g] -= residuals.Curvature[g] * at;
        }

        if (ClusterCovariance.From(residuals, ClusterCorrection.Cr2, certain) is not { } covariance)
        {
            return false;
        }

        List<Vector<double>> moved = [];
        foreach ((double[] front, double[] rear) in data.Shared)
        {
            ClusterSums pull = MapPasses.Sums(rows, heights, Surface, hold, frontScale, rearScale, gustMps, theta, data.Passes, (i, isFront) => isFront ? front[i] : rear[i]);
            moved.Add(covariance.Inverse * pull.Score.Aggregate((a, b) => a + b));
        }

        AddBeliefs(moved, covariance, chosen);
        foreach ((_, double[] other, _, _) in tried)
        {
            moved.Add(DenseVector.OfEnumerable(other.Zip(best, (x, y) => (x - y) / Math.Sqrt(tried.Count))));
        }

        Surface = Surface with { Theta = theta, Covariance = covariance, Shared = moved };
        SetHeights(constant: false);
        LeftOutErrorShare = MapPasses.LeftOutShare(rows, heights, Surface, sums, chosen);
        return true;
    }

    /// <summary>What a belief could be off by: one standard deviation, for curvature at least the least allowed.</summary>
    private void AddBeliefs(List<Vector<double>> moved, ClusterCovariance covariance, Vector<double> chosen)
    {
        Vector<double> least = Precision(Math.Max(options.LeastCurvatureSharePerMm2, CurvatureShare));
        for (int k = 0; k < chosen.Count; k++)
        {
            if (chosen[k] > 0)
            {
                moved.Add(covariance.Inverse.Column(k) * (chosen[k] / Math.Sqrt(least[k])));
            }
        }
    }

    /// <summary>Every penalty whose score at left-out passes lies within one standard error of the best (L. Breiman and others, Classification and Regression Trees (1984), 3.4.3; from memory).</summary>
    private static List<(double Share, double[] Theta, double Score, double[] ByPass)> AsGood(List<(double Share, double[] Theta, double Score, double[] ByPass)> tried)
    {
        double[] best = tried.MinBy(one => one.Score).ByPass;
        return [.. tried.Where(one =>
        {
            double[] worse = [.. one.ByPass.Zip(best, (a, b) => a - b)];
            double mean = worse.Average();
            return mean <= Math.Sqrt(worse.Sum(w => (w - mean) * (w - mean)) / Math.Max(1, worse.Length - 1) / worse.Length);
        })];
    }
}
