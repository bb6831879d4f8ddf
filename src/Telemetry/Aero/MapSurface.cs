using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Double;

namespace Telemetry.Aero;

/// <summary>Both lift areas as second-order polynomials of both ride heights, with what their errors depend on.</summary>
/// <remarks>
/// Factors 1, x, y, x^2, sqrt(2) x y, y^2 with x and y the heights from the centre over one scale for both: a penalty on the squares of the last
/// three is then the same in every direction. Coefficients stand in the order front, rear. Intervals are put together as in
/// <see cref="AeroInterval"/>: CR2 over passes with Satterthwaite's degrees of freedom, and what all passes share, by the GUM (JCGM 100:2008, 5.1.2, G.4.1).
/// </remarks>
internal sealed record MapSurface
{
    /// <summary>Factors of one axle.</summary>
    public const int PerAxle = 6;

    /// <summary>Heights from which x and y are counted, m.</summary>
    public required HeightPair Centre { get; init; }

    /// <summary>Height that makes x or y 1, m.</summary>
    public required double ScaleM { get; init; }

    /// <summary>Coefficients, m2; front, then rear.</summary>
    public required double[] Theta { get; init; }

    /// <summary>Scatter from pass to pass.</summary>
    public required ClusterCovariance Covariance { get; init; }

    /// <summary>How the coefficients move by each error that passes share, one standard uncertainty large, m2.</summary>
    public required IReadOnlyList<Vector<double>> Shared { get; init; }

    /// <summary>Fills the factors at two ride heights.</summary>
    public void Factors(HeightPair at, Span<double> factors) => Factors((at.FrontM - Centre.FrontM) / ScaleM, (at.RearM - Centre.RearM) / ScaleM, factors);

    /// <summary>Fills the factors at scaled heights.</summary>
    public static void Factors(double x, double y, Span<double> factors)
    {
        factors[0] = 1;
        factors[1] = x;
        factors[2] = y;
        factors[3] = x * x;
        factors[4] = Math.Sqrt(2) * x * y;
        factors[5] = y * y;
    }

    /// <summary>Front and rear lift area, m2, without interval.</summary>
    public (double Front, double Rear) Value(HeightPair at)
    {
        Span<double> factors = stackalloc double[PerAxle];
        Factors(at, factors);
        return (Sum(factors, 0), Sum(factors, PerAxle));
    }

    /// <summary>The answer at two ride heights.</summary>
    public MapAnswer At(HeightPair at)
    {
        double[] factors = new double[PerAxle];
        Factors(at, factors);
        double front = Sum(factors, 0);
        double rear = Sum(factors, PerAxle);
        double total = front + rear;
        return new(
            Make(front, Contrast(factors, 1, 0)),
            Make(rear, Contrast(factors, 0, 1)),
            Make(total, Contrast(factors, 1, 1)),
            Make(100 * front / total, Contrast(factors, 100 * rear / (total * total), -100 * front / (total * total))));
    }

    /// <summary>Change along a direction, per metre of it.</summary>
    /// <param name="at">Where.</param>
    /// <param name="perFront">Front ride height per metre.</param>
    /// <param name="perRear">Rear ride height per metre.</param>
    public (Estimate Front, Estimate Rear, Estimate Total, Estimate BalancePct) Slope(HeightPair at, double perFront, double perRear)
    {
        double x = (at.FrontM - Centre.FrontM) / ScaleM;
        double y = (at.RearM - Centre.RearM) / ScaleM;
        double[] factors = new double[PerAxle];
        Factors(x, y, factors);
        double dx = perFront / ScaleM;
        double dy = perRear / ScaleM;
        double[] slopes = [0, dx, dy, 2 * x * dx, Math.Sqrt(2) * ((x * dy) + (y * dx)), 2 * y * dy];
        double front = Sum(factors, 0);
        double rear = Sum(factors, PerAxle);
        double total = front + rear;
        double frontSlope = Sum(slopes, 0);
        double rearSlope = Sum(slopes, PerAxle);

        // Balance 100 f / t; its slope 100 (f' r - f r') / t^2 and that slope's own derivatives.
        double balanceSlope = 100 * ((frontSlope * rear) - (front * rearSlope)) / (total * total);
        double perF = (-100 * rearSlope / (total * total)) - (2 * balanceSlope / total);
        double perR = (100 * frontSlope / (total * total)) - (2 * balanceSlope / total);
        Vector<double> ofBalance = Contrast(slopes, 100 * rear / (total * total), -100 * front / (total * total)) + Contrast(factors, perF, perR);
        return (
            Make(frontSlope, Contrast(slopes, 1, 0)),
            Make(rearSlope, Contrast(slopes, 0, 1)),
            Make(frontSlope + rearSlope, Contrast(slopes, 1, 1)),
            Make(balanceSlope, ofBalance));
    }

    /// <summary>Leverage of a place: how far the factors there lie from those that the passes bring, in the fit's own measure.</summary>
    /// <remarks>The diagonal of the hat matrix as it would be for a row there: D. Montgomery, E. Peck and G. Vining, Introduction to Linear Regression Analysis (5th ed., 2012), 3.8, "hidden extrapolation"; from memory.</remarks>
    public double Leverage(HeightPair at)
    {
        double[] factors = new double[PerAxle];
        Factors(at, factors);
        Vector<double> contrast = Contrast(factors, 1, 1);
        return contrast * (Covariance.Inverse * contrast);
    }

    private double Sum(ReadOnlySpan<double> factors, int first)
    {
        double sum = 0;
        for (int k = 0; k < PerAxle; k++)
        {
            sum += Theta[first + k] * factors[k];
        }

        return sum;
    }

    private static DenseVector Contrast(double[] factors, double perFront, double perRear) =>
        DenseVector.Create(2 * PerAxle, k => k < PerAxle ? perFront * factors[k] : perRear * factors[k - PerAxle]);

    private Estimate Make(double value, Vector<double> contrast)
    {
        double ofPasses = Covariance.Variance(contrast);
        double shared = 0;
        foreach (Vector<double> moved in Shared)
        {
            double effect = contrast * moved;
            shared += effect * effect;
        }

        double combined = ofPasses + shared;
        double degrees = ofPasses > 0
            ? Covariance.DegreesOfFreedom(contrast) * (combined / ofPasses) * (combined / ofPasses)
            : double.PositiveInfinity;

        // Below one degree of freedom the quantile explodes and says nothing; the interval is then that of one.
        double half = StudentQuantile.Coverage95(Math.Max(degrees, 1)) * Math.Sqrt(combined);
        return new Estimate(value, value - half, value + half);
    }
}
