namespace Telemetry.Aero;

/// <summary>Which windows count as braking entry and as fast corner.</summary>
public sealed record BalanceOptions
{
    /// <summary>Defaults.</summary>
    public static BalanceOptions Default { get; } = new();

    /// <summary>Lowest speed of both conditions, m/s. Default 40 (144 km/h): below it the error of the longitudinal transfer outweighs the aero load.</summary>
    public double LowestSpeedMps { get; init; } = 40;

    /// <summary>Time after the first pressure on the pedal that is left out, s. Default 0.3: half a period of pitch, and the driver's foot.</summary>
    public double SettledAfterS { get; init; } = 0.3;

    /// <summary>Time after the first pressure until which braking is entry, s. Default 1.3: one second of it.</summary>
    public double EntryEndsS { get; init; } = 1.3;

    /// <summary>Least braking in an entry, m/s2, positive. Default 1 g.</summary>
    public double LeastBrakingMps2 { get; init; } = StandardGravity.Mps2;

    /// <summary>Largest lateral specific force in a braking entry, m/s2. Default 0.25 g: still a straight line.</summary>
    public double HighestLateralWhileBrakingMps2 { get; init; } = 0.25 * StandardGravity.Mps2;

    /// <summary>Most by which longitudinal specific force may change within a window, m/s2. Default 0.5 g: quasi-steady.</summary>
    public double LongitudinalChangeMps2 { get; init; } = 0.5 * StandardGravity.Mps2;

    /// <summary>Least lateral specific force in a fast corner, m/s2. Default 1 g.</summary>
    public double LeastLateralMps2 { get; init; } = StandardGravity.Mps2;

    /// <summary>Most by which lateral specific force may change within a window in a corner, m/s2. Default 0.4 g: quasi-steady.</summary>
    public double LateralChangeMps2 { get; init; } = 0.4 * StandardGravity.Mps2;

    /// <summary>Largest longitudinal specific force in a corner, m/s2. Default 0.5 g, as on straights.</summary>
    public double HighestLongitudinalInCornerMps2 { get; init; } = 0.5 * StandardGravity.Mps2;

    /// <summary>A load further from its block's mean than this share of the axle's mean load is a strike, and its block and both neighbours are left out. Default 0.8.</summary>
    public double StrikeShare { get; init; } = 0.8;

    /// <summary>Fewest units of a condition. Default 3, as for every answer.</summary>
    public int FewestUnits { get; init; } = 3;

    /// <summary>Standard uncertainty of the share that the links carry while braking (eta), which the car file states without one. Default 0.03: construction from drawn link points, common practice, no source.</summary>
    public double LinkageShareUncertainty { get; init; } = 0.03;

    /// <summary>Widest half interval that is still an answer, %. Default 5: what a wing change moves the balance at most.</summary>
    public double WidestPct { get; init; } = 5;
}
