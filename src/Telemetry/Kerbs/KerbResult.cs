using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;

namespace Telemetry.Kerbs;

/// <summary>Kerb strikes of a run, and the kerbs they group into.</summary>
public sealed record KerbResult
{
    /// <summary>Strikes in time order.</summary>
    public required ImmutableArray<KerbStrike> Strikes { get; init; }

    /// <summary>Steep rises that are no kerb strikes, or that cannot be told: bumps across the road, the floor touching. In time order, numbered from 1 by themselves; their loads are counted for parts all the same.</summary>
    public ImmutableArray<KerbStrike> OtherEvents { get; init; } = [];

    /// <summary>Kerbs, worst peak first.</summary>
    public required ImmutableArray<Kerb> Kerbs { get; init; }

    /// <summary>Height above the quasi-static load from which a strike is counted, N at the pushrod, per corner.</summary>
    public required PerCorner<double> ThresholdN { get; init; }

    /// <summary>Robust scatter of the quiet road's dynamic pushrod load, N (1.4826 times the median absolute deviation), per corner.</summary>
    public required PerCorner<double> QuietScatterN { get; init; }

    /// <summary>What the strikes say about the log: whether it was sampled fast enough for them.</summary>
    public ImmutableArray<HealthFinding> Findings { get; init; } = [];

    /// <summary>Why no strikes are given (loads were low-passed before logging, ...), or null.</summary>
    public required string? WithheldBecause { get; init; }
}

/// <summary>One wheel's strike on a kerb, taken from the unfiltered pushrod load.</summary>
public sealed record KerbStrike
{
    /// <summary>What it was taken for, and why.</summary>
    public StrikeTelling Telling { get; init; } = StrikeTelling.None;

    /// <summary>First sample on the run's clock of the load history that belongs to it: <see cref="KerbOptions.HistoryBeforeS"/> before its foot.</summary>
    public int FromIndex { get; init; }

    /// <summary>One past the last sample of that history: the rebound included.</summary>
    public int ToIndex { get; init; }

    /// <summary>Sample of the peak.</summary>
    public int PeakIndex { get; init; }

    /// <summary>Best estimate of the true peak, N: the largest sample and the mean of what sampling can have hidden of the dynamic part; NaN where the peak is.</summary>
    public double TruePeakN { get; init; } = double.NaN;

    /// <summary>Standard uncertainty of that estimate, N: cell zero, cell gain and sampling; NaN where the peak is.</summary>
    public double TruePeakUncertaintyN { get; init; } = double.NaN;

    /// <summary>Number from 1 in time order.</summary>
    public required int Number { get; init; }

    /// <summary>The wheel.</summary>
    public required Corner Corner { get; init; }

    /// <summary>Lap number.</summary>
    public required int Lap { get; init; }

    /// <summary>Time of the peak, s.</summary>
    public required double TimeS { get; init; }

    /// <summary>Distance along the lap at the peak, m; NaN when unknown.</summary>
    public required double DistanceM { get; init; }

    /// <summary>Road speed at the peak, m/s.</summary>
    public required double SpeedMps { get; init; }

    /// <summary>Largest pushrod load (quasi-static part included), N, compression positive.</summary>
    public required double PeakLoadN { get; init; }

    /// <summary>Standard uncertainty of the peak from the cell's zero and gain, N; NaN where the peak is.</summary>
    public double PeakUncertaintyN { get; init; } = double.NaN;

    /// <summary>The largest compression can be more than the log shows by up to this share, from the logging rate: 1 - cos(pi*dt/(2T)) of equation E8.</summary>
    public required double WorstUnderReadShare { get; init; }

    /// <summary>Smallest pushrod load in the strike, N: the rebound, negative in tension.</summary>
    public required double LowestLoadN { get; init; }

    /// <summary>Peak above the quasi-static part, N.</summary>
    public required double DynamicPeakN { get; init; }

    /// <summary>Steepest rise to the peak, N/s.</summary>
    public required double RiseRateNps { get; init; }

    /// <summary>Time for which the dynamic part stays above half its peak, times 1.5: the length of a half sine of the same half-width, s.</summary>
    public required double DurationS { get; init; }

