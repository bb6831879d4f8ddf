using System.Collections.Immutable;

namespace Telemetry.Simulation;

/// <summary>One kerb hit on one lap by the wheels of one side.</summary>
/// <param name="Kerb">The kerb.</param>
/// <param name="Lap">Lap, from 1.</param>
/// <param name="StartM">Start of the kerb, m from the first line.</param>
/// <param name="HeightM">Height climbed, m.</param>
internal sealed record KerbPass(KerbDefinition Kerb, int Lap, double StartM, double HeightM)
{
    public double EndM => StartM + Kerb.LengthM;
}

/// <summary>Which kerbs are hit on which lap, and their height along the road.</summary>
internal static class KerbPasses
{
    // A wheel that climbs less than this share of the kerb passes beside it.
    private const double LeastDepth = 0.05;

    /// <summary>The passes of one side in driving order.</summary>
    public static KerbPass[] Of(Scenario scenario, double lapM, double startM, double endM, bool isLeft)
    {
        SeededRandom random = new(scenario.Seed, "kerbs");
        List<KerbPass> passes = [];
        for (int lap = 1; lap <= scenario.Laps; lap++)
        {
            foreach (KerbDefinition kerb in scenario.Kerbs)
            {
                // Both numbers are drawn for every kerb and lap, so that changing one kerb does not move the others.
                double chance = random.Uniform();
                double depth = kerb.Depth + (kerb.DepthScatter * random.Normal());
                ImmutableArray<int> laps = kerb.OnlyLaps;
                bool isHit = kerb.IsLeft == isLeft && chance < kerb.HitShare && depth >= LeastDepth
                    && (laps.IsDefaultOrEmpty || laps.Contains(lap));
                double start = ((lap - 1) * lapM) + kerb.DistanceM;
                if (isHit && start > startM && start + kerb.LengthM < endM)
                {
                    passes.Add(new KerbPass(kerb, lap, start, kerb.HeightM * depth));
                }
            }
        }

        passes.Sort((a, b) => a.StartM.CompareTo(b.StartM));
        return [.. passes];
    }

    /// <summary>Height and slope of a kerb where the wheel is on it.</summary>
    public static void Add(KerbPass pass, double distanceM, ref double height, ref double slope)
    {
        double u = (distanceM - pass.StartM) / pass.Kerb.LengthM;
        double length = pass.Kerb.LengthM;
        if (pass.Kerb.Shape == KerbShape.Hump)
        {
            (double b, double db) = Bell(u);
            height += pass.HeightM * b;
            slope += pass.HeightM * db / length;
            return;
        }

        // Ribs on a strip that rises and falls over its first and last seventh.
        double edge = Math.Min(u, 1 - u) * 7;
        double rise = edge >= 1 ? 1 : edge * edge * (3 - (2 * edge));
        double riseSlope = edge >= 1 ? 0 : 6 * edge * (1 - edge) * 7 * (u < 0.5 ? 1 : -1);
        double along = u * pass.Kerb.Ribs;
        (double rib, double ribSlope) = Bell(along - Math.Floor(along));
        double form = 0.4 + (0.6 * rib);
        height += pass.HeightM * rise * form;
        slope += pass.HeightM * ((riseSlope * form) + (rise * 0.6 * ribSlope * pass.Kerb.Ribs)) / length;
    }

    // 16 u^2 (1-u)^2: from 0 to 1 and back with level ends.
    private static (double Value, double Slope) Bell(double u)
    {
        double v = u * (1 - u);
        return (16 * v * v, 32 * v * (1 - (2 * u)));
    }
}
