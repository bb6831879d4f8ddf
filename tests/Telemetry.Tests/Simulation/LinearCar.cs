using Telemetry.Car;
using Telemetry.Simulation;

namespace Telemetry.Tests.Simulation;

/// <summary>A car of constant ratios and linear springs, for which the handbook's formulas are exact.</summary>
internal static class LinearCar
{
    public const double G = 9.80665;

    public static CarDefinition Definition { get; } = new()
    {
        Name = "linear",
        Geometry = new CarGeometry(
            Measured.Exact(3.0), new PerAxle<double>(1.5, 1.5), Measured.Exact(1.6), Measured.Exact(0.3),
            new PerAxle<double>(0.02, 0.05), new PerAxle<double>(0.3, 0.31)),
        Masses = new CarMasses(Measured.Exact(700), new PerAxle<double>(60, 70), Measured.Exact(50), 0),
        Suspension = new PerAxle<AxleSuspension>(Axle(0.9, 0.8, 150_000, 40_000, 250_000), Axle(0.8, 0.75, 140_000, 20_000, 260_000)),
        Setup = new SetupSheet(null, 0, null, new PerAxle<double>(0.04, 0.07)),
        Channels = [],
    };

    public static Scenario Run { get; } = InventedCar.Scenario with
    {
        Name = "linear",
        TrueCar = new TrueCar
        {
            Hardware = new PerAxle<AxleHardware>(Hardware(6000), Hardware(6000)),
            PitchInertiaKgM2 = 600,
            RollInertiaKgM2 = 100,
        },
        Aero = new AeroDefinition(new LiftAreaMap(1.2), new LiftAreaMap(1.7), new PerAxle<double>(0.04, 0.07), 1.0, 0.35),
    };

    public static Vehicle Vehicle(CarDefinition? car = null, Scenario? scenario = null) => new(scenario ?? Run, car ?? Definition);

    /// <summary>Loads in equilibrium under a steady push.</summary>
    public static (Forces Forces, double[] State) Steady(Vehicle vehicle, Push push)
    {
        VehicleDynamics dynamics = new(vehicle);
        double[] state = new double[Motion.Size];
        Equilibrium.Solve(dynamics, push, state);
        return (dynamics.Now, state);
    }

    /// <summary>The push of level ground on a car of a mass.</summary>
    public static Push Level(double massKg) => new() { VerticalMps2 = G, MassKg = massKg };

    private static AxleSuspension Axle(double installation, double damper, double spring, double bar, double tyre) => new()
    {
        InstallationRatio = RatioCurve.Constant(installation),
        DamperRatio = RatioCurve.Constant(damper),
        LinkageShareBraking = 0.2,
        LinkageShareDriving = 0.3,
        SpringRateNpm = spring,
        AntiRollBarRateNpm = bar,
        TyreRateNpm = tyre,
    };

    private static AxleHardware Hardware(double damping) => new() { Damper = DamperDefinition.Linear(damping), TyreDampingNspm = 0 };
}
