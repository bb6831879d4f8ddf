namespace Telemetry.Simulation;

/// <summary>The run as it really was: signals without any sensor, and what was followed at every step of the solver.</summary>
internal sealed class TrueSignals
{
    public TrueSignals(Drive drive, int fastRateHz, int fastCount, int mediumCount, bool hasLowPass)
    {
        Drive = drive;
        FastRateHz = fastRateHz;
        PushrodN = New(fastCount);
        TravelM = New(fastCount);
        FilteredPushrodN = hasLowPass ? New(fastCount) : null;
        VerticalMps2 = new double[mediumCount];
        PitchRad = new double[mediumCount];
        RollRad = new double[mediumCount];
        FrontHeightM = new double[mediumCount];
        RearHeightM = new double[mediumCount];
    }

    public Drive Drive { get; }

    public int FastRateHz { get; }

    public int FastCount => PushrodN[0].Length;

    /// <summary>Pushrod loads at the fast rate, N, FL FR RL RR.</summary>
    public double[][] PushrodN { get; }

    /// <summary>The same behind the analogue low-pass; null without one.</summary>
    public double[][]? FilteredPushrodN { get; }

    /// <summary>Damper travels from static at the fast rate, m.</summary>
    public double[][] TravelM { get; }

    /// <summary>Vertical specific force at the sprung centre of gravity, m/s2, at the medium rate; so are the rest.</summary>
    public double[] VerticalMps2 { get; }

    public double[] PitchRad { get; }

    public double[] RollRad { get; }

    /// <summary>Height of the body over the road under the axle's middle, m.</summary>
    public double[] FrontHeightM { get; }

    public double[] RearHeightM { get; }

    /// <summary>Largest and smallest pushrod load over all steps, N.</summary>
    public double[] HighestN { get; } = [double.NegativeInfinity, double.NegativeInfinity, double.NegativeInfinity, double.NegativeInfinity];

    public double[] LowestN { get; } = [double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity];

    /// <summary>Kerb strikes of all wheels, in order of time.</summary>
    public List<TrueStrike> Strikes { get; } = [];

    /// <summary>Bumps across the road under all wheels, in order of time.</summary>
    public List<TrueStrike> Bumps { get; } = [];

    /// <summary>Contacts of the plank, in order of time.</summary>
    public List<TrueContact> Contacts { get; } = [];

    private static double[][] New(int count) => [new double[count], new double[count], new double[count], new double[count]];
}

/// <summary>One wheel over one kerb, followed at every step.</summary>
internal sealed class TrueStrike(KerbPass pass, int corner, double startS)
{
    public KerbPass Pass { get; } = pass;

    public int Corner { get; } = corner;

    /// <summary>Time at which the wheel reaches the kerb, s.</summary>
    public double StartS { get; } = startS;

    /// <summary>Time after which it is no longer followed, s; infinite while the wheel is on the kerb.</summary>
    public double EndS { get; set; } = double.PositiveInfinity;

    public double PeakN { get; set; } = double.NegativeInfinity;

    public double PeakS { get; set; }

    public double PeakDistanceM { get; set; }

    public double PeakSpeedMps { get; set; }
}

/// <summary>One contact of the plank at an axle; contacts closer than a tenth of a second are one.</summary>
internal sealed class TrueContact(bool isFront, double timeS)
{
    public bool IsFront { get; } = isFront;

    public double StartS { get; } = timeS;

    public double LastS { get; set; } = timeS;

    public double PeakN { get; set; }

    public double PeakS { get; set; } = timeS;
}
