namespace Telemetry.Health;

/// <summary>From what size on something is a finding.</summary>
public sealed record HealthOptions
{
    /// <summary>Defaults.</summary>
    public static HealthOptions Default { get; } = new();

    /// <summary>Above this speed a live sensor moves, m/s. Default 10: road and engine shake every sensor of the suspension.</summary>
    public double RunningSpeedMps { get; init; } = 10;

    /// <summary>Below this speed the car stands, m/s. Default 0.3: above the noise of a wheel-speed sensor at rest, below a push by hand.</summary>
    public double StandstillSpeedMps { get; init; } = 0.3;

    /// <summary>Cut from an edge of a standstill, s. Default 0.8: the body's pitch after stopping has died away.</summary>
    public double StandstillEdgeS { get; init; } = 0.8;

    /// <summary>Shorter stretches of running or standing are not looked at, s. Default 1: a few periods of the body.</summary>
    public double ShortestStretchS { get; init; } = 1;

    /// <summary>Chance with which one statistical test of one healthy channel may raise a finding. Default 1e-6: with some 25 channels and 10 tests the run's is then below 0.1 %.</summary>
    public double ChanceOfFalseAlarm { get; init; } = 1e-6;

    /// <summary>The same for soft clipping, whose test assumes that peaks become rarer upwards. Default 1e-8: it tries nine shares, and the same kerb struck alike on every lap makes some peaks equal.</summary>
    public double ChanceOfSoftClipping { get; init; } = 1e-8;

    /// <summary>A load cell, damper or accelerometer that repeats one number for this long while running is stuck, s. Default 0.5: several periods of the body's motion.</summary>
    public double StuckS { get; init; } = 0.5;

    /// <summary>A repeated number at the channel's own extreme is clipping, and only from this length on stuck, s. Default 2: no load stays past a limit for so long.</summary>
    public double StuckAtExtremeS { get; init; } = 2;

    /// <summary>A ride height that repeats one number for this long while running is stuck, s. Default 5: a coarse sensor may rest on a smooth straight.</summary>
    public double StuckSlowS { get; init; } = 5;

    /// <summary>Shortest rest of the speed on one number that is held against the accelerometer, s. Default 2: long against a lag between the two.</summary>
    public double StuckSpeedLeastS { get; init; } = 2;

    /// <summary>Change of speed by the accelerometer during a rest from which on the speed is stuck, m/s, two steps of the speed more. Default 2.</summary>
    public double StuckSpeedChangeMps { get; init; } = 2;

    /// <summary>What the longitudinal accelerometer may be off by (tilt, gradient, zero), m/s2. Default 0.7: a gradient of 4 % and 0.03 g of zero.</summary>
    public double AccelerationDoubtMps2 { get; init; } = 0.7;

    /// <summary>Without an accelerometer a speed that rests for this long is stuck, s. Default 30: a pit lane at its speed limit takes less (common practice, no source).</summary>
    public double StuckSpeedAloneS { get; init; } = 30;

    /// <summary>Missing samples beyond this share of a channel make it doubtful. Default 0.001.</summary>
    public double GapShareDoubtful { get; init; } = 0.001;

    /// <summary>Missing samples beyond this share make a load cell unusable. Default 0.2.</summary>
    public double GapShareUnusable { get; init; } = 0.2;

    /// <summary>A reading within this share of the range from its end counts as at the limit. Default 0.001.</summary>
    public double RangeEdgeShare { get; init; } = 0.001;

    /// <summary>Largest acceleration of a car along the road, m/s2. Default 70: 7 g, more than tyres and aero load of any car give (common practice, no source).</summary>
    public double LargestAccelerationMps2 { get; init; } = 70;

    /// <summary>Largest rate of a cell's temperature, K/s. Default 5: a steel body of some 0.1 kg cannot follow faster.</summary>
    public double LargestTemperatureRateKps { get; init; } = 5;

    /// <summary>Smaller jumps of a temperature are never a spike, K. Default 5.</summary>
    public double LargestTemperatureStepK { get; init; } = 5;

    /// <summary>Above this frequency motion counts as dynamic, Hz. Default 3: above the body's modes of heave and pitch.</summary>
    public double DynamicFromHz { get; init; } = 3;

    /// <summary>Error of a step, q / sqrt(12), from which on a load or travel is coarse, share of its dynamic motion. Default 0.05: it then adds 0.1 % to the variance and cycles of that size are stairs.</summary>
    public double StepShareOfMotion { get; init; } = 0.05;

    /// <summary>Step of an accelerometer that is too coarse, m/s2. Default 0.5: a twentieth of g, the size of a gradient of 5 %.</summary>
    public double CoarseAccelerationMps2 { get; init; } = 0.5;

