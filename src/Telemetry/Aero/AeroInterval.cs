using System.Collections.Immutable;
using MathNet.Numerics.Distributions;
using MathNet.Numerics.LinearAlgebra;

namespace Telemetry.Aero;

/// <summary>The answer at a speed with its interval: every scatter of the passes that the log allows, and the systematic parts.</summary>
/// <remarks>
/// Passes and priors by the model, all gust scatters mixed (<see cref="GustScatter"/>); systematic parts folded in as normal (JCGM 100:2008, 5.1.2). Chosen by measurement among
/// cluster-robust errors, wild bootstrap and this: the table stands in the stage's README. The model says that passes differ by their head wind. Where they differ in
/// another way by so much that the cluster-robust variance, which asks for no such picture, lies above the model's as chance would make it once in a hundred runs,
/// the cluster-robust interval (CR2, Satterthwaite; combined as G.4.1) counts where it is the wider.
/// </remarks>
internal sealed class AeroInterval(AeroFit fit, IReadOnlyList<SystematicPart> parts)
{
    /// <summary>The answer at one air speed.</summary>
    public AeroAtSpeed At(double speedMps)
    {
        (double a, double b, Vector<double> front, Vector<double> rear) = fit.Model.Steady(speedMps, fit.Theta);
        (double FrontN, double RearN, double Area, bool IsPrior)[] moved = [.. parts.Select(p =>
        {
            (double f, double r) = p.Loads(speedMps, front, rear);
            return (f, r, p.LiftAreaShare, p.IsPrior);
        })];
        double pressure = fit.Model.PressurePa(speedMps);
        double total = a + b;
        return new AeroAtSpeed(
            speedMps,
            Make(a, 1, 0, isArea: false),
            Make(b, 0, 1, isArea: false),
            Make(total, 1, 1, isArea: false),
            Make(a / pressure, 1 / pressure, 0, isArea: true),
            Make(b / pressure, 0, 1 / pressure, isArea: true),
            Make(total / pressure, 1 / pressure, 1 / pressure, isArea: true),
            Make(100 * a / total, 100 * b / (total * total), -100 * a / (total * total), isArea: false));

        Estimate Make(double value, double perFront, double perRear, bool isArea)
        {
            Vector<double> contrast = (perFront * front) + (perRear * rear);
            double systematic = 0;
            double beliefs = 0;
            foreach ((double f, double r, double share, bool isPrior) in moved)
            {
                double effect = (perFront * f) + (perRear * r) + (isArea ? share * value : 0);
                systematic += isPrior ? 0 : effect * effect;
                beliefs += isPrior ? effect * effect : 0;
            }

            double half = HalfWidth(fit.Gusts, contrast, systematic);
            if (ExceedsModel(contrast, beliefs))
            {
                half = Math.Max(half, ClusterRobust(contrast, systematic + beliefs));
            }

            return new Estimate(value, value - half, value + half);
        }
    }

    /// <summary>Whether the passes differ at a speed more than head winds explain.</summary>
    public bool ExceedsModel(double speedMps)
    {
        (_, _, Vector<double> front, Vector<double> rear) = fit.Model.Steady(speedMps, fit.Theta);
        return ExceedsModel(front, Beliefs(speedMps, front, rear, 1, 0)) || ExceedsModel(rear, Beliefs(speedMps, front, rear, 0, 1));
    }

    private double Beliefs(double speedMps, Vector<double> front, Vector<double> rear, double perFront, double perRear)
    {
        double sum = 0;
        foreach (SystematicPart part in parts)
        {
            (double f, double r) = part.Loads(speedMps, front, rear);
            double effect = (perFront * f) + (perRear * r);
            sum += part.IsPrior ? effect * effect : 0;
        }

        return sum;
    }

    /// <summary>F test of the cluster-robust variance against the model's, one-sided at 1 %; the model's has many windows behind it and counts as known.</summary>
    private bool ExceedsModel(Vector<double> contrast, double beliefs)
    {
        double robust = fit.Covariance.Variance(contrast);
        double model = OfModel(contrast) - beliefs;
        double degrees = Math.Max(LeastDegrees, fit.Covariance.DegreesOfFreedom(contrast));
        return robust > model * ChiSquared.InvCDF(degrees, 1 - FalseAlarms) / degrees;
    }

    private const double FalseAlarms = 0.01;

    private double ClusterRobust(Vector<double> contrast, double others)
    {
        double ofPasses = fit.Covariance.Variance(contrast);
        double combined = ofPasses + others;
        double degrees = fit.Covariance.DegreesOfFreedom(contrast) * (combined / ofPasses) * (combined / ofPasses);
        return StudentQuantile.Coverage95(Math.Max(degrees, LeastDegrees)) * Math.Sqrt(combined);
    }

    /// <summary>Variance by the model, all gust scatters mixed, priors in it.</summary>
    private double OfModel(Vector<double> contrast)
    {
        double[] asked = contrast.ToArray();
        double sum = 0;
        foreach (GustCase gust in fit.Gusts)
        {
            double moved = 0;
            for (int j = 0; j < asked.Length; j++)
            {
                moved += asked[j] * gust.Moved[j];
            }

            sum += gust.Weight * (gust.Variance(asked) + (moved * moved));
        }

        return sum;
    }

