using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>A circuit file: TOML text with straights, arcs and slopes.</summary>
internal static class CircuitFile
{
    // A circuit may miss its start by so much before the positions are closed; more means a typing error.
    private const double OpenTurnRad = 0.002;

    public static CircuitDefinition Read(string path)
    {
        CarFaultList faults = new(path);
        ScenarioTable root = new(CarTree.Parse(ScenarioFile.Text(path), faults), "", faults);
        CircuitDefinition circuit = new(
            root.Text("name"),
            [.. root.Tables("segments").Select(Segment)],
            root.Quantity("start_course", ScenarioUnit.Angle),
            [.. root.Tables("slopes").Select(Slope)],
            root.Quantity("pit_box", ScenarioUnit.Length),
            root.Quantity("pit_exit", ScenarioUnit.Length),
            root.Quantity("pit_entry_before_line", ScenarioUnit.Length));
        root.Done();
        Check(circuit, root);
        return faults.Any ? throw new InputError(faults.Faults) : circuit;
    }

    private static CircuitSegment Segment(ScenarioTable table)
    {
        CircuitSegment segment;
        if (table.Has("radius"))
        {
            double turn = table.Quantity("turn", ScenarioUnit.Angle);
            segment = new CircuitSegment(table.Quantity("radius", ScenarioUnit.Length) * Math.Abs(turn), turn);
        }
        else
        {
            segment = new CircuitSegment(table.Quantity("straight", ScenarioUnit.Length), 0);
        }

        if (!table.Faults.Any && !(segment.LengthM > 0))
        {
            table.Fault("straight", "has no length.", "Give a straight, or a radius and a turn that is not 0.");
        }

        table.Done();
        return segment;
    }

    private static CircuitSlope Slope(ScenarioTable table)
    {
        CircuitSlope slope = new(table.Quantity("at", ScenarioUnit.Length), table.Quantity("gradient", ScenarioUnit.Share));
        table.Done();
        return slope;
    }

    private static void Check(CircuitDefinition circuit, ScenarioTable root)
    {
        if (root.Faults.Any)
        {
            return;
        }

        double turn = circuit.Segments.Sum(s => s.TurnRad);
        if (circuit.Segments.Length == 0 || Math.Abs(Math.Abs(turn) - (2 * Math.PI)) > OpenTurnRad)
        {
            root.Fault("segments", $"the turns sum to {turn * 180 / Math.PI:0.##} degrees.", "Make them sum to 360 or -360 degrees.");
        }

        for (int i = 1; i < circuit.Slopes.Length; i++)
        {
            if (circuit.Slopes[i].DistanceM <= circuit.Slopes[i - 1].DistanceM)
            {
                root.Fault("slopes", $"the distance of slope {i + 1} does not rise.", "List slopes by rising distance.");
            }
        }
    }
}
