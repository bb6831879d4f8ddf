using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Where a zero came from.</summary>
public enum ZeroSource
{
    /// <summary>Standstill on the ground; the setup sheet's corner weights say what the cell should read.</summary>
    GroundCornerWeights,

    /// <summary>Standstill on the ground; mass and centre of gravity say what each axle should carry, shared equally between its sides.</summary>
    GroundMassOnly,

    /// <summary>On stands; the pushrod carries the hanging unsprung weight.</summary>
    Stands,

    /// <summary>None was found: the reading is used as logged and nothing that needs an absolute load is answered.</summary>
    None,
}

/// <summary>A stretch of standstill from which zeros were taken.</summary>
/// <param name="StartIndex">First sample on the clock.</param>
/// <param name="EndIndex">One past the last.</param>
/// <param name="StartS">Its first time, s.</param>
/// <param name="EndS">Its last time, s.</param>
/// <param name="OnStands">True when the car hung on stands.</param>
public sealed record StandstillWindow(int StartIndex, int EndIndex, double StartS, double EndS, bool OnStands);

/// <summary>The zero of one load cell.</summary>
/// <param name="Source">Where it came from.</param>
/// <param name="StartN">Offset at the first window: what the cell read beyond the true load, N.</param>
/// <param name="EndN">Offset at the last window, N; equal to <paramref name="StartN"/> where there is only one.</param>
/// <param name="DriftN">EndN - StartN; null with one window.</param>
/// <param name="StandardUncertaintyN">Standard uncertainty of the offset during the run, N: friction, resolution, setup sheet, drift that is not known in between.</param>
/// <param name="FollowsTemperature">True when the offset between the windows was interpolated with the cell's temperature, false with time.</param>
public sealed record CornerZero(
    ZeroSource Source,
    double StartN,
    double EndN,
    double? DriftN,
    double StandardUncertaintyN,
    bool FollowsTemperature);

/// <summary>Pushrod loads with the zero taken off, and damper travel from the static position; all on the run's clock.</summary>
public sealed record ZeroedLoads
{
    /// <summary>The run they belong to.</summary>
    public required Run Run { get; init; }

    /// <summary>Zeroed pushrod load of each corner at the full rate, N, compression positive; NaN where the cell gave none.</summary>
    public required PerCorner<ImmutableArray<double>> PushrodLoadN { get; init; }

    /// <summary>Damper travel of each corner from the static position, m, bump positive; default where there is no potentiometer.</summary>
    public required PerCorner<ImmutableArray<double>> DamperTravelM { get; init; }

    /// <summary>The zero of each cell.</summary>
    public required PerCorner<CornerZero> Zeros { get; init; }

    /// <summary>Standstill windows that were found, in time order.</summary>
    public required ImmutableArray<StandstillWindow> Windows { get; init; }

    /// <summary>Why no absolute load can be given, or null when the zeros hold.</summary>
    public required string? WithheldBecause { get; init; }

    /// <summary>What a person should know about the zeros: drift, scatter, missing windows.</summary>
    public required ImmutableArray<HealthFinding> Findings { get; init; }

    /// <summary>True when the loads were low-passed before they reached the file, so that strikes and cycles must not be taken from them.</summary>
    public required bool IsLowPassed { get; init; }
}