    /// <summary>Integral of the dynamic part over the strike, N s.</summary>
    public required double ImpulseNs { get; init; }

    /// <summary>Largest damper velocity in the strike, m/s, bump positive; NaN without a potentiometer.</summary>
    public required double DamperVelocityMps { get; init; }

    /// <summary>True when the real peak may be larger by an amount that matters: it stands at the sensor's range limit or has a gap, the cell seems to be low-passed, or <see cref="IsUnderRead"/>.</summary>
    public required bool IsLowerBound { get; init; }

    /// <summary>Samples of the strike that were not logged and for which a straight line stands in; its peak, rise and impulse then rest on that line.</summary>
    public int RepairedSamples { get; init; }

    /// <summary>True when the logging rate can hide more of the peak than <see cref="KerbOptions.UnderReadMatters"/>, or enough for a part's limit to be past.</summary>
    public bool IsUnderRead { get; init; }

    /// <summary>Number of the strike of the other axle on the same side that belongs to the same kerb (front then rear, L/v later); 0 when none.</summary>
    public required int PairedWith { get; init; }

    /// <summary>Number of the kerb it belongs to.</summary>
    public required int Kerb { get; init; }

    /// <summary>Component whose limit it comes nearest to, or passes furthest; null when none has a limit.</summary>
    public required string? WorstComponent { get; init; }

    /// <summary>Margin of safety of that component: allowable / (factor * load) - 1; NaN when none.</summary>
    public required double MarginOfSafety { get; init; }

    /// <summary>
    /// Probability that the true peak went past the limit of <see cref="WorstComponent"/>, 0 to 1: normal about the best estimate of the true peak with its standard
    /// uncertainty (cell zero, gain, sampling). NaN without a limit. With a cell at its range end it is a lower bound.
    /// </summary>
    public double LimitProbability { get; init; } = double.NaN;

    /// <summary>Component whose inspection threshold it comes nearest to, or passes furthest; null when none has one.</summary>
    public string? InspectionComponent { get; init; }

    /// <summary>Probability that the true peak went past that inspection threshold, 0 to 1; NaN when there is none.</summary>
    public double InspectionProbability { get; init; } = double.NaN;

    /// <summary>Why the strike was not judged against limits (its load cell is not to be relied on), or null.</summary>
    public string? NotJudgedBecause { get; init; }

    /// <summary>True when a component's limit is exceeded.</summary>
    public bool ExceedsLimit => MarginOfSafety < 0;
}

/// <summary>A kerb: strikes of one side at one place over the laps.</summary>
/// <param name="Number">From 1, worst peak first.</param>
/// <param name="DistanceM">Median distance of its front (else rear) strikes along the lap, m; NaN when unknown.</param>
/// <param name="IsLeft">True when the left wheels strike it.</param>
/// <param name="Strikes">Number of strikes.</param>
/// <param name="Laps">Number of laps on which it was struck.</param>
/// <param name="WorstPeakLoadN">Largest pushrod load, N.</param>
/// <param name="WorstCorner">The corner of that peak.</param>
/// <param name="Exceedances">Strikes past a limit.</param>
public sealed record Kerb(
    int Number,
    double DistanceM,
    bool IsLeft,
    int Strikes,
    int Laps,
    double WorstPeakLoadN,
    Corner WorstCorner,
    int Exceedances)
{
    /// <summary>
    /// Probability that there is a kerb here and its strikes are no bumps, 0 to 1: one less the product over its strikes of one less
    /// <see cref="StrikeTelling.Probability"/>, a strike that is alone and not paired counting at most 0.9. NaN when no strike could be told.
    /// </summary>
    public double Confidence { get; init; } = double.NaN;

    /// <summary>Scatter of the places at which its front (else rear) wheels struck it, standard deviation, m; NaN with fewer than two.</summary>
    public double PlaceScatterM { get; init; } = double.NaN;

    /// <summary>True when the largest load is a lower bound: see <see cref="KerbStrike.IsLowerBound"/>.</summary>
    public bool WorstIsLowerBound { get; init; }
}
