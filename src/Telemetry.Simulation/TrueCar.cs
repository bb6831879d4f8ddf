using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>What the real car has that its car file does not say, or says wrongly.</summary>
public sealed record TrueCar
{
    /// <summary>Front and rear damper with friction.</summary>
    public required PerAxle<AxleHardware> Hardware { get; init; }

    /// <summary>Pitch inertia of the sprung mass about its centre of gravity, kg m2.</summary>
    public required double PitchInertiaKgM2 { get; init; }

    /// <summary>Roll inertia of the sprung mass about its centre of gravity, kg m2.</summary>
    public required double RollInertiaKgM2 { get; init; }

    /// <summary>True mass above what the car file believes, kg, on the sprung mass.</summary>
    public double ExtraMassKg { get; init; }

    /// <summary>Distance that the true sprung centre of gravity lies further back than the car file believes, m.</summary>
    public double CentreFurtherBackM { get; init; }

    /// <summary>Height of the true centre of gravity above what the car file believes, m.</summary>
    public double CentreHigherM { get; init; }

    /// <summary>Static ride height of each axle, m; null takes the setup sheet's.</summary>
    public PerAxle<double>? RideHeightM { get; init; }
}

/// <summary>Damper, tyre damping and friction of an axle.</summary>
public sealed record AxleHardware
{
    /// <summary>The damper of each corner.</summary>
    public required DamperDefinition Damper { get; init; }

    /// <summary>Vertical damping of one tyre, N s/m.</summary>
    public double TyreDampingNspm { get; init; } = 250;

    /// <summary>Friction of one corner's suspension joints as force at the wheel, N. It works beside the pushrod, so the cell does not feel it.</summary>
    public double JointFrictionN { get; init; }

    /// <summary>Friction of damper and rocker as force at the damper, N. It works through the pushrod, so the cell feels it.</summary>
    public double RockerFrictionN { get; init; }

    /// <summary>Damper travel in droop from static at which the damper is fully out, m, above 0; null means never.</summary>
    public double? DroopStopM { get; init; }

    /// <summary>Damper travel in bump from static at which the damper meets its packer, m, above 0; null means never.</summary>
    public double? BumpStopM { get; init; }

    /// <summary>True installation ratio above what the car file believes, as a share of it.</summary>
    public double InstallationRatioError { get; init; }

    /// <summary>True damper ratio above what the car file believes, as a share of it.</summary>
    public double DamperRatioError { get; init; }
}

/// <summary>A damper with a knee in bump and in rebound; all at the damper.</summary>
/// <param name="BumpSlowNspm">Slope in bump below the knee, N s/m.</param>
/// <param name="BumpFastNspm">Slope in bump above the knee, N s/m.</param>
/// <param name="ReboundSlowNspm">Slope in rebound below the knee, N s/m.</param>
/// <param name="ReboundFastNspm">Slope in rebound above the knee, N s/m.</param>
/// <param name="KneeMps">Damper speed of the knee, m/s.</param>
public sealed record DamperDefinition(double BumpSlowNspm, double BumpFastNspm, double ReboundSlowNspm, double ReboundFastNspm, double KneeMps)
{
    /// <summary>A linear damper.</summary>
    /// <param name="rateNspm">Slope, N s/m.</param>
    public static DamperDefinition Linear(double rateNspm) => new(rateNspm, rateNspm, rateNspm, rateNspm, 1);

    internal double ForceN(double speedMps)
    {
        double size = Math.Abs(speedMps);
        double slow = speedMps >= 0 ? BumpSlowNspm : ReboundSlowNspm;
        double fast = speedMps >= 0 ? BumpFastNspm : ReboundFastNspm;
        double force = size <= KneeMps ? slow * size : (slow * KneeMps) + (fast * (size - KneeMps));
        return speedMps >= 0 ? force : -force;
    }
}

/// <summary>Aero loads of front and rear against both ride heights, and drag.</summary>
/// <param name="Front">Lift area of the load that acts at the front axle, drag's moment not included.</param>
/// <param name="Rear">Lift area of the load that acts at the rear axle, drag's moment not included.</param>
/// <param name="ReferenceRideHeightM">Ride heights at which the maps have their stated value, m.</param>
/// <param name="DragAreaM2">Drag area CdA, m2.</param>
/// <param name="DragHeightM">Height above ground at which the drag acts, m.</param>
public sealed record AeroDefinition(
    LiftAreaMap Front,
    LiftAreaMap Rear,
    PerAxle<double> ReferenceRideHeightM,
    double DragAreaM2,
    double DragHeightM);

/// <summary>A lift area as a smooth function of both ride heights (second order about the reference).</summary>
/// <param name="AtReferenceM2">Lift area at the reference ride heights, m2, downwards positive.</param>
/// <param name="PerFrontM">Change per metre of front ride height, m2/m.</param>
/// <param name="PerRearM">Change per metre of rear ride height, m2/m.</param>
/// <param name="PerFrontSquaredM">Change per square metre of front ride height difference, m2/m2.</param>
/// <param name="PerRearSquaredM">Change per square metre of rear ride height difference, m2/m2.</param>
public sealed record LiftAreaMap(double AtReferenceM2, double PerFrontM = 0, double PerRearM = 0, double PerFrontSquaredM = 0, double PerRearSquaredM = 0)
{
    /// <summary>The lift area, m2.</summary>
    /// <param name="frontM">Front ride height above the reference, m.</param>
    /// <param name="rearM">Rear ride height above the reference, m.</param>
    public double At(double frontM, double rearM) =>
        AtReferenceM2 + (frontM * (PerFrontM + (PerFrontSquaredM * frontM))) + (rearM * (PerRearM + (PerRearSquaredM * rearM)));
}
