namespace Telemetry.Zero;

/// <summary>What the standard uncertainty of a zero is made of; N, each a standard uncertainty (GUM, JCGM 100:2008), independent of each other.</summary>
public sealed record ZeroBudget
{
    /// <summary>Nothing known.</summary>
    public static ZeroBudget None { get; } = new();

    /// <summary>What the cell should have read: scales, masses, centre of gravity, hanging weight. All windows share it.</summary>
    public double ExpectedN { get; init; }

    /// <summary>The installation ratio in what the cell should have read; cancels in wheel loads.</summary>
    public double RatioN { get; init; }

    /// <summary>Friction of the suspension, which holds the car a little off its balance at every stop anew.</summary>
    public double FrictionN { get; init; }

    /// <summary>Scatter of the readings within the windows.</summary>
    public double RepeatN { get; init; }

    /// <summary>One step of the recorded number: a rectangle, step / sqrt(12).</summary>
    public double ResolutionN { get; init; }

    /// <summary>Drift between the windows, where the zero lies somewhere between what they show; or drift that one window cannot show.</summary>
    public double DriftN { get; init; }

    /// <summary>Borrowed only: how much the cell's zero differs from run to run.</summary>
    public double BetweenRunsN { get; init; }

    /// <summary>Borrowed only: assumed drift over the time since it was taken.</summary>
    public double AgeN { get; init; }

    /// <summary>All of it together.</summary>
    public double TotalN => Math.Sqrt((ExpectedN * ExpectedN) + (RatioN * RatioN) + OwnSquared + (DriftN * DriftN) + (BetweenRunsN * BetweenRunsN) + (AgeN * AgeN));

    /// <summary>Friction, repeat and resolution: what another stop of the same run would draw anew.</summary>
    public double OwnN => Math.Sqrt(OwnSquared);

    private double OwnSquared => (FrictionN * FrictionN) + (RepeatN * RepeatN) + (ResolutionN * ResolutionN);
}
