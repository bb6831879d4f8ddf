using System.Collections.Immutable;

namespace Telemetry.Output;

/// <summary>What summary.json holds. Units stand in the names; a number that is not known is null, never 0.</summary>
/// <remarks>
/// The file is the contract with other programs: members are only ever added. Names become snake case
/// (<c>FrontLoadN</c> is <c>front_load_n</c>). Numbers carry six significant digits.
/// </remarks>
public sealed record Summary
{
    /// <summary>Number of the file's form; grows when a reader of an older form could go wrong.</summary>
    public required int FormatVersion { get; init; }

    /// <summary>Version of the library that made the review.</summary>
    public required string LibraryVersion { get; init; }

    /// <summary>The run.</summary>
    public required SummaryRun Run { get; init; }

    /// <summary>The car.</summary>
    public required SummaryCar Car { get; init; }

    /// <summary>What needs a person, most urgent first.</summary>
    public required ImmutableArray<SummaryAction> Actions { get; init; }

    /// <summary>Can the log be trusted?</summary>
    public required SummaryHealth Health { get; init; }

    /// <summary>Faulty samples, repaired or left as logged, and what hangs on them.</summary>
    public required SummaryCleaning Cleaning { get; init; }

    /// <summary>The load cells' zeros.</summary>
    public required SummaryZero Zero { get; init; }

    /// <summary>Aero load.</summary>
    public required SummaryAero Aero { get; init; }

    /// <summary>Ride height, third elements, roll share.</summary>
    public required SummaryPlatform Platform { get; init; }

    /// <summary>Kerb strikes.</summary>
    public required SummaryKerbs Kerbs { get; init; }

    /// <summary>Why no cycles were counted, or null.</summary>
    public required string? FatigueWithheldBecause { get; init; }

    /// <summary>Every component of the car file, in its order.</summary>
    public required ImmutableArray<SummaryComponent> Components { get; init; }

    /// <summary>Laps in order.</summary>
    public required ImmutableArray<SummaryLap> Laps { get; init; }

    /// <summary>What the numbers are not: a clearance.</summary>
    public required ImmutableArray<string> Cautions { get; init; }
}

/// <summary>The run in the summary.</summary>
/// <param name="Name">Name of the run.</param>
/// <param name="StartedAtUtc">Date and time of the first row, ISO 8601, or null.</param>
/// <param name="DurationS">From the first to the last sample of the load cells, s.</param>
/// <param name="Samples">Samples on the clock of the load cells.</param>
/// <param name="RateHz">Samples a second.</param>
/// <param name="LapsFrom">What the laps were found from.</param>
public sealed record SummaryRun(string Name, string? StartedAtUtc, double? DurationS, int Samples, double? RateHz, string LapsFrom);

/// <summary>The car in the summary.</summary>
/// <param name="Name">The car's name.</param>
/// <param name="Basis">What turns a pushrod load into an aero load and cannot differ between two runs that are compared.</param>
/// <param name="Setup">What may be set differently from run to run and is shown beside a comparison.</param>
public sealed record SummaryCar(string Name, ImmutableArray<SummaryField> Basis, ImmutableArray<SummaryField> Setup);

/// <summary>A field of the car file, as text in SI units.</summary>
/// <param name="Field">Name of the field.</param>
/// <param name="Value">Its value.</param>
public sealed record SummaryField(string Field, string Value);

/// <summary>One thing to do.</summary>
/// <param name="Urgency">before_next_run or soon.</param>
/// <param name="Subject">What it concerns.</param>
/// <param name="Instruction">What to do.</param>
/// <param name="Because">Why.</param>
public sealed record SummaryAction(string Urgency, string Subject, string Instruction, string Because);

/// <summary>Health in the summary.</summary>
/// <param name="Verdict">good, doubtful or unusable.</param>
/// <param name="Findings">Worst first.</param>
public sealed record SummaryHealth(string Verdict, ImmutableArray<SummaryFinding> Findings)
{
    /// <summary>What the sensors say of each other, in a fixed order; empty when nothing could be compared.</summary>
    public ImmutableArray<SummaryCrossCheck> CrossChecks { get; init; } = [];

    /// <summary>Explanations that were tested, best first, five at most; the first is a finding only where its probability is small.</summary>
    public ImmutableArray<SummaryHypothesis> Hypotheses { get; init; } = [];

    /// <summary>Cross-checks that could not be made, and why.</summary>
    public ImmutableArray<string> CrossChecksLeftOut { get; init; } = [];
}

/// <summary>One statement of physics and what the log makes of it.</summary>
/// <param name="Name">What is compared.</param>
/// <param name="Unit">Unit of the numbers.</param>
/// <param name="Measured">What the log gives.</param>
/// <param name="Expected">What healthy sensors and the car file give.</param>
/// <param name="StandardUncertainty">Scatter and allowance together.</param>
/// <param name="Deviation">Measured less expected, in standard uncertainties.</param>
public sealed record SummaryCrossCheck(string Name, string Unit, double? Measured, double? Expected, double? StandardUncertainty, double? Deviation);

