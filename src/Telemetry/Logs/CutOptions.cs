namespace Telemetry.Logs;

/// <summary>Where a long log may be cut into runs.</summary>
public sealed record CutOptions
{
    /// <summary>Defaults: a stop of 20 s, as fuel or tyres take.</summary>
    public static CutOptions Default { get; } = new();

    /// <summary>Shortest stop to cut at, s. Each of its halves becomes the standstill at which a run's load cells are zeroed, so it is not worth much below 10 s. Default 20.</summary>
    public double ShortestStopS { get; init; } = 20;

    /// <summary>Given the unit that the speed's column states, what its numbers are multiplied by to be m/s; null when they are.</summary>
    public Func<string, double>? MpsOfUnit { get; init; }

    /// <summary>Speed below which the car stands, m/s. Default 0.3, as for the zero.</summary>
    public double StandstillSpeedMps { get; init; } = 0.3;

    /// <summary>Speed that a stretch must reach to be driven, m/s: a car that is pushed about a garage makes no run. Default 20, as for the zero.</summary>
    public double DrivenSpeedMps { get; init; } = 20;
}
