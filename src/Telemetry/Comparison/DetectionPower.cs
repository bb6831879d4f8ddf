namespace Telemetry.Comparison;

/// <summary>How small a difference could have been shown.</summary>
/// <param name="Smallest80">Difference that would be called real in 80 % of such comparisons, unit of the quantity.</param>
/// <param name="Smallest90">The same for 90 %.</param>
/// <param name="Wanted">Difference that is wanted, unit of the quantity.</param>
/// <param name="PowerAtWanted">Probability that it would be called real, 0 to 1.</param>
/// <param name="MoreLaps">Laps more in each run so that it would be in 90 %; 0 when it is already; null when no number of laps does it.</param>
/// <param name="MoreLapsRemark">What to do where laps do not help; empty otherwise.</param>
public sealed record DetectionPower(double Smallest80, double Smallest90, double Wanted, double PowerAtWanted, int? MoreLaps, string MoreLapsRemark)
{
    /// <summary>Power that is asked of a comparison.</summary>
    internal const double Target = 0.9;

    /// <summary>Laps more than this are another day.</summary>
    internal const int MostLaps = 200;

    private const double LowerTarget = 0.8;

    /// <summary>Probability that a two-sided test calls a true difference real.</summary>
    /// <param name="difference">True difference.</param>
    /// <param name="uncertainty">Standard uncertainty of the estimate.</param>
    /// <param name="degreesOfFreedom">Its degrees of freedom.</param>
    /// <param name="level">Probability of calling nothing something.</param>
    public static double Of(double difference, double uncertainty, double degreesOfFreedom, double level = 0.05)
    {
        double limit = NoncentralStudent.Quantile(1 - (level / 2), degreesOfFreedom);
        double delta = Math.Abs(difference) / uncertainty;
        return 1 - NoncentralStudent.Below(limit, degreesOfFreedom, delta) + NoncentralStudent.Below(-limit, degreesOfFreedom, delta);
    }

    /// <summary>The difference that is called real with a given probability.</summary>
    public static double Smallest(double power, double uncertainty, double degreesOfFreedom, double level = 0.05)
    {
        double low = 0;
        double high = NoncentralStudent.Quantile(1 - (level / 2), degreesOfFreedom) + 3;
        while (Of(high, 1, degreesOfFreedom, level) < power)
        {
            high *= 2;
        }

        for (int round = 0; round < 30; round++)
        {
            double middle = (low + high) / 2;
            (low, high) = Of(middle, 1, degreesOfFreedom, level) < power ? (middle, high) : (low, middle);
        }

        return uncertainty * (low + high) / 2;
    }

    /// <summary>Power of a comparison whose scatter shrinks with laps and whose systematic part does not.</summary>
    internal static DetectionPower From(double scatter, double scatterDegrees, double systematic, double wanted, double passes, double passesPerLap, int runs, string largestLine, double level = 0.05)
    {
        (double uncertainty, double degrees) = Combined(scatter, scatterDegrees, systematic);
        double now = Of(wanted, uncertainty, degrees, level);
        int? more = now >= Target ? 0 : LapsFor();
        return new(
            Smallest(LowerTarget, uncertainty, degrees, level),
            Smallest(Target, uncertainty, degrees, level),
            wanted,
            now,
            more,
            more is null ? $"More laps alone do not show it: the part that they do not shrink is too large, above all {largestLine}. Repeat the runs, or make that part smaller." : "");

        int? LapsFor()
        {
            if (!(passesPerLap > 0) || Power(MostLaps) < Target)
            {
                return null;
            }

            int low = 0;
            int high = MostLaps;
            while (high - low > 1)
            {
                int middle = (low + high) / 2;
                (low, high) = Power(middle) >= Target ? (low, middle) : (middle, high);
            }

            return high;
        }

        double Power(int laps)
        {
            double ratio = (passes + (laps * runs * passesPerLap)) / passes;
            (double u, double df) = Combined(scatter / Math.Sqrt(ratio), scatterDegrees * ratio, systematic);
            return Of(wanted, u, df, level);
        }
    }

    /// <summary>Scatter and systematic parts together; effective degrees of freedom by Welch and Satterthwaite (JCGM 100:2008, G.4.1), the systematic part known for certain.</summary>
    internal static (double Uncertainty, double DegreesOfFreedom) Combined(double scatter, double scatterDegrees, double systematic)
    {
        double variance = (scatter * scatter) + (systematic * systematic);
        double share = scatter > 0 ? variance / (scatter * scatter) : double.PositiveInfinity;
        return (Math.Sqrt(variance), Math.Max(1, scatterDegrees * share * share));
    }
}
