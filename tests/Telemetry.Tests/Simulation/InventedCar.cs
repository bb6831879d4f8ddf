using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Simulation;

namespace Telemetry.Tests.Simulation;

/// <summary>An invented single-seater and circuit for the simulator's tests.</summary>
internal static class InventedCar
{
    private const double Degree = Math.PI / 180;

    public static CarDefinition Car { get; } = new()
    {
        Name = "Test car",
        LapLengthM = 3223.535,
        Geometry = new CarGeometry(
            Measured.Exact(2.95), new PerAxle<double>(1.6, 1.55), Measured.Exact(1.62), Measured.Exact(0.29),
            new PerAxle<double>(0.02, 0.05), new PerAxle<double>(0.32, 0.33)),
        Masses = new CarMasses(Measured.Exact(640), new PerAxle<double>(56, 66), Measured.Exact(45), 2.0),
        Suspension = new PerAxle<AxleSuspension>(
            new AxleSuspension
            {
                InstallationRatio = RatioCurve.Table([new(-0.03, 0.80), new(0, 0.78), new(0.03, 0.75), new(0.06, 0.71)]),
                DamperRatio = RatioCurve.Table([new(-0.03, 0.74), new(0, 0.72), new(0.03, 0.70), new(0.06, 0.67)]),
                LinkageShareBraking = 0.25,
                LinkageShareDriving = 0,
                SpringRateNpm = 180_000,
                AntiRollBarRateNpm = 160_000,
                TyreRateNpm = 260_000,
                Third = new ThirdElement(120_000, 0.004, 0.016, [new(0, 0), new(0.005, 2000), new(0.010, 8000), new(0.015, 20000)]),
            },
            new AxleSuspension
            {
                InstallationRatio = RatioCurve.Table([new(-0.03, 0.74), new(0, 0.73), new(0.03, 0.71), new(0.06, 0.68)]),
                DamperRatio = RatioCurve.Constant(0.68),
                LinkageShareBraking = 0.2,
                LinkageShareDriving = 0.25,
                SpringRateNpm = 170_000,
                AntiRollBarRateNpm = 60_000,
                TyreRateNpm = 270_000,
                Third = new ThirdElement(110_000, 0.006, 0.022, [new(0, 0), new(0.005, 2000), new(0.010, 8000), new(0.015, 20000)]),
            }),
        Setup = new SetupSheet(null, 15, null, new PerAxle<double>(0.042, 0.078)),
        Channels = [.. Enum.GetValues<ChannelRole>().Select(r => new ChannelMapping { Role = r, Name = r.ToString() })],
    };

    public static CircuitDefinition Circuit { get; } = new(
        "Quillmere",
        [
            new(870, 0), Arc(50, 110), new(150, 0), Arc(80, -60), new(60, 0), Arc(70, 80), new(623.5584, 0), Arc(40, 110),
            new(745.0060, 0), Arc(110, -50), new(60, 0), Arc(60, 100), new(50, 0), Arc(90, 70),
        ],
        70 * Degree,
        [new(600, 0), new(900, 0.02), new(1300, 0), new(1700, 0), new(2050, -0.02), new(2350, 0), new(3000, 0)]);

    public static TrueCar Hardware { get; } = new()
    {
        Hardware = new PerAxle<AxleHardware>(
            new AxleHardware { Damper = new DamperDefinition(9000, 3500, 12000, 6000, 0.06), JointFrictionN = 12, RockerFrictionN = 25 },
            new AxleHardware { Damper = new DamperDefinition(8500, 3500, 12000, 6000, 0.06), JointFrictionN = 12, RockerFrictionN = 25 }),
        PitchInertiaKgM2 = 620,
        RollInertiaKgM2 = 110,
    };

    public static AeroDefinition Aero { get; } = new(
        new LiftAreaMap(1.35, PerFrontM: -12, PerRearM: 2.5, PerFrontSquaredM: -150),
        new LiftAreaMap(1.75, PerFrontM: -3, PerRearM: -4, PerRearSquaredM: -60),
        new PerAxle<double>(0.030, 0.060),
        1.05,
        0.33);

    public static Scenario Scenario { get; } = new()
    {
        Name = "test-run",
        Circuit = Circuit,
        TrueCar = Hardware,
        Aero = Aero,
        Laps = 6,
        Kerbs =
        [
            new() { Name = "one", DistanceM = 950, LengthM = 2.4, HeightM = 0.04, IsLeft = true, HitShare = 0.8, Depth = 0.7, DepthScatter = 0.2 },
            new() { Name = "two", DistanceM = 1330, LengthM = 5, HeightM = 0.03, IsLeft = true, Shape = KerbShape.Ribbed, Ribs = 5, HitShare = 0.9, Depth = 0.8, DepthScatter = 0.15 },
            new() { Name = "three", DistanceM = 2100, LengthM = 1.8, HeightM = 0.05, IsLeft = false, HitShare = 0.7, Depth = 0.8, DepthScatter = 0.2 },
        ],
    };

    private static CircuitSegment Arc(double radiusM, double turnDeg) => new(radiusM * Math.Abs(turnDeg) * Degree, turnDeg * Degree);
}
