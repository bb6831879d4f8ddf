using Telemetry.Car;

namespace Telemetry.Aero;

/// <summary>What a lift area is a function of.</summary>
internal abstract class LiftAreaBasis
{
    /// <summary>Number of coefficients of one axle; the first is the lift area at the reference condition.</summary>
    public abstract int Count { get; }

    /// <summary>Factors of the coefficients in a window.</summary>
    /// <param name="window">The window.</param>
    /// <param name="pressurePa">Its dynamic pressure, Pa.</param>
    /// <param name="factors">Filled; the first is 1.</param>
    public abstract void Factors(in ModelWindow window, double pressurePa, Span<double> factors);

    /// <summary>How the factors change with dynamic pressure, 1/Pa.</summary>
    public abstract void FactorsPerPressure(in ModelWindow window, double pressurePa, Span<double> factors);

    /// <summary>Lift areas of both axles at steady speed in still air, m2.</summary>
    public abstract (double Front, double Rear) Steady(double pressurePa, ReadOnlySpan<double> front, ReadOnlySpan<double> rear);

    /// <summary>What is believed of the coefficients of one axle beyond the first: name and standard deviation as a share of the lift area; 0 for none.</summary>
    public abstract (string Name, double Share)[] Beliefs { get; }

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

    public override void Factors(in ModelWindow window, double pressurePa, Span<double> factors)
    {
        double x = (pressurePa / referencePressurePa) - 1;
        factors[0] = 1;
        factors[1] = x;
        factors[2] = x * x;
        factors[3] = window.AccelerationX;
    }

    public override void FactorsPerPressure(in ModelWindow window, double pressurePa, Span<double> factors)
    {
        double x = (pressurePa / referencePressurePa) - 1;
        factors[0] = 0;
        factors[1] = 1 / referencePressurePa;
        factors[2] = 2 * x / referencePressurePa;
        factors[3] = 0;
    }

    public override (double Front, double Rear) Steady(double pressurePa, ReadOnlySpan<double> front, ReadOnlySpan<double> rear)
    {
        Span<double> factors = stackalloc double[4];
        Factors(default, pressurePa, factors);
        return (Sum(front, factors), Sum(rear, factors));
    }
}

/// <summary>Lift area against both ride heights, where they are measured.</summary>
/// <remarks>
/// c0 + c_f y_f + c_r y_r + c_ff y_f^2 + c_rr y_r^2, y in mm from the reference condition. The heights in a window are those that the car had there,
/// accelerating and on crests; the answer is that of steady speed, whose heights follow from the load that the springs then carry: the height of an axle is
/// a function of its wheel load (<see cref="SpringLine"/>), and the load one of the heights, so both are found together.
/// </remarks>
internal sealed class RideHeightBasis(PerAxle<SpringLine> springs, PerAxle<double> referenceMm, PerAxle<double> weightN, AeroOptions options) : LiftAreaBasis
{
    private const int MostRounds = 200;
    private const double SettledM2 = 1e-12;

    public override int Count => 5;

    public override (string Name, double Share)[] Beliefs { get; } =
    [
        ("", 0),
        (AeroEstimate.HeightPrior, options.HeightSharePerMm),
        (AeroEstimate.HeightPrior, options.HeightSharePerMm),
        (AeroEstimate.CurvaturePrior, options.HeightCurvatureSharePerMm2),
        (AeroEstimate.CurvaturePrior, options.HeightCurvatureSharePerMm2),
    ];

    public override void Factors(in ModelWindow window, double pressurePa, Span<double> factors) =>
        Fill(window.FrontHeightMm - referenceMm.Front, window.RearHeightMm - referenceMm.Rear, factors);

    public override void FactorsPerPressure(in ModelWindow window, double pressurePa, Span<double> factors) => factors.Clear();

    public override (double Front, double Rear) Steady(double pressurePa, ReadOnlySpan<double> front, ReadOnlySpan<double> rear)
    {
        Span<double> factors = stackalloc double[5];
        double frontArea = front[0];
        double rearArea = rear[0];
        for (int round = 0; round < MostRounds; round++)
        {
            Fill(
                springs.Front.HeightMm(weightN.Front + (pressurePa * frontArea)) - referenceMm.Front,
                springs.Rear.HeightMm(weightN.Rear + (pressurePa * rearArea)) - referenceMm.Rear,
                factors);
            double nextFront = Sum(front, factors);
            double nextRear = Sum(rear, factors);
            double moved = Math.Abs(nextFront - frontArea) + Math.Abs(nextRear - rearArea);
            frontArea = nextFront;
            rearArea = nextRear;
            if (moved < SettledM2)
            {
                break;
            }
        }

        return (frontArea, rearArea);
    }

    private static void Fill(double front, double rear, Span<double> factors)
    {
        factors[0] = 1;
        factors[1] = front;
        factors[2] = rear;
        factors[3] = front * front;
        factors[4] = rear * rear;
    }
}
