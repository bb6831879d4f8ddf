using Telemetry.Car;

namespace Telemetry.Aero;

/// <summary>What equation E4 takes from the car file and the sensors; each number can be moved alone, to see what it does.</summary>
internal sealed record BalanceTerms
{
    public required double WheelbaseM { get; init; }

    /// <summary>a, m.</summary>
    public required double BehindFrontAxleM { get; init; }

    public required double CentreHeightM { get; init; }

    public required double WithoutFuelKg { get; init; }

    public required double UnsprungKg { get; init; }

    /// <summary>eta of each axle when driving: no window with the brakes on reaches the balance.</summary>
    public required PerAxle<double> LinkageShare { get; init; }

    /// <summary>Factor on the load of each corner's change from standstill: 1 plus the error of ratio and gain.</summary>
    public double[] LoadFactor { get; init; } = [1, 1, 1, 1];

    /// <summary>Load of each corner at standstill, about which the factor turns, N.</summary>
    public required double[] StandstillLoadN { get; init; }

    /// <summary>Added to each corner's load while driving, N.</summary>
    public double[] LoadOffsetN { get; init; } = [0, 0, 0, 0];

    /// <summary>Added to the logged specific forces while driving, m/s2.</summary>
    public double OffsetX { get; init; }

    /// <summary>Added to the vertical one while driving, m/s2.</summary>
    public double OffsetZ { get; init; }

    /// <summary>Factor on the vertical specific force's difference from g.</summary>
    public double GainZ { get; init; } = 1;

    /// <summary>Factor on the longitudinal specific force.</summary>
    public double GainX { get; init; } = 1;

    /// <summary>Factor on the fuel burned since standstill.</summary>
    public double BurnFactor { get; init; } = 1;

    /// <summary>Fuel at standstill, kg.</summary>
    public required double StandstillFuelKg { get; init; }

    /// <summary>The car file's terms.</summary>
    public static BalanceTerms Of(CarDefinition car, double standstillFuelKg, double[] standstillLoadN) => new()
    {
        WheelbaseM = car.Geometry.WheelbaseM.Value,
        BehindFrontAxleM = car.Geometry.SprungCentreBehindFrontAxleM.Value,
        CentreHeightM = car.Geometry.CentreHeightM.Value,
        WithoutFuelKg = car.Masses.WithoutFuelKg.Value,
        UnsprungKg = car.Masses.UnsprungKg.Front + car.Masses.UnsprungKg.Rear,
        LinkageShare = new(car.Suspension.Front.LinkageShareDriving, car.Suspension.Rear.LinkageShareDriving),
        StandstillFuelKg = standstillFuelKg,
        StandstillLoadN = standstillLoadN,
    };
}

/// <summary>Aero load of front and rear from the balance of vertical forces and pitch moments (equation E4).</summary>
/// <remarks>
/// A_f = F_f - m_s a_z b / L + (1 - eta_f) m a_x h / L and A_r = F_r - m_s a_z a / L - (1 - eta_r) m a_x h / L, specific forces as accelerometers
/// read them. Brakes are off in every window that gets here, so eta is that of driving; engine braking is passed to the body by the same links.
/// What remains is the aero load that the springs see. Beside the load on the body it holds the moment of drag about the ground (+ D h_D / L at the
/// rear, - D h_D / L at the front) and, where links carry a share of the driving force, the share that holds against drag (- eta_r D h / L).
/// </remarks>
internal static class VerticalBalance
{
    /// <summary>Aero load of both axles in a window, N, before the standstill's remainder is taken off.</summary>
    public static (double FrontN, double RearN) Of(RunWindow window, BalanceTerms terms) => Of(
        window.LoadN,
        terms,
        (window.AccelerationX * terms.GainX) + terms.OffsetX,
        StandardGravity.Mps2 + ((window.AccelerationZ - StandardGravity.Mps2) * terms.GainZ) + terms.OffsetZ,
        terms.StandstillFuelKg + ((window.FuelKg - terms.StandstillFuelKg) * terms.BurnFactor),
        isStandstill: false);

    /// <summary>The same for given means.</summary>
    public static (double FrontN, double RearN) Of(
        ReadOnlySpan<double> loadN,
        BalanceTerms terms,
        double accelerationX,
        double accelerationZ,
        double fuelKg,
        bool isStandstill)
    {
        double mass = terms.WithoutFuelKg + fuelKg;
        double weight = (mass - terms.UnsprungKg) * accelerationZ;
        double transfer = mass * accelerationX * terms.CentreHeightM / terms.WheelbaseM;
        double behind = terms.BehindFrontAxleM / terms.WheelbaseM;
        double front = Corner(loadN, terms, 0, isStandstill) + Corner(loadN, terms, 1, isStandstill);
        double rear = Corner(loadN, terms, 2, isStandstill) + Corner(loadN, terms, 3, isStandstill);
        return (
            front - (weight * (1 - behind)) + ((1 - terms.LinkageShare.Front) * transfer),
            rear - (weight * behind) - ((1 - terms.LinkageShare.Rear) * transfer));
    }

    private static double Corner(ReadOnlySpan<double> loadN, BalanceTerms terms, int corner, bool isStandstill) =>
        isStandstill
            ? loadN[corner]
            : terms.StandstillLoadN[corner] + ((loadN[corner] - terms.StandstillLoadN[corner]) * terms.LoadFactor[corner]) + terms.LoadOffsetN[corner];
}
