using System.Collections.Immutable;

namespace Telemetry.Simulation;

/// <summary>Reads [disturbances] of a scenario file.</summary>
internal static class ScenarioDisturbances
{
    public static DisturbanceDefinition Read(ScenarioTable table)
    {
        DisturbanceDefinition disturbances = new()
        {
            Bumps = [.. table.Tables("bumps").Select(Bump)],
            Plank = table.Has("plank") ? Plank(table.Table("plank")) : Nothing<PlankDefinition>(table, "plank"),
            Shifts = table.Has("shifts") ? Shifts(table.Table("shifts")) : Nothing<ShiftDefinition>(table, "shifts"),
            CellSpikes = table.Has("cell_spikes") ? Spikes(table.Table("cell_spikes")) : Nothing<CellSpikeDefinition>(table, "cell_spikes"),
        };
        table.Done();
        return disturbances;
    }

    // Asking for it makes the name known to the list of names in a message.
    private static T? Nothing<T>(ScenarioTable table, string name)
        where T : class
    {
        table.Table(name).Done();
        return null;
    }

    private static BumpDefinition Bump(ScenarioTable table)
    {
        BumpDefinition bump = new()
        {
            Name = table.Text("name"),
            DistanceM = table.Quantity("distance", ScenarioUnit.Length),
            LengthM = table.Quantity("length", ScenarioUnit.Length),
            HeightM = table.Quantity("height", ScenarioUnit.Length),
            RightShare = table.Quantity("right_share", ScenarioUnit.Share, 1),
        };
        if (table.Has("length") && !(bump.LengthM > 0))
        {
            table.Fault("length", "is not above 0.", "Give the length along the road.");
        }

        table.Done();
        return bump;
    }

    private static PlankDefinition Plank(ScenarioTable table)
    {
        PlankDefinition plank = new(
            table.Quantity("front_clearance", ScenarioUnit.Length),
            table.Quantity("rear_clearance", ScenarioUnit.Length),
            1000 * table.Quantity("force_per_mm", ScenarioUnit.Force, 2000),
            table.Quantity("damping", ScenarioUnit.Damping, 4000));
        table.Done();
        return plank;
    }

    private static ShiftDefinition Shifts(ScenarioTable table)
    {
        double first = table.Quantity("first_speed", ScenarioUnit.Speed);
        double last = table.Quantity("last_speed", ScenarioUnit.Speed);
        int count = (int)Math.Clamp(table.Whole("count", 4), 1, 20);
        ImmutableArray<double> speeds = [.. Enumerable.Range(0, count).Select(i => count == 1 ? first : first + (i * (last - first) / (count - 1)))];
        ShiftDefinition shifts = new(speeds, table.Quantity("cut", ScenarioUnit.Duration, 0.05), table.Quantity("kick", ScenarioUnit.Share, 0.3));
        table.Done();
        return shifts;
    }

    private static CellSpikeDefinition Spikes(ScenarioTable table)
    {
        CellSpikeDefinition spikes = new(
            60 * table.Quantity("rate", ScenarioUnit.Frequency),
            table.Quantity("size", ScenarioUnit.Force),
            (int)Math.Clamp(table.Whole("most_samples", 3), 1, 100));
        table.Done();
        return spikes;
    }
}