    /// <summary>
    /// Half width of the 95 % interval of contrast' * coefficients about the fit: each scatter that the gusts may have gives a normal distribution, they are mixed with their
    /// weights, and the systematic parts are folded in.
    /// </summary>
    /// <param name="cases">Scatters with their weights and fits.</param>
    /// <param name="contrast">What is asked of the coefficients.</param>
    /// <param name="systematic">Variance of the parts that all passes share and that are not in the priors.</param>
    internal static double HalfWidth(ImmutableArray<GustCase> cases, Vector<double> contrast, double systematic)
    {
        double[] asked = contrast.AsArray() ?? contrast.ToArray();
        double[] moved = new double[cases.Length];
        double[] deviation = new double[cases.Length];
        double high = 0;
        for (int i = 0; i < cases.Length; i++)
        {
            for (int j = 0; j < asked.Length; j++)
            {
                moved[i] += asked[j] * cases[i].Moved[j];
            }

            deviation[i] = Math.Sqrt(cases[i].Variance(asked) + systematic);
            high = Math.Max(high, Math.Abs(moved[i]) + (8 * deviation[i]));
        }

        double low = 0;
        for (int step = 0; step < Halvings; step++)
        {
            double middle = (low + high) / 2;
            double inside = 0;
            for (int i = 0; i < cases.Length; i++)
            {
                inside += cases[i].Weight * (Normal.CDF(moved[i], deviation[i], middle) - Normal.CDF(moved[i], deviation[i], -middle));
            }

            (low, high) = inside < Covered ? (middle, high) : (low, middle);
        }

        return high;
    }

    private const double Covered = 0.95;
    private const int Halvings = 40;

    /// <summary>Contributions to the loads at a speed, largest total first.</summary>
    public IEnumerable<UncertaintyPart> Budget(double speedMps)
    {
        (double a, double b, Vector<double> front, Vector<double> rear) = fit.Model.Steady(speedMps, fit.Theta);
        double pressure = fit.Model.PressurePa(speedMps);
        double perFront = 100 * b / ((a + b) * (a + b));
        double perRear = -100 * a / ((a + b) * (a + b));
        double f = Deviation(1, 0);
        double r = Deviation(0, 1);
        double t = Deviation(1, 1);
        List<UncertaintyPart> lines =
        [
            new("pass to pass", f, r, t, false, "More passes.")
            {
                FrontLiftAreaM2 = f / pressure,
                RearLiftAreaM2 = r / pressure,
                TotalLiftAreaM2 = t / pressure,
                BalanceFrontPct = Deviation(perFront, perRear),
                Input = FormattableString.Invariant($"{fit.PassWindMps.Length} passes, gusts {fit.GustMps:0.0} m/s"),
                DegreesOfFreedom = DegreesOfFreedom(speedMps),
            },
        ];
        foreach (SystematicPart part in parts)
        {
            (double df, double dr) = part.Loads(speedMps, front, rear);
            lines.Add(new(part.Name, Math.Abs(df), Math.Abs(dr), Math.Abs(df + dr), true, part.Remark)
            {
                FrontLiftAreaM2 = Math.Abs((df / pressure) + (part.LiftAreaShare * a / pressure)),
                RearLiftAreaM2 = Math.Abs((dr / pressure) + (part.LiftAreaShare * b / pressure)),
                TotalLiftAreaM2 = Math.Abs(((df + dr) / pressure) + (part.LiftAreaShare * (a + b) / pressure)),
                BalanceFrontPct = Math.Abs((perFront * df) + (perRear * dr)),
                Input = part.Input,
            });
        }

        double Deviation(double ofFront, double ofRear)
        {
            Vector<double> contrast = (ofFront * front) + (ofRear * rear);
            double beliefs = Beliefs(speedMps, front, rear, ofFront, ofRear);
            double variance = Math.Max(0, OfModel(contrast) - beliefs);
            return Math.Sqrt(ExceedsModel(contrast, beliefs) ? Math.Max(variance, fit.Covariance.Variance(contrast)) : variance);
        }

        return lines.GroupBy(l => l.Name).Select(Together).OrderByDescending(l => Math.Max(l.TotalLoadN, l.TotalLiftAreaM2 * pressure)).ThenBy(l => l.Name, StringComparer.Ordinal);
    }

    /// <summary>Parts of one name are independent of each other: front and rear, north and east.</summary>
    private static UncertaintyPart Together(IEnumerable<UncertaintyPart> lines)
    {
        UncertaintyPart[] all = [.. lines];
        return all.Length == 1 ? all[0] : all[0] with
        {
            FrontLoadN = Root(l => l.FrontLoadN),
            RearLoadN = Root(l => l.RearLoadN),
            TotalLoadN = Root(l => l.TotalLoadN),
            FrontLiftAreaM2 = Root(l => l.FrontLiftAreaM2),
            RearLiftAreaM2 = Root(l => l.RearLiftAreaM2),
            TotalLiftAreaM2 = Root(l => l.TotalLiftAreaM2),
            BalanceFrontPct = Root(l => l.BalanceFrontPct),
        };

        double Root(Func<UncertaintyPart, double> of) => Math.Sqrt(all.Sum(l => of(l) * of(l)));
    }

    /// <summary>Degrees of freedom of the total load's scatter from pass to pass.</summary>
    public double DegreesOfFreedom(double speedMps)
    {
        (_, _, Vector<double> front, Vector<double> rear) = fit.Model.Steady(speedMps, fit.Theta);
        return fit.Covariance.DegreesOfFreedom(front + rear);
    }

    /// <summary>Below one degree of freedom the quantile explodes and says nothing; the interval is then that of one.</summary>
    private const double LeastDegrees = 1;
}
