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

    /// <summary>
    /// Half-width of what the suspension's friction may hold a cell off its balance at a stop, as a share of the load that it should carry. Default 0.01: corner weights repeat
    /// within a kilogram or two of 150 when the car is rolled on and off the scales; common practice, no source. Three windows or more show it themselves.
    /// </summary>
    public double FrictionShareOfLoad { get; init; } = 0.01;

    /// <summary>How many windows the assumed friction weighs as much as, when the windows' own scatter shows it. Default 2.</summary>
    public double FrictionWeight { get; init; } = 2;

    /// <summary>Above this the engine runs, rad/s. Default 40 (380 rpm): a starter turns it at 200 to 300 rpm, and none idles that low; common practice, no source.</summary>
    public double EngineRunningRadps { get; init; } = 40;

    /// <summary>Speed above which the road shakes the car, m/s. Default 20.</summary>
    public double RoadSpeedMps { get; init; } = 20;

    /// <summary>
    /// A stop whose load cells scatter by more than this share of what they do on the road is none. Default 0.25: an engine at idle shakes a cell by some tens of newtons,
    /// a road by several hundred. Nothing is refused in a log without a road.
    /// </summary>
    public double StillnessShare { get; init; } = 0.25;

    /// <summary>Change of a damper on coming to a stop that tells from which side it came, m. Default 0.001: ten times the noise of a potentiometer.</summary>
    public double ApproachM { get; init; } = 0.001;

    /// <summary>Zeros of other runs, from the zero file; none by default.</summary>
    public ZeroHistory History { get; init; } = ZeroHistory.Empty;

    /// <summary>Hash of this run's log, so that its own entry in the zero file is not taken for another run's; null when there is no zero file.</summary>
    public string? LogHash { get; init; }

    /// <summary>Date and time of the run as a person states it; goes before the log's own, whose clock may never have been set. Null takes the log's.</summary>
    public DateTimeOffset? TakenAtUtc { get; init; }

    /// <summary>
    /// Assumed drift of a zero per hour between runs, as a share of the cell's range, standard uncertainty. Default 0.0005 (20 N of 40 kN): a cell's creep and zero return
    /// are some 0.03 % of rated output in half an hour (OIML R 60 tests creep over 30 minutes; from memory), and it is unbolted, warmed and cooled besides.
    /// </summary>
    public double DriftPerHourShareOfRange { get; init; } = 0.0005;

    /// <summary>Age of a borrowed zero where the runs have no dates, h. Default 24: nobody borrows from further back without noting a date.</summary>
    public double UnknownAgeH { get; init; } = 24;

    /// <summary>Longest drift that is reckoned with, h. Default 24: beyond a day a zero has settled about its long-term scatter, which the zero file shows.</summary>
    public double LongestAgeH { get; init; } = 24;

    /// <summary>Assumed standard deviation of a cell's zero from run to run where the zero file has too few runs to show it, as a share of the range. Default 0.002, common practice, no source.</summary>
    public double BetweenRunsShareOfRange { get; init; } = 0.002;

    /// <summary>Range of a cell where the car file gives none, N. Default 20000, so that shares of the range mean something.</summary>
    public double UnknownRangeN { get; init; } = 20_000;

    /// <summary>A zero that left its earlier runs with a smaller chance than this is reported. Default 0.001 a cell, 0.4 % a run of four.</summary>
    public double ShiftChance { get; init; } = 0.001;

    /// <summary>Drift beyond this many standard uncertainties of the zero is reported. Default 3.</summary>
    public double DriftAlarm { get; init; } = 3;

    /// <summary>Drift below this share of the cell's range is never reported. Default 0.003.</summary>
    public double DriftFloorShareOfRange { get; init; } = 0.003;
}
