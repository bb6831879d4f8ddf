using System.Collections.Immutable;
using Telemetry.WheelLoads;

namespace Telemetry.Aero;

/// <summary>A run that a map rests on.</summary>
/// <param name="Name">Its name, for the notes.</param>
/// <param name="Wheels">Its wheel loads.</param>
/// <param name="Aero">Its aero load: windows, passes, air and wind.</param>
public sealed record RunOnMap(string Name, WheelLoadSet Wheels, AeroResult Aero);

/// <summary>How a ride-height map is made.</summary>
public sealed record RideHeightMapOptions
{
    /// <summary>Defaults.</summary>
    public static RideHeightMapOptions Default { get; } = new();

    /// <summary>Fewest straight passes of all runs together. Default 4: one is left out at a time, and three must remain for an honest interval.</summary>
    public int FewestPasses { get; init; } = 4;

    /// <summary>How far beyond the hull of the ride heights the map may be read, m. Default 1.5 mm: steady driving lies about a millimetre beside the line of full throttle, on which most passes are driven.</summary>
    public double MarginM { get; init; } = 0.0015;

    /// <summary>A height counts towards the hull when this many passes came within <see cref="NeighbourM"/> of it. Default 3, as for every answer.</summary>
    public int FewestPassesNear { get; init; } = 3;

    /// <summary>See <see cref="FewestPassesNear"/>; m. Default 1.5 mm: the scatter of passes at one speed from wind, fuel and acceleration.</summary>
    public double NeighbourM { get; init; } = 0.0015;

    /// <summary>
    /// Standard deviation of what is believed of a lift area's change with either ride height, share per mm. Default 0.03: three times what the aero estimate
    /// believes, so that the map says what the data tell and not what was believed. It only keeps the fit solvable; its part is in the interval.
    /// </summary>
    public double SlopeSharePerMm { get; init; } = 0.03;

    /// <summary>
    /// Standard deviations of the curvature to choose from, share of the lift area per mm2; leaving one pass out chooses. Default 0.00003 to 0.001: from
    /// as good as a plane to a slope that turns from 0 to 1 % per mm over 5 mm.
    /// </summary>
    public ImmutableArray<double> CurvatureSharesPerMm2 { get; init; } = [0.00003, 0.0001, 0.0003, 0.001];

    /// <summary>Curvature that the interval allows for at least, share per mm2. Default 0.0001, as the aero estimate believes.</summary>
    public double LeastCurvatureSharePerMm2 { get; init; } = 0.0001;

    /// <summary>Widest half interval of a lift area's sensitivity that is still given, share of that lift area per mm. Default 0.004: a typical effect is 0.5 % per mm (common practice, no source), and a wider interval could not tell it from none.</summary>
    public double WidestSharePerMm { get; init; } = 0.004;

    /// <summary>Widest half interval of the balance's sensitivity that is still given, % per mm. Default 0.2: what a 0.5 % per mm change of one axle's lift area makes of it, a little less than twice.</summary>
    public double WidestBalancePctPerMm { get; init; } = 0.2;
}
