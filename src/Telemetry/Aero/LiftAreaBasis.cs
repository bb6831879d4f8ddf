using Telemetry.Car;

namespace Telemetry.Aero;

/// <summary>Lift areas of both axles under some load, and how they change.</summary>
internal struct LiftAreas
{
    /// <summary>Front lift area, m2.</summary>
    public double Front;

    /// <summary>Rear lift area, m2.</summary>
    public double Rear;

    /// <summary>Change of the front lift area with dynamic pressure, m2/Pa.</summary>
    public double FrontPerPressure;

    /// <summary>The same at the rear.</summary>
    public double RearPerPressure;

    /// <summary>Change of the front lift area with front aero load, m2/N: load lowers the car.</summary>
    public double FrontPerFrontN;

    /// <summary>Of the front lift area with rear aero load.</summary>
    public double FrontPerRearN;

    /// <summary>Of the rear lift area with front aero load.</summary>
    public double RearPerFrontN;

    /// <summary>Of the rear lift area with rear aero load.</summary>
    public double RearPerRearN;
}

/// <summary>What a lift area is a function of; linear in its coefficients.</summary>
internal abstract class LiftAreaBasis
{
    /// <summary>Number of coefficients of one axle; the first is the lift area at the reference condition.</summary>
    public abstract int Count { get; }

    /// <summary>What is believed of the coefficients of one axle: name and standard deviation as a share of the lift area; 0 for none.</summary>
    public abstract (string Name, double Share)[] Beliefs { get; }

    /// <summary>Lift areas in a window in which the axles carry given aero loads.</summary>
    /// <param name="window">The window.</param>
    /// <param name="pressurePa">Dynamic pressure, Pa.</param>
    /// <param name="frontN">Front aero load, N.</param>
    /// <param name="rearN">Rear aero load, N.</param>
    /// <param name="front">Coefficients of the front axle.</param>
    /// <param name="rear">Coefficients of the rear axle.</param>
    /// <param name="factors">Filled with the factors of the coefficients, the same for both axles; the first is 1.</param>
    public abstract LiftAreas At(in ModelWindow window, double pressurePa, double frontN, double rearN, ReadOnlySpan<double> front, ReadOnlySpan<double> rear, Span<double> factors);

    protected static double Sum(ReadOnlySpan<double> coefficients, ReadOnlySpan<double> factors)
    {
        double sum = 0;
        for (int k = 0; k < factors.Length; k++)
        {
            sum += coefficients[k] * factors[k];
        }

        return sum;
    }
}

/// <summary>Lift area against dynamic pressure and longitudinal acceleration, where no ride height is known.</summary>
/// <remarks>c0 + c1 x + c2 x^2 + d a_x with x = Q / Q0 - 1: ride height falls with load, and the body pitches under acceleration. The answer is that of a_x = 0.</remarks>
internal sealed class PressureBasis(double referencePressurePa, AeroOptions options) : LiftAreaBasis
{
    public override int Count => 4;

    public override (string Name, double Share)[] Beliefs { get; } =
    [
        ("", 0),
        ("", 0),
        (AeroEstimate.CurvaturePrior, options.CurvatureShare),
        (AeroEstimate.PitchPrior, options.PitchSharePerMps2),
    ];

    public override LiftAreas At(in ModelWindow window, double pressurePa, double frontN, double rearN, ReadOnlySpan<double> front, ReadOnlySpan<double> rear, Span<double> factors)
    {
        double x = (pressurePa / referencePressurePa) - 1;
        factors[0] = 1;
        factors[1] = x;
        factors[2] = x * x;
        factors[3] = window.AccelerationX;
        return new LiftAreas
        {
            Front = Sum(front, factors),
            Rear = Sum(rear, factors),
            FrontPerPressure = (front[1] + (2 * x * front[2])) / referencePressurePa,
            RearPerPressure = (rear[1] + (2 * x * rear[2])) / referencePressurePa,
        };
    }
}

/// <summary>Lift area against both ride heights, where they are measured.</summary>
/// <remarks>
/// c0 + c_f y_f + c_r y_r + c_ff y_f^2 + c_rr y_r^2, y in mm from the reference condition. The height of an axle is a function of its wheel load
/// (<see cref="SpringLine"/>, found from the measured heights), and that load is weight, transfer and aero load: accelerating, the nose is up and the tail
/// down against steady speed. The heights of single windows are not used as they are: they move with the very load whose scatter is to be averaged out,
/// along the spring, and a fit to them takes the stiffness of the springs for aerodynamics. What the links squeeze the tyres by while the car gains speed
/// (<see cref="LinkSqueeze"/>) comes beside.
/// </remarks>
internal sealed class RideHeightBasis(PerAxle<SpringLine> springs, PerAxle<double> referenceMm, AeroOptions options) : LiftAreaBasis
{
    public override int Count => 5;

    public override (string Name, double Share)[] Beliefs { get; } =
    [
        ("", 0),
        (AeroEstimate.HeightPrior, options.HeightSharePerMm),
        (AeroEstimate.HeightPrior, options.HeightSharePerMm),
        (AeroEstimate.CurvaturePrior, options.HeightCurvatureSharePerMm2),
        (AeroEstimate.CurvaturePrior, options.HeightCurvatureSharePerMm2),
    ];

    public override LiftAreas At(in ModelWindow window, double pressurePa, double frontN, double rearN, ReadOnlySpan<double> front, ReadOnlySpan<double> rear, Span<double> factors)
    {
        (double frontHeight, double frontSlope) = springs.Front.At(window.FrontWeightN + frontN);
        (double rearHeight, double rearSlope) = springs.Rear.At(window.RearWeightN + rearN);
        double f = frontHeight - window.FrontSqueezeMm - referenceMm.Front;
        double r = rearHeight - window.RearSqueezeMm - referenceMm.Rear;
        factors[0] = 1;
        factors[1] = f;
        factors[2] = r;
        factors[3] = f * f;
        factors[4] = r * r;
        return new LiftAreas
        {
            Front = Sum(front, factors),
            Rear = Sum(rear, factors),
            FrontPerFrontN = (front[1] + (2 * f * front[3])) * frontSlope,
            FrontPerRearN = (front[2] + (2 * r * front[4])) * rearSlope,
            RearPerFrontN = (rear[1] + (2 * f * rear[3])) * frontSlope,
            RearPerRearN = (rear[2] + (2 * r * rear[4])) * rearSlope,
        };
    }
}
