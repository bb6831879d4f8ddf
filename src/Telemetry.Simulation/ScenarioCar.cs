using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>Reads [true_car] and [aero] of a scenario file.</summary>
internal static class ScenarioCar
{
    public static TrueCar TrueCar(ScenarioTable table)
    {
        double? front = table.Optional("ride_height_front", ScenarioUnit.Length);
        double? rear = table.Optional("ride_height_rear", ScenarioUnit.Length);
        if (front is null != rear is null)
        {
            table.Fault(front is null ? "ride_height_rear" : "ride_height_front", "stands alone.", "Give both ride heights or none.");
        }

        TrueCar car = new()
        {
            PitchInertiaKgM2 = table.Quantity("pitch_inertia", ScenarioUnit.Inertia),
            RollInertiaKgM2 = table.Quantity("roll_inertia", ScenarioUnit.Inertia),
            ExtraMassKg = table.Quantity("extra_mass", ScenarioUnit.Mass, 0),
            CentreFurtherBackM = table.Quantity("centre_further_back", ScenarioUnit.Length, 0),
            CentreHigherM = table.Quantity("centre_higher", ScenarioUnit.Length, 0),
            RideHeightM = front is { } f && rear is { } r ? new PerAxle<double>(f, r) : null,
            Hardware = new PerAxle<AxleHardware>(Axle(table.Table("front")), Axle(table.Table("rear"))),
        };
        table.Done();
        return car;
    }

    public static AeroDefinition Aero(ScenarioTable table)
    {
        AeroDefinition aero = new(
            Map(table.Table("front")),
            Map(table.Table("rear")),
            new PerAxle<double>(
                table.Quantity("reference_ride_height_front", ScenarioUnit.Length),
                table.Quantity("reference_ride_height_rear", ScenarioUnit.Length)),
            table.Quantity("drag_area", ScenarioUnit.Area),
            table.Quantity("drag_height", ScenarioUnit.Length));
        table.Done();
        return aero;
    }

    private static LiftAreaMap Map(ScenarioTable table)
    {
        LiftAreaMap map = new(
            table.Quantity("lift_area", ScenarioUnit.Area),
            table.Quantity("per_front_ride_height", ScenarioUnit.AreaPerLength, 0),
            table.Quantity("per_rear_ride_height", ScenarioUnit.AreaPerLength, 0),
            table.Quantity("per_front_ride_height_squared", ScenarioUnit.AreaPerSquare, 0),
            table.Quantity("per_rear_ride_height_squared", ScenarioUnit.AreaPerSquare, 0));
        table.Done();
        return map;
    }

    private static AxleHardware Axle(ScenarioTable table)
    {
        AxleHardware axle = new()
        {
            Damper = new DamperDefinition(
                table.Quantity("bump_slow", ScenarioUnit.Damping),
                table.Quantity("bump_fast", ScenarioUnit.Damping),
                table.Quantity("rebound_slow", ScenarioUnit.Damping),
                table.Quantity("rebound_fast", ScenarioUnit.Damping),
                table.Quantity("damper_knee", ScenarioUnit.Speed)),
            TyreDampingNspm = table.Quantity("tyre_damping", ScenarioUnit.Damping),
            JointFrictionN = table.Quantity("joint_friction", ScenarioUnit.Force, 0),
            RockerFrictionN = table.Quantity("rocker_friction", ScenarioUnit.Force, 0),
            DroopStopM = table.Optional("droop_stop", ScenarioUnit.Length),
            BumpStopM = table.Optional("bump_stop", ScenarioUnit.Length),
            InstallationRatioError = table.Quantity("installation_ratio_error", ScenarioUnit.Share, 0),
            DamperRatioError = table.Quantity("damper_ratio_error", ScenarioUnit.Share, 0),
        };
        table.Done();
        return axle;
    }
}
