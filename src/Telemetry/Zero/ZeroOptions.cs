namespace Telemetry.Zero;

/// <summary>How zeros are found.</summary>
public sealed record ZeroOptions
{
    /// <summary>Defaults.</summary>
    public static ZeroOptions Default { get; } = new();

    /// <summary>Below this speed the car stands, m/s. Default 0.3: above the noise of a wheel-speed sensor at rest, below a push by hand.</summary>
    public double StandstillSpeedMps { get; init; } = 0.3;

    /// <summary>Shortest standstill that gives a zero, s. Default 4: long enough for five independent blocks after the edges are cut.</summary>
    public double ShortestStandstillS { get; init; } = 4;

    /// <summary>Cut from both ends of a standstill, s. Default 0.8: the body's pitch after stopping has died away, and the clutch is not yet taken up.</summary>
    public double CutAtEdgesS { get; init; } = 0.8;

    /// <summary>Length of the blocks whose medians are compared for the scatter, s. Default 0.5.</summary>
    public double BlockS { get; init; } = 0.5;

    /// <summary>On stands every damper is extended from the static position by at least this, m. Default 0.010: more than any change of fuel or friction moves it.</summary>
    public double StandsDroopM { get; init; } = 0.010;

    /// <summary>Change of cell temperature between the windows from which on the drift is taken to follow temperature rather than time, K. Default 5.</summary>
    public double TemperatureChangeK { get; init; } = 5;

    /// <summary>
    /// Largest shift of a zero per kelvin that is believed to be thermal, as a share of the cell's range. Default 0.0002 (0.02 % of range per kelvin, common practice
    /// for a compensated cell, no source). A larger drift has another cause and is interpolated with time.
    /// </summary>
    public double LargestThermalShiftShare { get; init; } = 0.0002;

    /// <summary>Assumed standard uncertainty of the drift where there is only one window, as a share of the cell's range. Default 0.002: a zero shift of 0.02 % of range per kelvin over 10 K, common practice, no source.</summary>
    public double UnknownDriftShareOfRange { get; init; } = 0.002;

    /// <summary>The same in N where the car file gives no range. Default 40.</summary>
    public double UnknownDriftN { get; init; } = 40;

    /// <summary>Assumed relative standard uncertainty of an axle's split between left and right where no corner weights are given. Default 0.03.</summary>
    public double UnknownSideShare { get; init; } = 0.03;

    /// <summary>
    /// An offset beyond this multiple of the load that the cell should carry at standstill, and beyond <see cref="ZeroLimitShareOfRated"/>, on two corners or more, means that
    /// log and car file do not belong together. Default 0.3: the same car with another driver and fuel differs by less, another kind of car by more.
    /// </summary>
    public double ForeignCarShare { get; init; } = 0.3;

    /// <summary>Largest zero of a sound cell, share of its rated load (the larger end of its range). Default 0.02: data sheets state a zero balance within 1 %, and mounting adds as much (common practice, no source).</summary>
    public double ZeroLimitShareOfRated { get; init; } = 0.02;

    /// <summary>Beyond this multiple of the load at standstill, and beyond <see cref="ZeroLimitShareOfRated"/>, one cell alone makes the log unusable. Default 0.75: a reversed sign is off by 2, a cell that reads nothing by 1.</summary>
    public double LostZeroShare { get; init; } = 0.75;

    /// <summary>Drift beyond this many standard uncertainties of the zero is reported. Default 3.</summary>
    public double DriftAlarm { get; init; } = 3;

    /// <summary>Drift below this share of the cell's range is never reported. Default 0.003.</summary>
    public double DriftFloorShareOfRange { get; init; } = 0.003;
}
