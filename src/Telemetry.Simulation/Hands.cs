namespace Telemetry.Simulation;

/// <summary>The crew settles the standing car: a few pushes at the corners, so that friction comes to rest anew.</summary>
internal sealed class Hands
{
    private const int Pushes = 5;
    private const double PushS = 0.5;
    private readonly double start;
    private readonly double[] forceN = new double[Pushes];
    private readonly double[] pitchArm = new double[Pushes];
    private readonly double[] rollArm = new double[Pushes];

    public Hands(Scenario scenario, Vehicle vehicle)
    {
        SeededRandom random = new(scenario.Seed, "hands");
        start = scenario.StandstillBeforeS * 0.4;
        for (int i = 0; i < Pushes; i++)
        {
            bool isFront = random.Uniform() < 0.5;
            bool isLeft = random.Uniform() < 0.5;
            forceN[i] = 300 + (400 * random.Uniform());
            pitchArm[i] = isFront ? vehicle.FrontArmM : -vehicle.RearArmM;
            rollArm[i] = (isLeft ? 0.5 : -0.5) * (isFront ? vehicle.TrackM.Front : vehicle.TrackM.Rear);
        }
    }

    /// <summary>Adds the hands' force and moments at a time.</summary>
    public void At(double time, ref Push push)
    {
        push.HandsN = 0;
        push.HandsPitchNm = 0;
        push.HandsRollNm = 0;
        double since = (time - start) / PushS;
        if (since < 0 || since >= Pushes)
        {
            return;
        }

        int i = (int)since;
        double u = since - i;
        double v = u * (1 - u);
        double force = forceN[i] * 16 * v * v;
        push.HandsN = -force;
        push.HandsPitchNm = force * pitchArm[i];
        push.HandsRollNm = -force * rollArm[i];
    }
}
