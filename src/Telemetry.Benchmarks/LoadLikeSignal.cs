namespace Telemetry.Benchmarks;

/// <summary>A made-up load that turns round about every six samples, as a pushrod's at 1 kHz behind its anti-alias filter: laps, road, and band-limited noise.</summary>
internal static class LoadLikeSignal
{
    /// <summary>900,000 samples: 15 minutes at 1 kHz.</summary>
    public const int SampleCount = 900_000;

    /// <summary>N, the same every time.</summary>
    public static double[] Make()
    {
        double[] load = new double[SampleCount];
        Random random = new(1);
        const int Length = 5;
        double[] noise = new double[SampleCount + (3 * Length)];
        for (int i = 0; i < noise.Length; i++)
        {
            noise[i] = random.NextDouble() - 0.5;
        }

        // Three means over five samples in a row leave a turning point about every six.
        for (int pass = 0; pass < 3; pass++)
        {
            for (int i = 0; i + Length <= noise.Length; i++)
            {
                noise[i] = (noise[i] + noise[i + 1] + noise[i + 2] + noise[i + 3] + noise[i + 4]) / Length;
            }
        }

        double road = 0;
        for (int i = 0; i < load.Length; i++)
        {
            road += 0.01 * ((40 * noise[i]) - road);
            load[i] = 4000 + (2500 * Math.Sin(2 * Math.PI * i / 90_000.0)) + (3000 * noise[i]) + (500 * road);
        }

        return load;
    }
}
