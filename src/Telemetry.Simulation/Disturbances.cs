using System.Collections.Immutable;

namespace Telemetry.Simulation;

/// <summary>What shakes a car besides the road's own roughness and its kerbs. Every part is off unless the scenario names it.</summary>
public sealed record DisturbanceDefinition
{
    /// <summary>Bumps that reach across the road, in any order; the same on every lap.</summary>
    public ImmutableArray<BumpDefinition> Bumps { get; init; } = [];

    /// <summary>The plank under the floor; null means that the floor never touches.</summary>
    public PlankDefinition? Plank { get; init; }

    /// <summary>Gear shifts; null means that the thrust is never interrupted.</summary>
    public ShiftDefinition? Shifts { get; init; }

    /// <summary>Spikes of the load cells; null means none.</summary>
    public CellSpikeDefinition? CellSpikes { get; init; }

    /// <summary>True when any of them is on.</summary>
    public bool Any => !Bumps.IsEmpty || Plank is not null || Shifts is not null || CellSpikes is not null;
}

/// <summary>A bump that both wheels of an axle meet at once: a hump 16 u^2 (1 - u)^2.</summary>
public sealed record BumpDefinition
{
    /// <summary>Its name in the truth.</summary>
    public required string Name { get; init; }

    /// <summary>Lap distance of its start, m.</summary>
    public required double DistanceM { get; init; }

    /// <summary>Length along the road, m.</summary>
    public required double LengthM { get; init; }

    /// <summary>Height under the left wheels, m.</summary>
    public required double HeightM { get; init; }

    /// <summary>Height under the right wheels as a share of that under the left ones; 1 is a bump straight across.</summary>
    public double RightShare { get; init; } = 1;
}

/// <summary>A plank below the floor that touches the road when the body sinks: a stiff spring and damper that can only push.</summary>
/// <remarks>Contact is reckoned at both axles against the mean road that the floor sees; kerbs and bumps do not reach the plank.</remarks>
/// <param name="FrontClearanceM">Ride height at the front axle at which the plank touches, m.</param>
/// <param name="RearClearanceM">The same at the rear axle, m.</param>
/// <param name="StiffnessNpm">Stiffness of plank and mounts at each axle, N/m.</param>
/// <param name="DampingNspm">Damping in contact, N s/m.</param>
public sealed record PlankDefinition(double FrontClearanceM, double RearClearanceM, double StiffnessNpm = 2e6, double DampingNspm = 4000)
{
    /// <summary>Upward force at an axle, N; never below 0.</summary>
    internal double ForceN(double clearanceM, double heightM, double speedMps)
    {
        double squeeze = clearanceM - heightM;
        return squeeze <= 0 ? 0 : Math.Max(0, (StiffnessNpm * squeeze) - (DampingNspm * speedMps));
    }
}

/// <summary>Upshifts on the straights: the thrust is cut for a moment and comes back with a kick.</summary>
/// <param name="SpeedsMps">Speeds at which the driver shifts up, m/s, rising.</param>
/// <param name="CutS">Length of the cut, s.</param>
/// <param name="KickShare">Extra thrust as it comes back, as a share; it fades over the same time.</param>
public sealed record ShiftDefinition(ImmutableArray<double> SpeedsMps, double CutS = 0.05, double KickShare = 0.3);

/// <summary>Samples of the load cells that jump away and back, as a loose plug or a digital fault makes them.</summary>
/// <param name="PerMinute">Mean number a minute and cell, at random times.</param>
/// <param name="SizeN">Mean size, N; each is between half and one and a half of it, up or down.</param>
/// <param name="MostSamples">Each lasts from 1 to this many samples.</param>
public sealed record CellSpikeDefinition(double PerMinute, double SizeN, int MostSamples = 3);
