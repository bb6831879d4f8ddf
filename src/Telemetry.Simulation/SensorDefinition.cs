using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>What the sensors and the logger do to the true signals.</summary>
public sealed record SensorDefinition
{
    /// <summary>Load cells.</summary>
    public LoadCellDefinition LoadCell { get; init; } = new();

    /// <summary>Rate of pushrod loads and damper travels, Hz.</summary>
    public int FastRateHz { get; init; } = 1000;

    /// <summary>Rate of accelerations and ride heights, Hz; divides the fast rate.</summary>
    public int MediumRateHz { get; init; } = 200;

    /// <summary>Rate of speed, pedals, lap, position and the like, Hz; divides the fast rate.</summary>
    public int SlowRateHz { get; init; } = 100;

    /// <summary>Rate of weather, fuel and temperatures, Hz; divides the fast rate.</summary>
    public int WeatherRateHz { get; init; } = 1;

    /// <summary>Noise of a damper travel, m (standard deviation).</summary>
    public double TravelNoiseM { get; init; } = 2e-5;

    /// <summary>Reading of each damper potentiometer at the static position, m.</summary>
    public PerCorner<double> TravelZeroM { get; init; } = new(0, 0, 0, 0);

    /// <summary>Noise of speed, m/s.</summary>
    public double SpeedNoiseMps { get; init; } = 0.02;

    /// <summary>Scale error of speed as a share.</summary>
    public double SpeedScaleError { get; init; }

    /// <summary>Noise of an acceleration, m/s2.</summary>
    public double AccelerationNoiseMps2 { get; init; } = 0.15;

    /// <summary>Offset of the accelerometers x, y, z, m/s2.</summary>
    public (double X, double Y, double Z) AccelerationOffsetMps2 { get; init; }

    /// <summary>Noise of a ride height, m.</summary>
    public double RideHeightNoiseM { get; init; } = 2e-4;

    /// <summary>Share of each role's range that noise and resolution keep; false turns every noise, resolution, range and dropout off.</summary>
    public bool IsPerfect { get; init; }

    /// <summary>Times without data: the logger writes nothing there.</summary>
    public ImmutableArray<DropoutDefinition> Dropouts { get; init; } = [];
}

/// <summary>The load cells in the pushrods.</summary>
public sealed record LoadCellDefinition
{
    /// <summary>Reading without load at the start of the run, N.</summary>
    public PerCorner<double> ZeroN { get; init; } = new(0, 0, 0, 0);

    /// <summary>Standard deviation of a further zero, drawn from the seed for each cell, N.</summary>
    public double ZeroScatterN { get; init; }

    /// <summary>Drift of the zero with time, N/s.</summary>
    public PerCorner<double> DriftNps { get; init; } = new(0, 0, 0, 0);

    /// <summary>Shift of the zero with the cell's temperature, N/K, counted from the temperature at the start.</summary>
    public PerCorner<double> TemperatureShiftNpK { get; init; } = new(0, 0, 0, 0);

    /// <summary>Rise of the cells' temperature towards the end of a long run, K; reached with a time constant of 150 s.</summary>
    public double WarmUpK { get; init; } = 12;

    /// <summary>Gain error of each cell as a share.</summary>
    public PerCorner<double> GainError { get; init; } = new(0, 0, 0, 0);

    /// <summary>Reading of each cell per load in the other cell of its axle, as a share: two cells on one amplifier and cable.</summary>
    public PerCorner<double> CrossTalk { get; init; } = new(0, 0, 0, 0);

    /// <summary>Noise, N (standard deviation).</summary>
    public double NoiseN { get; init; } = 4;

    /// <summary>Range of the cells, N; null takes the car file's, and none where it gives none.</summary>
    public (double Low, double High)? RangeN { get; init; }

    /// <summary>One step of the recorded load, N; null takes the car file's, and 1 N where it gives none.</summary>
    public double? ResolutionN { get; init; }

    /// <summary>Cut-off of an analogue second-order Butterworth low-pass before sampling, Hz; null means none.</summary>
    public double? LowPassHz { get; init; }
}

/// <summary>A time without data of one channel.</summary>
/// <param name="Role">The channel's role.</param>
/// <param name="PerMinute">Mean number of dropouts a minute, at random times.</param>
/// <param name="LengthS">Length of each, s.</param>
public sealed record DropoutDefinition(ChannelRole Role, double PerMinute, double LengthS);