    /// <summary>Step of a ride height that is too coarse, m. Default 0.001: what a shim moves.</summary>
    public double CoarseRideHeightM { get; init; } = 0.001;

    /// <summary>Step of a speed that is too coarse, m/s. Default 0.56: 2 km/h; dynamic pressure at 200 km/h is then in steps of 2 %.</summary>
    public double CoarseSpeedMps { get; init; } = 0.56;

    /// <summary>Noise at standstill that is too large for a load or travel, share of its dynamic motion. Default 0.1: a hundredth of its variance.</summary>
    public double NoiseShareOfMotion { get; init; } = 0.1;

    /// <summary>Noise of the mean of half a second of an accelerometer that is too large, m/s2. Default 0.1: a hundredth of g, so of the car's weight in the vertical balance.</summary>
    public double NoiseOfMeanMps2 { get; init; } = 0.1;

    /// <summary>Noise of a speed at standstill that is too large, m/s. Default 0.3: the speed below which the car is said to stand.</summary>
    public double NoiseOfSpeedMps { get; init; } = 0.3;

    /// <summary>Noise of a ride height at standstill that is too large, m. Default 0.002: a tenth of what the floor of a low car stands above the road.</summary>
    public double NoiseOfRideHeightM { get; init; } = 0.002;

    /// <summary>Fewest segments of a spectrum that is judged. Default 16: a band of a few lines is then known to some 20 %, small against the thresholds' factors of four.</summary>
    public int SpectrumSegments { get; init; } = 16;

    /// <summary>Density of a load at 10 to 25 Hz over that at 2 to 5 Hz below which it was low-passed. Default 0.02: a quarter of what simulated cars show at least on any road.</summary>
    public double HubShareOfLoad { get; init; } = 0.02;

    /// <summary>The same for a damper's travel. Default 0.0035.</summary>
    public double HubShareOfTravel { get; init; } = 0.0035;

    /// <summary>Density of a load at 30 to 60 Hz over that at 10 to 25 Hz below which it was low-passed. Default 0.008: a quarter of what simulated cars show at least, and less than half of (16/42)^4.</summary>
    public double AboveHubShareOfLoad { get; init; } = 0.008;

    /// <summary>The same for a damper's travel. Default 0.0016.</summary>
    public double AboveHubShareOfTravel { get; init; } = 0.0016;

    /// <summary>Density at the Nyquist edge times the bandwidth, over the dynamic variance, from which on aliasing is suspected. Default 0.03: about a sixth of the dynamic motion (root of 0.03).</summary>
    public double FoldedShare { get; init; } = 0.03;

    /// <summary>The same for accelerometers, whose answers are means. Default 0.2.</summary>
    public double FoldedShareOfAcceleration { get; init; } = 0.2;

    /// <summary>The noise floor seen at standstill is taken off this many times. Default 1.5: the spectrum at the edge is known to some 10 %, and noise grows somewhat with load.</summary>
    public double FloorMargin { get; init; } = 1.5;

    /// <summary>Scatter of time stamps that is a finding, share of a step. Default 0.02: a strike's flank of 10 ms logged at 1000 Hz is then wrong by less than 1 % of its height.</summary>
    public double JitterShare { get; init; } = 0.02;

    /// <summary>Drift of two clocks over the run that matters, s. Default 0.03: at 70 m/s a place on the lap moves by 2 m, most of a wheelbase, and a strike is paired with the wrong one.</summary>
    public double DriftS { get; init; } = 0.03;

    /// <summary>Standard errors that a drift must reach. Default 6: with the five windows of a short run (three degrees of freedom) a chance of 1 %, to which the size above must come; with twenty windows 1e-5 (Student).</summary>
    public double DriftErrors { get; init; } = 6;

    /// <summary>Below this logging rate of the load cells kerb strikes are doubtful, Hz. Default 200: a strike of 10 ms has then two samples.</summary>
    public double StrikeRateHz { get; init; } = 200;

    /// <summary>Shortest kerb strike, s. Default 0.010: a kerb's edge at speed (common practice, no source).</summary>
    public double ShortestStrikeS { get; init; } = 0.010;

    /// <summary>Share of a strike's peak that may fall between two samples, for the advice on the rate. Default 0.02: as much as gain and zero leave open.</summary>
    public double LostShare { get; init; } = 0.02;

    /// <summary>The vertical accelerometer at standstill may differ from standard gravity by this much, m/s2. Default 0.5.</summary>
    public double StandstillGravityMps2 { get; init; } = 0.5;
}
