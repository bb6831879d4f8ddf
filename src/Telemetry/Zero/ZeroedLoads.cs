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

    /// <summary>Taken from another run in the zero file, because this one has none of its own.</summary>
    Borrowed,

    /// <summary>None was found: the reading is used as logged and nothing that needs an absolute load is answered.</summary>
    None,
}

/// <summary>A stretch of standstill from which zeros were taken.</summary>
/// <param name="StartIndex">First sample on the clock.</param>
/// <param name="EndIndex">One past the last.</param>
/// <param name="StartS">Its first time, s.</param>
/// <param name="EndS">Its last time, s.</param>
/// <param name="OnStands">True when the car hung on stands.</param>
public sealed record StandstillWindow(int StartIndex, int EndIndex, double StartS, double EndS, bool OnStands)
{
    /// <summary>What the engine did meanwhile.</summary>
    public EngineState Engine { get; init; }
}

/// <summary>What the engine did during a standstill. Its vibration loosens the suspension's friction, so stops with and without it need not agree.</summary>
public enum EngineState
{
    /// <summary>The log has no engine speed.</summary>
    Unknown,

    /// <summary>It stood.</summary>
    Off,

    /// <summary>It ran all the time.</summary>
    Running,

    /// <summary>It was started or stopped meanwhile.</summary>
    Changed,
}

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
    bool FollowsTemperature)
{
    /// <summary>What the standard uncertainty is made of.</summary>
    public ZeroBudget Budget { get; init; } = ZeroBudget.None;

    /// <summary>Offset at each window, N, in the order of <see cref="ZeroedLoads.Windows"/>, NaN where the cell read nothing; empty for a borrowed zero and for none.</summary>
    public ImmutableArray<double> AtWindowsN { get; init; } = [];

    /// <summary>Standard uncertainty of <see cref="DriftN"/>, N: friction, repeat and resolution of both windows; null with one window.</summary>
    public double? DriftUncertaintyN { get; init; }

    /// <summary>Slope of the zero over cell temperature that was taken off, N/K; 0 when it follows time.</summary>
    public double PerKelvinN { get; init; }

    /// <summary>Standard deviation of the windows about their straight line (over temperature when it follows that, else over time), N; null below three windows.</summary>
    public double? ResidualScatterN { get; init; }

    /// <summary>
    /// Zero at stops that the suspension reached from more compressed, less that from more extended, N: twice the friction. Null unless four stops on the ground
    /// and both directions make it visible.
    /// </summary>
    public double? HysteresisN { get; init; }

    /// <summary>Cell temperature over the windows, K; NaN when it is not logged.</summary>
    public double TemperatureK { get; init; } = double.NaN;

    /// <summary>The run that a borrowed zero was taken from; null otherwise.</summary>
    public BorrowedZero? Borrowed { get; init; }
}

/// <summary>Where a borrowed zero comes from.</summary>
/// <param name="Run">Name of the run.</param>
/// <param name="AgeH">Time between the two runs, h, positive when it was taken before; null when one of them has no date.</param>
/// <param name="RunsKnown">How many runs of this cell the zero file knows.</param>
public sealed record BorrowedZero(string Run, double? AgeH, int RunsKnown);

/// <summary>Pushrod loads with the zero taken off, and damper travel from the static position; all on the run's clock.</summary>
public sealed record ZeroedLoads
{
    /// <summary>The run they belong to.</summary>
    public required Run Run { get; init; }

    /// <summary>Zeroed pushrod load of each corner at the full rate, N, compression positive, made from the reading when it is read; NaN where the cell gave none, empty where the run has no such channel.</summary>
    public required PerCorner<SampleSource> PushrodLoadN { get; init; }

    /// <summary>Damper travel of each corner from the static position, m, bump positive, made from the reading when it is read; null where there is no potentiometer.</summary>
    public required PerCorner<SampleSource?> DamperTravelM { get; init; }

    /// <summary>The zero of each cell.</summary>
    public required PerCorner<CornerZero> Zeros { get; init; }

    /// <summary>Standstill windows that were found, in time order.</summary>
    public required ImmutableArray<StandstillWindow> Windows { get; init; }

    /// <summary>The calibration of each cell; null where the car file has none, and the gain is then 1.</summary>
    public PerCorner<CellCalibration?> Calibrations { get; init; } = new(null, null, null, null);

    /// <summary>What was done to each cell's readings since the file, oldest first.</summary>
    public PerCorner<ImmutableArray<ProcessingStep>> Steps { get; init; } = new([], [], [], []);

    /// <summary>Reading of each damper potentiometer at the static position, m; NaN where it is not known.</summary>
    public PerCorner<double> TravelZeroM { get; init; } = new(double.NaN, double.NaN, double.NaN, double.NaN);

    /// <summary>Date and time of the run that ages and validities were reckoned from; null when neither the log nor a person says it.</summary>
    public DateTimeOffset? TakenAtUtc { get; init; }

    /// <summary>Standard uncertainty of a cell's gain, as a share: of its calibration, else what the car file states for the channel, else 0.</summary>
    public double GainUncertainty(Corner corner) =>
        Calibrations[corner]?.GainUncertainty ?? Run.Car.Mapping(ChannelRoles.PushrodLoad(corner))?.GainUncertainty ?? 0;

    /// <summary>Why no absolute load can be given, or null when the zeros hold.</summary>
    public required string? WithheldBecause { get; init; }

    /// <summary>What a person should know about the zeros: drift, scatter, missing windows.</summary>
    public required ImmutableArray<HealthFinding> Findings { get; init; }

    /// <summary>True when the loads were low-passed before they reached the file, so that strikes and cycles must not be taken from them.</summary>
    public required bool IsLowPassed { get; init; }
}
