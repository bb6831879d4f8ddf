namespace Telemetry.Simulation;

/// <summary>One spike of a cell.</summary>
/// <param name="Index">First sample.</param>
/// <param name="Count">Samples.</param>
/// <param name="SizeN">What is added, N.</param>
internal readonly record struct CellSpike(int Index, int Count, double SizeN);

/// <summary>Where the load cells of a run spike: drawn from the run's seed, so that the log and the truth agree.</summary>
internal static class CellSpikes
{
    /// <summary>The spikes of one cell in time order; none unless the scenario asks for them.</summary>
    public static CellSpike[] Of(Scenario scenario, int corner, int samples, int rateHz)
    {
        if (scenario.Disturbances.CellSpikes is not { } definition || scenario.Sensors.IsPerfect)
        {
            return [];
        }

        SeededRandom random = new(scenario.Seed, "spikes " + corner);
        CellSpike[] spikes = new CellSpike[(int)Math.Round(definition.PerMinute * samples / rateHz / 60)];
        for (int k = 0; k < spikes.Length; k++)
        {
            int count = 1 + (int)(random.Uniform() * definition.MostSamples);
            int at = (int)(random.Uniform() * (samples - count));
            double size = definition.SizeN * (0.5 + random.Uniform()) * (random.Uniform() < 0.5 ? 1 : -1);
            spikes[k] = new(at, count, size);
        }

        Array.Sort(spikes, (a, b) => a.Index.CompareTo(b.Index));
        return spikes;
    }

    /// <summary>Adds them to a true load.</summary>
    public static void Add(CellSpike[] spikes, double[] values)
    {
        foreach (CellSpike spike in spikes)
        {
            for (int i = spike.Index; i < spike.Index + spike.Count; i++)
            {
                values[i] += spike.SizeN;
            }
        }
    }
}
