namespace Telemetry.Simulation;

/// <summary>Bumps across the road over all laps, under the left and the right wheels.</summary>
internal sealed class BumpPasses
{
    private readonly KerbPass[] left;
    private readonly KerbPass[] right;
    private readonly int[] next = new int[4];

    public BumpPasses(Scenario scenario, double lapM, double startM, double endM)
    {
        left = Passes(scenario, lapM, startM, endM, isLeft: true);
        right = Passes(scenario, lapM, startM, endM, isLeft: false);
    }

    /// <summary>The passes of a wheel in driving order.</summary>
    public KerbPass[] Of(int corner) => corner % 2 == 0 ? left : right;

    /// <summary>Adds the bump's height and slope where the wheel is on one.</summary>
    public void Add(int corner, double distanceM, ref double height, ref double slope)
    {
        KerbPass[] passes = Of(corner);
        ref int at = ref next[corner];
        while (at < passes.Length && distanceM >= passes[at].EndM)
        {
            at++;
        }

        for (int i = at; i < passes.Length && distanceM > passes[i].StartM; i++)
        {
            if (distanceM < passes[i].EndM)
            {
                KerbPasses.Add(passes[i], distanceM, ref height, ref slope);
            }
        }
    }

    private static KerbPass[] Passes(Scenario scenario, double lapM, double startM, double endM, bool isLeft)
    {
        List<KerbPass> passes = [];
        for (int lap = 1; lap <= scenario.Laps; lap++)
        {
            foreach (BumpDefinition bump in scenario.Disturbances.Bumps)
            {
                double start = ((lap - 1) * lapM) + bump.DistanceM;
                double height = bump.HeightM * (isLeft ? 1 : bump.RightShare);
                if (start > startM && start + bump.LengthM < endM && height != 0)
                {
                    KerbDefinition form = new() { Name = bump.Name, DistanceM = bump.DistanceM, LengthM = bump.LengthM, HeightM = bump.HeightM, IsLeft = isLeft };
                    passes.Add(new KerbPass(form, lap, start, height));
                }
            }
        }

        passes.Sort((a, b) => a.StartM.CompareTo(b.StartM));
        return [.. passes];
    }
}
