namespace Telemetry.Aero;

/// <summary>How uncertain both components of the wind are: passes and prior together, all gust scatters mixed.</summary>
/// <param name="NorthNorth">Variance of the component from north, m2/s2.</param>
/// <param name="NorthEast">Covariance of both, m2/s2.</param>
/// <param name="EastEast">Variance of the component from east, m2/s2.</param>
internal readonly record struct WindSpread(double NorthNorth, double NorthEast, double EastEast)
{
    /// <summary>0.95 quantile of chi square with two degrees of freedom: -2 log 0.05.</summary>
    private const double Inside95 = 5.991464547107979;

    /// <summary>Points of the grid along each axis, and how many standard deviations it spans to each side.</summary>
    private const int GridHalf = 24;
    private const double GridSpan = 4;

    /// <summary>Largest standard deviation in any direction, m/s.</summary>
    public double LargestMps => Math.Sqrt(Axes().Large);

    /// <summary>Direction in which that is, rad.</summary>
    public double LargestAlongRad => Axes().AngleRad;

    public static WindSpread Of(AeroFit fit, int first)
    {
        double[] contrast = new double[fit.Model.Count];
        double nn = Mixed(1, 0);
        double ee = Mixed(0, 1);
        return new(nn, (Mixed(1, 1) - nn - ee) / 2, ee);

        double Mixed(double north, double east)
        {
            contrast[first] = north;
            contrast[first + 1] = east;
            double sum = 0;
            foreach (GustCase gust in fit.Gusts)
            {
                double moved = (north * gust.Moved[first]) + (east * gust.Moved[first + 1]);
                sum += gust.Weight * (gust.Variance(contrast) + (moved * moved));
            }

            return sum;
        }
    }

    /// <summary>95 % limits of the wind's speed, and half width of its direction, for a normal distribution about an estimate, summed over a grid of the plane.</summary>
    /// <remarks>The lower limit is 0 where no wind at all lies inside the 95 % ellipse: a speed is never negative, so its estimate always lies above a calm.</remarks>
    public (double LowMps, double HighMps, double HalfAngleRad) Limits(double north, double east)
    {
        (double large, double small, double angle) = Axes();
        (double sine, double cosine) = Math.SinCos(angle);
        double a = Math.Sqrt(large);
        double b = Math.Sqrt(small);
        int side = (2 * GridHalf) + 1;
        double[] speeds = new double[side * side];
        double[] angles = new double[side * side];
        double[] speedWeights = new double[side * side];
        double[] angleWeights = new double[side * side];
        for (int i = 0; i < side; i++)
        {
            double u = GridSpan * (i - GridHalf) / GridHalf;
            for (int j = 0; j < side; j++)
            {
                double v = GridSpan * (j - GridHalf) / GridHalf;
                double n = north + (u * a * cosine) - (v * b * sine);
                double e = east + (u * a * sine) + (v * b * cosine);
                int k = (i * side) + j;
                speeds[k] = Math.Sqrt((n * n) + (e * e));
                angles[k] = Math.Abs(Math.Atan2((e * north) - (n * east), (n * north) + (e * east)));
                speedWeights[k] = angleWeights[k] = Math.Exp(-((u * u) + (v * v)) / 2);
            }
        }

        Array.Sort(speeds, speedWeights);
        Array.Sort(angles, angleWeights);
        double along = (north * cosine) + (east * sine);
        double across = (east * cosine) - (north * sine);
        bool calm = (along * along / Math.Max(large, double.Epsilon)) + (across * across / Math.Max(small, double.Epsilon)) < Inside95;
        return (calm ? 0 : Quantile(speeds, speedWeights, 0.025), Quantile(speeds, speedWeights, 0.975), calm ? Math.PI : Quantile(angles, angleWeights, 0.95));
    }

    private static double Quantile(double[] values, double[] weights, double share)
    {
        double total = 0;
        foreach (double weight in weights)
        {
            total += weight;
        }

        double sum = 0;
        for (int i = 0; i < values.Length; i++)
        {
            sum += weights[i];
            if (sum >= share * total)
            {
                return values[i];
            }
        }

        return values[^1];
    }

    private (double Large, double Small, double AngleRad) Axes()
    {
        double mean = (NorthNorth + EastEast) / 2;
        double half = double.Hypot((NorthNorth - EastEast) / 2, NorthEast);
        return (mean + half, Math.Max(0, mean - half), Math.Atan2(2 * NorthEast, NorthNorth - EastEast) / 2);
    }
}
