using BenchmarkDotNet.Attributes;
using Telemetry.Car;
using Telemetry.Fatigue;

namespace Telemetry.Benchmarks;

/// <summary>Speed of the cycle count on a load like a pushrod's: slow laps, the road's roughness, noise, whole steps of the logger. 900,000 samples: 15 minutes at 1 kHz.</summary>
public class RainflowBenchmarks
{
    private const int SampleCount = 900_000;

    private readonly double[] load = MakeLoad();
    private readonly int[] found = new int[SampleCount];
    private CycleCount cycles = null!;

    /// <summary>Counts once, for the damage alone.</summary>
    [GlobalSetup]
    public void Count() => cycles = Whole();

    /// <summary>The plain way: one sample after the other, a branch each.</summary>
    [Benchmark(Baseline = true, OperationsPerInvoke = SampleCount)]
    public int TurningPointsOneByOne()
    {
        int count = 0;
        double direction = 0;
        for (int i = 1; i < load.Length; i++)
        {
            double step = load[i] - load[i - 1];
            if (step == 0)
            {
                continue;
            }

            if (direction * step < 0)
            {
                found[count++] = i - 1;
            }

            direction = step;
        }

        return count;
    }

    /// <summary>The blocks of 64 that the counter uses.</summary>
    [Benchmark(OperationsPerInvoke = SampleCount)]
    public int TurningPointsInBlocks() => TurningPoints.Find(load, found);

    /// <summary>Turning points and three-point count, every range.</summary>
    [Benchmark(OperationsPerInvoke = SampleCount)]
    public CycleCount Whole()
    {
        RainflowCounter counter = new();
        counter.Add(load);
        return counter.Count();
    }

    /// <summary>The same with a reversal filter of 50 N.</summary>
    [Benchmark(OperationsPerInvoke = SampleCount)]
    public CycleCount WholeWithFilter()
    {
        RainflowCounter counter = new(50);
        counter.Add(load);
        return counter.Count();
    }

    /// <summary>Miner sum over all cycles of the load, Goodman.</summary>
    [Benchmark(OperationsPerInvoke = SampleCount)]
    public double Damage() => new CycleDamage(new FatigueDefinition
    {
        Line = new SnLine([new SnPoint(1e6, 8000)], 5, 9),
        MeanRule = MeanStressRule.Goodman,
        UltimateStrength = 60_000,
    }).Sum(cycles);

    private static double[] MakeLoad()
    {
        double[] load = new double[SampleCount];
        Random random = new(1);
        double road = 0;
        double roadRate = 0;
        for (int i = 0; i < load.Length; i++)
        {
            // A road that the suspension answers at some 3 Hz, well damped, on laps of 90 s.
            double wheelHop = (random.NextDouble() - 0.5) * 12;
            roadRate += (wheelHop - (0.35 * road) - (18 * roadRate)) * 0.001 * 18;
            road += roadRate;
            double lap = 4000 + (2500 * Math.Sin(2 * Math.PI * i / 90_000.0));
            double noise = 12 * (random.NextDouble() + random.NextDouble() - 1);
            load[i] = 5 * Math.Round((lap + (40 * road) + noise) / 5);
        }

        return load;
    }
}
