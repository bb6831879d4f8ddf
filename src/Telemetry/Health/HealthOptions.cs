namespace Telemetry.Health;

/// <summary>From what size on something is a finding.</summary>
public sealed record HealthOptions
{
    /// <summary>Defaults.</summary>
    public static HealthOptions Default { get; } = new();

    /// <summary>Above this speed a live sensor moves, m/s. Default 10: road and engine shake every sensor of the suspension.</summary>
    public double RunningSpeedMps { get; init; } = 10;

    /// <summary>A load cell, damper or accelerometer that repeats one number for this long while running is stuck, s. Default 0.5: several periods of the body's motion.</summary>
    public double StuckS { get; init; } = 0.5;

    /// <summary>The same for slower channels (speed, ride height), s. Default 5: a coarse speed may rest on one number at the end of a straight.</summary>
    public double StuckSlowS { get; init; } = 5;

    /// <summary>Missing samples beyond this share of a channel make it doubtful. Default 0.001.</summary>
    public double GapShareDoubtful { get; init; } = 0.001;

    /// <summary>Missing samples beyond this share make a load cell unusable. Default 0.2.</summary>
    public double GapShareUnusable { get; init; } = 0.2;

    /// <summary>A reading within this share of the range from its end counts as at the limit. Default 0.001.</summary>
    public double RangeEdgeShare { get; init; } = 0.001;

    /// <summary>A single sample that leaves its neighbours by more than this many times the scatter of the differences and comes back is a spike. Default 25.</summary>
    public double SpikeScatter { get; init; } = 25;

    /// <summary>The lowest rate at which one odd sample can be told from a wheel's motion, Hz. Default 500: a hub at 20 Hz moves little in 2 ms.</summary>
    public double SpikeRateHz { get; init; } = 500;

    /// <summary>Below this logging rate of the load cells kerb strikes are doubtful, Hz. Default 200: a strike of 10 ms has then two samples.</summary>
    public double StrikeRateHz { get; init; } = 200;

    /// <summary>The vertical accelerometer at standstill may differ from standard gravity by this much, m/s2. Default 0.5.</summary>
    public double StandstillGravityMps2 { get; init; } = 0.5;
}
