namespace Telemetry.CrossChecks;

/// <summary>How sensors are held against each other, and how far a healthy car may be from the model.</summary>
/// <remarks>
/// The model is kept small on purpose (see README.md in this folder), so each of its statements carries an allowance: a standard deviation that covers
/// what it leaves out and what is left unsaid in a car file. A deviation counts only against measurement scatter and allowance together.
/// </remarks>
public sealed record CrossCheckOptions
{
    /// <summary>Defaults.</summary>
    public static CrossCheckOptions Default { get; } = new();

    /// <summary>Length of the blocks that are averaged, s. Default 0.2: a zero at the frequency of heave and roll (4 to 6 Hz), short against a corner.</summary>
    public double BlockS { get; init; } = 0.2;

    /// <summary>Above this speed the car runs, m/s. Default 8, as for kerb strikes: jacks, pushing and standstill are left out.</summary>
    public double RunningMps { get; init; } = 8;

    /// <summary>Length of the clusters for the robust covariance, s. Default 10: longer than a straight's gust, a corner or the stick of a damper, so that clusters are nearly independent.</summary>
    public double ClusterS { get; init; } = 10;

    /// <summary>Fewest clusters with running blocks. Default 6: a covariance from fewer says nothing about eleven regressors.</summary>
    public int FewestClusters { get; init; } = 6;

    /// <summary>A block in which a channel leaves the fit by more than this many robust deviations is a kerb or a kink and is left out. Default 6.</summary>
    public double TrimAt { get; init; } = 6;

    /// <summary>
    /// Allowed difference of a load cell, with its lever and its side of the car, from its mirror image, share of the response. Default 0.01: a ratio machined to half a
    /// percent, a wing alike on both sides to as much, a cell's gain to a third (common practice, no source). As much again for a frame that stands twisted.
    /// </summary>
    public double LoadAsymmetry { get; init; } = 0.01;

    /// <summary>The same of a damper. Default 0.02: springs of a pair differ by 1 to 2 %, potentiometers by 1 % (common practice, no source).</summary>
    public double TravelAsymmetry { get; init; } = 0.02;

    /// <summary>Response to one motion that may show up under another, share of the largest response. Default 0.006: what a straight-line model makes of curved springs on a circuit with more turns to one side.</summary>
    public double Leakage { get; init; } = 0.006;

    /// <summary>Allowed error of the roll moment worked out from masses and heights, share. Default 0.08: 2 cm in the height of the sprung centre, or the lean of the body on its springs.</summary>
    public double RollMomentShare { get; init; } = 0.08;

    /// <summary>Allowed error of the front share of the roll moment where spring, bar and tyre rates are given. Default 0.1; without them the share is one half, give or take 0.25.</summary>
    public double RollSplit { get; init; } = 0.1;

    /// <summary>Allowed error of the longitudinal load transfer on springs, share. Default 0.2: the aero load moves with the pitch, and link shares are known to some 5 % of the transfer.</summary>
    public double BrakingShare { get; init; } = 0.2;

    /// <summary>The same when driving. Default 0.5: less than 1 g, and drag stands in it.</summary>
    public double DrivingShare { get; init; } = 0.5;

    /// <summary>Allowed error of the response of all four loads to vertical acceleration, share. Default 0.1.</summary>
    public double VerticalShare { get; init; } = 0.1;

    /// <summary>
    /// Allowed error of the compliance that springs, bar and third element of the car file give in roll, share. Default 0.15: a rate that is 10 % off, and the bar's mounts,
    /// are no fault of a sensor. In heave and pitch twice and three times as much, because the third element's rubber is curved.
    /// </summary>
    public double ComplianceShare { get; init; } = 0.15;

    /// <summary>From this share on a car file's rate that disagrees with load against travel is told. Default 0.15, and its 95 % interval must leave out 0.10.</summary>
    public double ToldComplianceShare { get; init; } = 0.15;

    /// <summary>Allowed zero of a load cell as a standard deviation, share of its rated load (the larger end of its range). Default 0.008: data sheets state a zero balance within 1 % of rated output, and a rod end's bolt adds to it (common practice, no source).</summary>
    public double ZeroBalanceShare { get; init; } = 0.008;

    /// <summary>The same where the car file gives no range, share of the load at standstill. Default 0.15.</summary>
    public double ZeroOfStaticShare { get; init; } = 0.15;

    /// <summary>Allowed difference of the way driven in a lap from the car file's lap length, share. Default 0.006: a racing line is shorter than the middle of the road by some 0.5 % (common practice, no source).</summary>
    public double LapLengthShare { get; init; } = 0.006;

    /// <summary>A lap distance that agrees with the integrated speed within this share on every lap was made of it and proves nothing. Default 0.001.</summary>
    public double SameDistanceShare { get; init; } = 0.001;

    /// <summary>Allowed difference between a wheel's speed and the road speed, share. Default 0.03: rolling radius and slip.</summary>
    public double WheelSpeedShare { get; init; } = 0.03;

    /// <summary>Allowed difference between the way from positions and from speed, share. Default 0.01.</summary>
    public double PositionShare { get; init; } = 0.01;

    /// <summary>Allowed error of an accelerometer's gain against the change of speed or the yaw rate, share. Default 0.03: data sheets state 1 to 2 %, and the body leans by a degree.</summary>
    public double AccelerationGainShare { get; init; } = 0.03;

    /// <summary>Allowed offset of a level accelerometer, m/s2. Default 0.12, 0.7 degrees: a paddock's slope at standstill, the body's attitude and the camber while running.</summary>
    public double AccelerationOffsetMps2 { get; init; } = 0.12;

    /// <summary>Probability of one false alarm a run that is accepted over all hypotheses together, if the allowances are right. Default 0.005: half of what the whole check of a log may have.</summary>
    public double FalseAlarms { get; init; } = 0.005;

    /// <summary>The same for a finding that withholds answers. Default 0.001; between the two a finding is doubtful.</summary>
    public double FalseUnusable { get; init; } = 0.001;

    /// <summary>A gain that lies outside 1 by more than this with its whole 95 % interval makes the sensor unusable; less is doubtful. Default 0.05: then the aero load of an axle is off by more than 2.5 %, twice its usual interval.</summary>
    public double UnusableGain { get; init; } = 0.05;

    /// <summary>The same of a damper. Default 0.25: it touches the loads through the ratio's change with travel only, some half a percent then.</summary>
    public double UnusableTravelGain { get; init; } = 0.25;

    /// <summary>The same of speed. Default 0.025: dynamic pressure goes with its square.</summary>
    public double UnusableSpeedGain { get; init; } = 0.025;

    /// <summary>Two explanations whose criterion differs by less than this cannot be told apart. Default 6: odds of 20 to 1, "strong" as Kass and Raftery, J. Am. Stat. Assoc. 90 (1995) 773, call it.</summary>
    public double ApartBy { get; init; } = 6;

    /// <summary>Most faults that are looked for in one log. Default 3: with more wrong at once the log says only that it cannot be believed.</summary>
    public int MostFaults { get; init; } = 3;
}