/// <summary>An explanation that was tested against healthy sensors.</summary>
/// <param name="Statement">What it says.</param>
/// <param name="LogLikelihoodGain">Gain in log likelihood over healthy sensors.</param>
/// <param name="FreeNumbers">Free numbers that it spends.</param>
/// <param name="PValue">Probability in a healthy log, over all explanations.</param>
public sealed record SummaryHypothesis(string Statement, double? LogLikelihoodGain, int FreeNumbers, double? PValue);

/// <summary>A finding in the summary.</summary>
/// <param name="Channel">Channel, or "log".</param>
/// <param name="Kind">Fixed word.</param>
/// <param name="Severity">good, doubtful or unusable.</param>
/// <param name="StartS">Start, s; null for the whole run.</param>
/// <param name="EndS">End, s.</param>
/// <param name="Message">What was seen.</param>
/// <param name="Consequence">Which answers it touches.</param>
/// <param name="Remedy">What to do.</param>
public sealed record SummaryFinding(
    string Channel, string Kind, string Severity, double? StartS, double? EndS, string Message, string Consequence, string Remedy);

/// <summary>Cleaning in the summary.</summary>
/// <param name="Repaired">Samples for which a straight line stands in, a channel and fault each.</param>
/// <param name="Left">Faulty samples that count as logged.</param>
/// <param name="Effects">Parts on which the choice makes a difference.</param>
public sealed record SummaryCleaning(ImmutableArray<SummaryRepair> Repaired, ImmutableArray<SummaryRepair> Left, ImmutableArray<SummaryRepairEffect> Effects);

/// <summary>Faulty samples of a channel in the summary.</summary>
/// <param name="Channel">Channel.</param>
/// <param name="Fault">spike or gap.</param>
/// <param name="Places">How many stretches.</param>
/// <param name="Samples">How many samples.</param>
/// <param name="LongestS">Longest stretch, s.</param>
/// <param name="FirstS">Start of the first, s.</param>
public sealed record SummaryRepair(string Channel, string Fault, int Places, int Samples, double? LongestS, double? FirstS);

/// <summary>A part on which faulty samples make a difference.</summary>
/// <param name="Id">The part.</param>
/// <param name="Counts">repaired or as_logged: what the other numbers of this file rest on.</param>
/// <param name="AsLogged">With the samples as logged.</param>
/// <param name="Repaired">With a straight line in their stead.</param>
public sealed record SummaryRepairEffect(string Id, string Counts, SummaryRepairedPart AsLogged, SummaryRepairedPart Repaired);

/// <summary>A part's numbers under one choice.</summary>
/// <param name="DamageRun">Miner sum of the run.</param>
/// <param name="PeakCompressionN">Largest compression, N.</param>
/// <param name="PeakTensionN">Largest tension, N.</param>
/// <param name="Verdict">run, inspect, retire or unknown.</param>
public sealed record SummaryRepairedPart(double? DamageRun, double? PeakCompressionN, double? PeakTensionN, string Verdict);

/// <summary>Zeros in the summary.</summary>
/// <param name="WithheldBecause">Why there is no absolute load, or null.</param>
/// <param name="Corners">The four cells.</param>
public sealed record SummaryZero(string? WithheldBecause, ImmutableArray<SummaryCornerZero> Corners);

/// <summary>One cell's zero.</summary>
/// <param name="Corner">FL, FR, RL or RR.</param>
/// <param name="Source">Where it came from, in snake case.</param>
/// <param name="StartN">At the first standstill, N.</param>
/// <param name="EndN">At the last, N.</param>
/// <param name="DriftN">Difference, N; null with one standstill.</param>
/// <param name="StandardUncertaintyN">Standard uncertainty, N.</param>
/// <param name="FollowsTemperature">Interpolated with temperature.</param>
public sealed record SummaryCornerZero(
    string Corner, string Source, double? StartN, double? EndN, double? DriftN, double? StandardUncertaintyN, bool FollowsTemperature)
{
    /// <summary>Standard uncertainty of the drift, N; null with one standstill.</summary>
    public double? DriftUncertaintyN { get; init; }

    /// <summary>Scatter of three standstills or more about a straight line, N; null below.</summary>
    public double? ResidualScatterN { get; init; }

    /// <summary>The run that a borrowed zero was taken from; null for a zero of its own.</summary>
    public string? BorrowedFrom { get; init; }

    /// <summary>Time between the two runs, h, positive when the zero was taken before; null when not known.</summary>
    public double? BorrowedAgeH { get; init; }

    /// <summary>Gain of the calibration, reading per load; null without a calibration.</summary>
    public double? Gain { get; init; }

    /// <summary>Standard uncertainty of the gain, share.</summary>
    public double? GainUncertainty { get; init; }

    /// <summary>The day of the calibration, ISO 8601; null when there is none or it has no date.</summary>
    public string? CalibratedOn { get; init; }
}

