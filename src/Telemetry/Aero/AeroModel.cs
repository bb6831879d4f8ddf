using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Double;

namespace Telemetry.Aero;

/// <summary>One window as the model sees it.</summary>
/// <param name="FrontN">Front aero load by equation E4, N.</param>
/// <param name="RearN">Rear aero load, N.</param>
/// <param name="SpeedMps">Mean speed of the flow, m/s: road speed, or air speed where it is measured.</param>
/// <param name="SpeedSquared">Mean of its square, m2/s2.</param>
/// <param name="AccelerationX">Longitudinal specific force, m/s2.</param>
/// <param name="FrontHeightMm">Front ride height, mm; NaN when unknown.</param>
/// <param name="RearHeightMm">Rear ride height, mm; NaN when unknown.</param>
/// <param name="Cosine">Cosine of the pass's heading; 0 when unknown.</param>
/// <param name="Sine">Sine of it.</param>
/// <param name="Pass">Pass, from 0.</param>
internal readonly record struct ModelWindow(
    double FrontN,
    double RearN,
    double SpeedMps,
    double SpeedSquared,
    double AccelerationX,
    double FrontHeightMm,
    double RearHeightMm,
    double Cosine,
    double Sine,
    int Pass);

/// <summary>Aero load of both axles as dynamic pressure times a lift area that may vary, and the wind.</summary>
/// <remarks>
/// A = Q C for each axle, C linear in its coefficients (<see cref="LiftAreaBasis"/>); Q = rho (v + u)^2 / 2 with u the head wind, from components
/// north * cos(heading) + east * sin(heading). There is no intercept: without flow there is no aero load, and the zero is carried apart.
/// Coefficients stand in the order front, rear, north, east.
/// </remarks>
internal sealed record AeroModel(double DensityKgM3, LiftAreaBasis Basis, bool HasWind)
{
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
        Span<double> factors = stackalloc double[k];
        Span<double> slopes = stackalloc double[k];
        Basis.Factors(window, pressure, factors);
        Basis.FactorsPerPressure(window, pressure, slopes);
        frontRow.Clear();
        rearRow.Clear();
        double front = 0;
        double rear = 0;
        double frontSlope = 0;
        double rearSlope = 0;
        for (int j = 0; j < k; j++)
        {
            frontRow[j] = pressure * factors[j];
            rearRow[k + j] = pressure * factors[j];
            front += theta[j] * factors[j];
            rear += theta[k + j] * factors[j];
            frontSlope += theta[j] * slopes[j];
            rearSlope += theta[k + j] * slopes[j];
        }

        double frontPerWind = (front + (pressure * frontSlope)) * pressurePerWind;
        double rearPerWind = (rear + (pressure * rearSlope)) * pressurePerWind;
        if (HasWind)
        {
            frontRow[2 * k] = frontPerWind * window.Cosine;
            frontRow[(2 * k) + 1] = frontPerWind * window.Sine;
            rearRow[2 * k] = rearPerWind * window.Cosine;
            rearRow[(2 * k) + 1] = rearPerWind * window.Sine;
        }

        return (pressure * front, pressure * rear, frontPerWind, rearPerWind);
    }

    /// <summary>Loads at steady speed in still air, N.</summary>
    public (double FrontN, double RearN) Steady(double speedMps, ReadOnlySpan<double> theta)
    {
        double pressure = PressurePa(speedMps);
        (double front, double rear) = Basis.Steady(pressure, theta[..PerAxle], theta.Slice(PerAxle, PerAxle));
        return (pressure * front, pressure * rear);
    }

    /// <summary>How these loads change with each coefficient, by central differences.</summary>
    public (Vector<double> Front, Vector<double> Rear) SteadyContrasts(double speedMps, ReadOnlySpan<double> theta)
    {
        // The lift areas are smooth and of order 1: a step of 1e-5 leaves ten digits.
        const double Step = 1e-5;
        Vector<double> front = DenseVector.Create(Count, 0);
        Vector<double> rear = DenseVector.Create(Count, 0);
        double[] moved = theta.ToArray();
        for (int j = 0; j < 2 * PerAxle; j++)
        {
            moved[j] = theta[j] + Step;
            (double frontUp, double rearUp) = Steady(speedMps, moved);
            moved[j] = theta[j] - Step;
            (double frontDown, double rearDown) = Steady(speedMps, moved);
            moved[j] = theta[j];
            front[j] = (frontUp - frontDown) / (2 * Step);
            rear[j] = (rearUp - rearDown) / (2 * Step);
        }

        return (front, rear);
    }
}
