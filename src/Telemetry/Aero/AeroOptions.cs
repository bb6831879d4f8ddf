using System.Collections.Immutable;

namespace Telemetry.Aero;

/// <summary>A stretch of time.</summary>
/// <param name="StartS">Start, s; in.</param>
/// <param name="EndS">End, s; out.</param>
public readonly record struct TimeSpanS(double StartS, double EndS);

/// <summary>How aero load is estimated.</summary>
public sealed record AeroOptions
{
    /// <summary>Defaults.</summary>
    public static AeroOptions Default { get; } = new();

    /// <summary>Air speed at which the headline is given, m/s; null (default) chooses a round speed inside the fastest third of the speeds covered.</summary>
    public double? AtSpeedMps { get; init; }

    /// <summary>Length of a window, s. Default 0.5: the mean over it passes 1 % of a 2 Hz motion and less than a fifth of any faster one, while speed changes by at most 2.5 m/s.</summary>
    public double WindowS { get; init; } = 0.5;

    /// <summary>Largest lateral specific force in a quasi-steady window, m/s2. Default 0.15 g: above it the load transfer of cornering and the body's roll begin to move the aero load.</summary>
    public double HighestLateralMps2 { get; init; } = 0.15 * StandardGravity.Mps2;

    /// <summary>Largest longitudinal specific force, m/s2. Default 0.5 g: above it the pitch of the body and the error of the height of the centre of gravity weigh too much.</summary>
    public double HighestLongitudinalMps2 { get; init; } = 0.5 * StandardGravity.Mps2;

    /// <summary>Lowest road speed, m/s. Default 20: below it the aero load drowns in friction and in the zero.</summary>
    public double LowestSpeedMps { get; init; } = 20;

    /// <summary>Time to keep from a kerb strike, s. Default 0.4: body and wheel motion have died away after one to two periods of heave.</summary>
    public double DisturbanceMarginS { get; init; } = 0.4;

    /// <summary>A load that leaves the mean of its window by this multiple of what is usual on this run's straights marks a strike. Default 3: more than six standard deviations of a normal road.</summary>
    public double DisturbanceFactor { get; init; } = 3;

    /// <summary>Stretches to leave out besides, for instance where another car ran close ahead. Default none.</summary>
    public ImmutableArray<TimeSpanS> DisturbedS { get; init; } = [];

    /// <summary>Fewest quasi-steady windows that make a pass. Default 3: 1.5 s of straight.</summary>
    public int FewestWindowsInPass { get; init; } = 3;

    /// <summary>Fewest passes that give an answer. Default 3: below there is no honest interval.</summary>
    public int FewestPasses { get; init; } = 3;

    /// <summary>Smallest ratio of the highest to the lowest speed covered. Default 1.1: dynamic pressure then varies by a fifth, so that a reference speed lies inside and not at an edge. The model has no intercept that a wide range would have to find.</summary>
    public double SmallestSpeedRatio { get; init; } = 1.1;

    /// <summary>Smallest angle between two headings from which wind is estimated, rad. Default 60 degrees.</summary>
    public double SmallestHeadingSpreadRad { get; init; } = Math.PI / 3;

    /// <summary>
    /// Standard deviation of each component of an unknown steady wind at the height of the car, m/s. Default 2.5: a wind of 5 m/s from any side, a fresh breeze
    /// (Beaufort 5, 8.0 to 10.7 m/s at 10 m height) of which the boundary layer leaves about 60 % near the ground, then lies inside 95 %.
    /// </summary>
    public double AssumedWindMps { get; init; } = 2.5;

    /// <summary>
    /// Wind at the height of the car as a share of what a weather station logs. Default 0.65: a mast of 10 m against a wing at 0.5 m by the power law with exponent 1/7
    /// (common practice, no source); 1 for a sensor at the height of the car beside the track.
    /// </summary>
    public double StationWindShare { get; init; } = 0.65;

    /// <summary>Standard uncertainty of that share, of the station's wind. Default 0.15.</summary>
    public double StationWindShareUncertainty { get; init; } = 0.15;

    /// <summary>Standard uncertainty of each component of a station's wind that comes from its place, m/s. Default 0.5.</summary>
    public double StationWindMps { get; init; } = 0.5;