/// <summary>Ride height and the like in the summary.</summary>
/// <param name="RideHeightSource">Where the ride heights came from.</param>
/// <param name="BySpeed">Bands of speed.</param>
/// <param name="RollMomentFrontPct">Front share of the roll moment, %.</param>
/// <param name="ThirdFront">Front third element, or null.</param>
/// <param name="ThirdRear">Rear third element, or null.</param>
/// <param name="Notes">What is missing.</param>
public sealed record SummaryPlatform(
    string RideHeightSource,
    ImmutableArray<SummaryPlatformAtSpeed> BySpeed,
    SummaryEstimate? RollMomentFrontPct,
    SummaryThird? ThirdFront,
    SummaryThird? ThirdRear,
    ImmutableArray<string> Notes)
{
    /// <summary>Bump rubbers, stiffness, load transfer and lowest ride heights; null in a summary that was written before it was kept.</summary>
    public SummaryPlatformDetail? Detail { get; init; }
}

/// <summary>Ride height in a band of speed.</summary>
/// <param name="SpeedKmh">Middle of the band, km/h.</param>
/// <param name="FrontRideHeightMm">Front, mm.</param>
/// <param name="RearRideHeightMm">Rear, mm.</param>
/// <param name="RakeDeg">Rake, degrees, nose-down positive.</param>
/// <param name="Passes">Passes in the band.</param>
public sealed record SummaryPlatformAtSpeed(
    double? SpeedKmh, SummaryEstimate FrontRideHeightMm, SummaryEstimate RearRideHeightMm, SummaryEstimate RakeDeg, int Passes);

/// <summary>Use of a third element.</summary>
/// <param name="SpringEngagedPct">Share of the running time, %.</param>
/// <param name="RubberEngagedPct">Share of the running time, %; null without a rubber.</param>
/// <param name="RubberEngagesAboveKmh">Speed, km/h; null when never.</param>
/// <param name="LargestForceN">Largest force, N.</param>
public sealed record SummaryThird(double? SpringEngagedPct, double? RubberEngagedPct, double? RubberEngagesAboveKmh, double? LargestForceN);

/// <summary>Kerb strikes in the summary.</summary>
/// <param name="Strikes">Count; null when withheld.</param>
/// <param name="Exceedances">Strikes past a limit; null when withheld.</param>
/// <param name="WithheldBecause">Why there are none, or null.</param>
/// <param name="Kerbs">Kerbs, worst peak first.</param>
public sealed record SummaryKerbs(int? Strikes, int? Exceedances, string? WithheldBecause, ImmutableArray<SummaryKerb> Kerbs)
{
    /// <summary>Strikes whose peak is a lower bound: at the end of the sensor's range, beside a gap, or logged too slowly; null when withheld.</summary>
    public int? LowerBounds { get; init; }

    /// <summary>Strikes that were not judged against limits, because their load cell is not to be relied on; then the exceedances are of the others only.</summary>
    public int NotJudged { get; init; }
}

/// <summary>A kerb in the summary.</summary>
/// <param name="Number">From 1.</param>
/// <param name="DistanceM">Along the lap, m.</param>
/// <param name="Side">left or right.</param>
/// <param name="Strikes">Strikes.</param>
/// <param name="Laps">Laps with a strike.</param>
/// <param name="WorstPeakLoadN">Largest pushrod load, N.</param>
/// <param name="WorstCorner">Its corner.</param>
/// <param name="Exceedances">Strikes past a limit.</param>
public sealed record SummaryKerb(
    int Number, double? DistanceM, string Side, int Strikes, int Laps, double? WorstPeakLoadN, string WorstCorner, int Exceedances)
{
    /// <summary>True when the largest load is a lower bound.</summary>
    public bool WorstPeakIsLowerBound { get; init; }
}

/// <summary>A lap in the summary.</summary>
/// <param name="Number">Lap number.</param>
/// <param name="StartS">Start, s.</param>
/// <param name="DurationS">Time, s.</param>
/// <param name="LengthM">Distance, m.</param>
/// <param name="Complete">Starts and ends at the line.</param>
public sealed record SummaryLap(int Number, double? StartS, double? DurationS, double? LengthM, bool Complete);

/// <summary>A number with its 95 % interval.</summary>
/// <param name="Value">Best value.</param>
/// <param name="Low95">Lower end.</param>
/// <param name="High95">Upper end.</param>
public sealed record SummaryEstimate(double? Value, double? Low95, double? High95);
