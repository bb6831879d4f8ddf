using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>The true car as the equations of motion need it: SI numbers, the sensors' beliefs resolved, the static state solved.</summary>
internal sealed class Vehicle
{
    public const double GravityMps2 = 9.80665;

    private readonly double startMassKg;
    private readonly double fuelPerLapKg;
    private readonly double fuelStartKg;
    private readonly double boxM;

    public Vehicle(Scenario scenario, CarDefinition car)
    {
        TrueCar real = scenario.TrueCar;
        VehicleFaults.Check(scenario, car);
        CarGeometry geometry = car.Geometry;
        boxM = scenario.Circuit.PitBoxM;
        WheelbaseM = geometry.WheelbaseM.Value;
        FrontArmM = geometry.SprungCentreBehindFrontAxleM.Value + real.CentreFurtherBackM;
        RearArmM = WheelbaseM - FrontArmM;
        HeightM = geometry.CentreHeightM.Value + real.CentreHigherM;
        UnsprungKg = car.Masses.UnsprungKg;
        fuelStartKg = car.Masses.FuelAtStartKg.Value;
        fuelPerLapKg = car.Masses.FuelPerLapKg ?? 0;
        startMassKg = car.Masses.WithoutFuelKg.Value + real.ExtraMassKg + fuelStartKg;
        PitchInertia = real.PitchInertiaKgM2;
        RollInertia = real.RollInertiaKgM2;

        double scalesMass = startMassKg - fuelStartKg + (car.Setup.FuelOnScalesKg ?? fuelStartKg);
        double scalesSprung = scalesMass - UnsprungKg.Front - UnsprungKg.Rear;
        RollCentreM = geometry.RollCentreHeightM ?? new PerAxle<double>(0, 0);
        UnsprungCentreM = geometry.UnsprungCentreHeightM ?? new PerAxle<double>(0, 0);
        SprungHeightM = ((scalesMass * HeightM) - (UnsprungKg.Front * UnsprungCentreM.Front) - (UnsprungKg.Rear * UnsprungCentreM.Rear)) / scalesSprung;
        TrackM = geometry.TrackM;

        PerCorner<double> sprungLoad = StaticSprungLoad(car, scalesSprung);
        CentreLeftM = (((sprungLoad.FrontLeft - sprungLoad.FrontRight) * TrackM.Front) + ((sprungLoad.RearLeft - sprungLoad.RearRight) * TrackM.Rear))
            / 2 / (scalesSprung * GravityMps2);
        Front = new AxleModel(car.Suspension.Front, real.Hardware.Front, UnsprungKg.Front, sprungLoad.FrontLeft, sprungLoad.FrontRight);
        Rear = new AxleModel(car.Suspension.Rear, real.Hardware.Rear, UnsprungKg.Rear, sprungLoad.RearLeft, sprungLoad.RearRight);
        RideHeightM = real.RideHeightM ?? car.Setup.RideHeightM!;
        Aero = scenario.Aero;
        Plank = scenario.Disturbances.Plank;
    }

    public double WheelbaseM { get; }

    public double FrontArmM { get; }

    public double RearArmM { get; }

    public double HeightM { get; }

    public double SprungHeightM { get; }

    /// <summary>How far the sprung centre of gravity lies left of the middle, m; follows from the corner weights.</summary>
    public double CentreLeftM { get; }

    public PerAxle<double> TrackM { get; }

    public PerAxle<double> RollCentreM { get; }

    public PerAxle<double> UnsprungCentreM { get; }

    public PerAxle<double> UnsprungKg { get; }

    public double PitchInertia { get; }

    public double RollInertia { get; }

    public AxleModel Front { get; }

    public AxleModel Rear { get; }

    public PerAxle<double> RideHeightM { get; }

    public AeroDefinition Aero { get; }

    /// <summary>The plank under the floor, or null.</summary>
    public PlankDefinition? Plank { get; }

    public double TotalUnsprungKg => UnsprungKg.Front + UnsprungKg.Rear;

    /// <summary>Fuel on board where the front axle is at a distance from the first line; it falls evenly along the road.</summary>
    public double FuelKg(double distanceM, double lapM) => fuelStartKg - (fuelPerLapKg * (distanceM - boxM) / lapM);

    /// <summary>Mass of the whole car there, kg.</summary>
    public double MassKg(double distanceM, double lapM) => startMassKg - (fuelPerLapKg * (distanceM - boxM) / lapM);

    // The axle sums follow from mass and centre of gravity; the sheet's corner weights give the split between left and right.
    private PerCorner<double> StaticSprungLoad(CarDefinition car, double sprungKg)
    {
        double front = sprungKg * GravityMps2 * RearArmM / WheelbaseM;
        double rear = sprungKg * GravityMps2 * FrontArmM / WheelbaseM;
        if (car.Setup.CornerWeightN is not { } sheet)
        {
            return new(front / 2, front / 2, rear / 2, rear / 2);
        }

        double frontWheel = UnsprungKg.Front / 2 * GravityMps2;
        double rearWheel = UnsprungKg.Rear / 2 * GravityMps2;
        double frontShare = (sheet.FrontLeft - frontWheel) / (sheet.FrontLeft + sheet.FrontRight - (2 * frontWheel));
        double rearShare = (sheet.RearLeft - rearWheel) / (sheet.RearLeft + sheet.RearRight - (2 * rearWheel));
        return new(front * frontShare, front * (1 - frontShare), rear * rearShare, rear * (1 - rearShare));
    }
}