    /// <summary>
    /// Scatter of the head wind from one straight pass to the next that is exceeded in half of the runs in a breeze, m/s; the prior is half-Cauchy. Default 1: a fifth of a
    /// wind of 5 m/s, the intensity of turbulence near open ground (common practice, no source). From some ten passes on the log decides and this hardly counts.
    /// </summary>
    public double GustScaleMps { get; init; } = 1;

    /// <summary>
    /// Share of runs in air that is as good as still or steady, 0 to 1. Default 0.5: nothing is known of the day, and with four passes nothing else could tell an interval that the
    /// air was still. 0 allows for gusts in every run.
    /// </summary>
    public double CalmShare { get; init; } = 0.5;

    /// <summary>
    /// Scatter of the head wind from pass to pass that is exceeded in half of those runs, m/s; half-Cauchy too, above 0. Default 0.05: an eighth of a percent of the load at
    /// 280 km/h, about what the noise of a pass hides.
    /// </summary>
    public double CalmGustScaleMps { get; init; } = 0.05;

    /// <summary>Whether the lift area may follow ride heights from sensors or wheel travel. Default true; false for sensors that cannot be trusted.</summary>
    public bool UseRideHeights { get; init; } = true;

    /// <summary>Standard deviation of the change of a lift area with either ride height, share per mm, where ride heights or wheel travels are measured. Default 0.01, common practice, no source.</summary>
    public double HeightSharePerMm { get; init; } = 0.01;

    /// <summary>Standard deviation of the curvature of a lift area over either ride height, share per mm2. Default 0.0001: the slope of 1 % per mm then changes by a fifth over 10 mm; common practice, no source.</summary>
    public double HeightCurvatureSharePerMm2 { get; init; } = 0.0001;

    /// <summary>Where no ride height is known: standard deviation of the curvature of the lift area over dynamic pressure, as a share of the lift area. Default 0.1: lift area moves by 1 % per millimetre of ride height or so, common practice, no source.</summary>
    public double CurvatureShare { get; init; } = 0.1;

    /// <summary>
    /// Where no ride height is known: standard deviation of the change of an axle's lift area with longitudinal acceleration, share per m/s2. Default 0.004: the body pitches by some
    /// 0.3 mm of ride height per m/s2 and lift area moves by 1 % per millimetre or so, common practice, no source.
    /// </summary>
    public double PitchSharePerMps2 { get; init; } = 0.004;

    /// <summary>Standard uncertainty of an accelerometer's offset during the run against the standstill, m/s2. Default 0.03: thermal drift and a ground that is level to 0.3 %.</summary>
    public double AccelerometerDriftMps2 { get; init; } = 0.03;

    /// <summary>
    /// The part of <see cref="AccelerometerDriftMps2"/> that standstills before and after a run cannot rule out as drift of that run alone, m/s2. Default 0.005: temperature
    /// within the minutes between, and ground that is not level; common practice, no source. The rest is taken to come back in every run.
    /// </summary>
    public double AccelerometerRepeatMps2 { get; init; } = 0.005;

    /// <summary>
    /// Standard uncertainty of an accelerometer's offset in a run without a standstill on the ground to take it off at, m/s2. Default 0.15: 10 mg of the sensor and 0.6 degrees of
    /// its mounting, common practice, no source.
    /// </summary>
    public double AccelerometerOffsetMps2 { get; init; } = 0.15;

    /// <summary>Standard uncertainty of the share of the driving force that the links carry, where the car file gives one. Default 0.05 of the transfer: it moves with travel by some percent; common practice, no source.</summary>
    public double LinkageShareUncertainty { get; init; } = 0.05;

    /// <summary>Standard uncertainty of the fuel burned since standstill where it is not logged, as a share of it. Default 0.1.</summary>
    public double FuelBurnShare { get; init; } = 0.1;

    /// <summary>Number of speeds on the curve. Default 20.</summary>
    public int CurvePoints { get; init; } = 20;

    /// <summary>A reason from outside (health of the log) why no answer may be given, as one sentence; null (default) when there is none.</summary>
    public string? WithholdBecause { get; init; }
}
