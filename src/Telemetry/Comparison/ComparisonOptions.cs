using System.Collections.Immutable;

namespace Telemetry.Comparison;

/// <summary>How runs are compared.</summary>
public sealed record ComparisonOptions
{
    /// <summary>Defaults.</summary>
    public static ComparisonOptions Default { get; } = new();

    /// <summary>Setup of each run as a label, in the order of the runs; empty (default) tells setups apart by the car files. The first run's setup is the baseline.</summary>
    public ImmutableArray<string> Setups { get; init; } = [];

    /// <summary>Difference that is wanted, share of the baseline. Default 0.015: what a wing step of a small car brings, common practice, no source.</summary>
    public double WantedShare { get; init; } = 0.015;

    /// <summary>Smallest difference that matters, share of the baseline. Default 0: any gain counts.</summary>
    public double SmallestShare { get; init; }

    /// <summary>Standard deviation of each component of a shift of the steady wind between two runs, m/s. Default 2: a light breeze may come or go within the hour.</summary>
    public double WindShiftMps { get; init; } = 2;

    /// <summary>
    /// Standard uncertainty of the change of air density between two runs as one car's own sensors or one station log it, share. Default 0.001: sensors repeat to 0.3 K and 20 Pa, common practice, no source.
    /// The rest of a logged density's uncertainty is the sensors' own and cancels.
    /// </summary>
    public double LoggedDensityShare { get; init; } = 0.001;

    /// <summary>
    /// Standard uncertainty of a run's density about a drift that is taken out, where one note of the weather serves all runs, share. Default 0.002: half a kelvin and 30 Pa beside a straight line over an hour or two,
    /// common practice, no source. Without a repeated setup no drift is taken out and the whole uncertainty of the note counts for each run.
    /// </summary>
    public double NotedDensityShare { get; init; } = 0.002;

    /// <summary>
    /// Standard uncertainty of a run's density where the standard atmosphere was assumed for all, share. Default 0.012: 3 K and 3 hPa of weather between two runs of a day. How far the day lies from the standard cancels.
    /// </summary>
    public double AssumedDensityShare { get; init; } = 0.012;

    /// <summary>Standard uncertainty of an accelerometer's drift during a run, m/s2. Default 0.03, as the aero stage takes it.</summary>
    public double AccelerometerDriftMps2 { get; init; } = 0.03;

    /// <summary>Standard uncertainty of the engine's power from run to run, share. Default 0.005: temperature, fuel and wear at one mapping, common practice, no source.</summary>
    public double EnginePowerShare { get; init; } = 0.005;

    /// <summary>Standard uncertainty of a ride height sensor's drift from run to run, m. Default 0.0001, common practice, no source.</summary>
    public double SensorHeightM { get; init; } = 0.0001;

    /// <summary>The same for a ride height from damper travel, m. Default 0.0003: where the standing car settles within its friction, common practice, no source.</summary>
    public double DamperHeightM { get; init; } = 0.0003;

    /// <summary>Probability of calling a nil change real. Default 0.05.</summary>
    public double Level { get; init; } = 0.05;

    /// <summary>Largest difference between the speeds that two kept results are centred on, share. Default 0.1: their passes then still overlap.</summary>
    public double SpeedMismatchShare { get; init; } = 0.1;
}
