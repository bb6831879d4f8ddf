using MathNet.Numerics.LinearAlgebra;

namespace Telemetry.Aero;

/// <summary>One window as the model sees it.</summary>
/// <param name="FrontN">Front aero load by equation E4, N.</param>
/// <param name="RearN">Rear aero load, N.</param>
/// <param name="SpeedMps">Mean speed of the flow, m/s: road speed, or air speed where it is measured.</param>
/// <param name="SpeedSquared">Mean of its square, m2/s2.</param>
/// <param name="AccelerationX">Longitudinal specific force, m/s2.</param>
/// <param name="FrontWeightN">What the front wheels carry beside the aero load, N: weight, crests, longitudinal transfer.</param>
/// <param name="RearWeightN">The same at the rear, N.</param>
/// <param name="Cosine">Cosine of the pass's heading; 0 when unknown.</param>
/// <param name="Sine">Sine of it.</param>
/// <param name="Pass">Pass, from 0.</param>
/// <param name="FrontSqueezeMm">How much lower than at steady speed under the same load the front stands, mm (<see cref="LinkSqueeze"/>).</param>
/// <param name="RearSqueezeMm">The same at the rear, mm.</param>
internal readonly record struct ModelWindow(
    double FrontN,
    double RearN,
    double SpeedMps,
    double SpeedSquared,
    double AccelerationX,
    double FrontWeightN,
    double RearWeightN,
    double Cosine,
    double Sine,
    int Pass,
    double FrontSqueezeMm = 0,
    double RearSqueezeMm = 0);

/// <summary>Aero load of both axles as dynamic pressure times a lift area that may vary, and the wind.</summary>
/// <remarks>
/// A = Q C for each axle, C linear in its coefficients (<see cref="LiftAreaBasis"/>) and, with ride heights, a function of A itself: solved by Newton's
/// method. Q = rho (v + u)^2 / 2 with u the head wind, from components north * cos(heading) + east * sin(heading). There is no intercept: without flow
/// there is no aero load, and the zero is carried apart. Coefficients stand in the order front, rear, north, east.
/// </remarks>
internal sealed record AeroModel(double DensityKgM3, LiftAreaBasis Basis, bool HasWind, double FrontWeightN, double RearWeightN)
{
    private const int MostRounds = 40;
    private const double SettledN = 1e-8;

    /// <summary>Coefficients of one axle.</summary>
    public int PerAxle => Basis.Count;

    /// <summary>Coefficients of all.</summary>
    public int Count => (2 * PerAxle) + (HasWind ? 2 : 0);

    /// <summary>Dynamic pressure in still air, Pa.</summary>
    public double PressurePa(double speedMps) => DensityKgM3 * speedMps * speedMps / 2;

    /// <summary>Loads of a window, how they change with head wind, and the rows of the design.</summary>
    /// <param name="window">The window.</param>
    /// <param name="theta">Coefficients.</param>
    /// <param name="frontRow">Filled with the front load's derivatives.</param>
    /// <param name="rearRow">Filled with the rear load's derivatives.</param>
    public (double FrontN, double RearN, double FrontPerWind, double RearPerWind) At(in ModelWindow window, ReadOnlySpan<double> theta, Span<double> frontRow, Span<double> rearRow)
    {
        int k = PerAxle;
        double wind = HasWind ? (theta[2 * k] * window.Cosine) + (theta[(2 * k) + 1] * window.Sine) : 0;
        double pressure = DensityKgM3 / 2 * (window.SpeedSquared + (2 * wind * window.SpeedMps) + (wind * wind));
        double pressurePerWind = DensityKgM3 * (window.SpeedMps + wind);
        ReadOnlySpan<double> front = theta[..k];
        ReadOnlySpan<double> rear = theta.Slice(k, k);
        Span<double> factors = stackalloc double[k];
        double frontN = pressure * front[0];
        double rearN = pressure * rear[0];
        LiftAreas areas = default;
        (double Ff, double Fr, double Rf, double Rr) back = default;
        for (int round = 0; round < MostRounds; round++)
        {
            areas = Basis.At(window, pressure, frontN, rearN, front, rear, factors);
            back = Feedback(areas, pressure);
            double missingFront = (pressure * areas.Front) - frontN;
            double missingRear = (pressure * areas.Rear) - rearN;
            frontN += (back.Ff * missingFront) + (back.Fr * missingRear);
            rearN += (back.Rf * missingFront) + (back.Rr * missingRear);
            if (Math.Abs(missingFront) + Math.Abs(missingRear) < SettledN)
            {
                break;
            }
        }

        frontRow.Clear();
        rearRow.Clear();
        for (int j = 0; j < k; j++)
        {
            double direct = pressure * factors[j];
            frontRow[j] = back.Ff * direct;
            frontRow[k + j] = back.Fr * direct;
            rearRow[j] = back.Rf * direct;
            rearRow[k + j] = back.Rr * direct;
        }

        double frontDirect = (areas.Front + (pressure * areas.FrontPerPressure)) * pressurePerWind;
        double rearDirect = (areas.Rear + (pressure * areas.RearPerPressure)) * pressurePerWind;
        double frontPerWind = (back.Ff * frontDirect) + (back.Fr * rearDirect);
        double rearPerWind = (back.Rf * frontDirect) + (back.Rr * rearDirect);
        if (HasWind)
        {
            frontRow[2 * k] = frontPerWind * window.Cosine;
            frontRow[(2 * k) + 1] = frontPerWind * window.Sine;
            rearRow[2 * k] = rearPerWind * window.Cosine;
            rearRow[(2 * k) + 1] = rearPerWind * window.Sine;
        }

        return (frontN, rearN, frontPerWind, rearPerWind);
    }

    /// <summary>Loads at steady speed in still air, N, and how they change with each coefficient.</summary>
    public (double FrontN, double RearN, Vector<double> Front, Vector<double> Rear) Steady(double speedMps, ReadOnlySpan<double> theta)
    {
        double[] front = new double[Count];
        double[] rear = new double[Count];
        ModelWindow steady = new(0, 0, speedMps, speedMps * speedMps, 0, FrontWeightN, RearWeightN, 0, 0, 0);
        (double frontN, double rearN, _, _) = At(steady, theta, front, rear);
        return (frontN, rearN, Vector<double>.Build.Dense(front), Vector<double>.Build.Dense(rear));
    }

    /// <summary>Inverse of (I - Q dC/dA): how much of a direct change of load is left when the car has settled on its springs.</summary>
    private static (double Ff, double Fr, double Rf, double Rr) Feedback(in LiftAreas areas, double pressure)
    {
        double a = 1 - (pressure * areas.FrontPerFrontN);
        double b = -pressure * areas.FrontPerRearN;
        double c = -pressure * areas.RearPerFrontN;
        double d = 1 - (pressure * areas.RearPerRearN);
        double determinant = (a * d) - (b * c);
        return (d / determinant, -b / determinant, -c / determinant, a / determinant);
    }
}
