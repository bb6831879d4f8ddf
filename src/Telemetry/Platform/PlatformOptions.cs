namespace Telemetry.Platform;

/// <summary>How the platform is looked at.</summary>
public sealed record PlatformOptions
{
    /// <summary>Defaults.</summary>
    public static PlatformOptions Default { get; } = new();

    /// <summary>Width of a band of speed, m/s. Default 20 km/h: several windows of each pass fall into one.</summary>
    public double BandMps { get; init; } = 20 / 3.6;

    /// <summary>Length of the windows that the aero stage averages over, s. Default 0.5, as equation E6.</summary>
    public double WindowS { get; init; } = 0.5;

    /// <summary>Fewest straight passes in a band. Default 3: fewer give no honest interval.</summary>
    public int FewestPasses { get; init; } = 3;

    /// <summary>Lateral specific force from which on the car corners, m/s2. Default 0.6 g: well above camber and steering on a straight.</summary>
    public double CorneringMps2 { get; init; } = 0.6 * StandardGravity.Mps2;

    /// <summary>Shortest cornering that counts as a corner, s. Default 0.6: the roll mode has settled.</summary>
    public double ShortestCornerS { get; init; } = 0.6;

    /// <summary>Fewest corners for a roll share. Default 5.</summary>
    public int FewestCorners { get; init; } = 5;

    /// <summary>Why the loads cannot carry a roll share, or null (default).</summary>
    public string? NoRollShareBecause { get; init; }

    /// <summary>Above this speed the car runs, m/s. Default 20, as equation E6.</summary>
    public double RunningMps { get; init; } = 20;

    /// <summary>Time over which a damper's velocity is fitted, s. Default 0.010: passes hub motion at 20 Hz, smooths the steps of the potentiometer.</summary>
    public double VelocitySpanS { get; init; } = 0.010;

    /// <summary>Half width of the velocity histogram, m/s. Default 0.4; faster samples are counted in its end bins.</summary>
    public double HistogramMps { get; init; } = 0.4;

    /// <summary>Width of a bin of the histogram, m/s. Default 0.01.</summary>
    public double HistogramBinMps { get; init; } = 0.01;
}
