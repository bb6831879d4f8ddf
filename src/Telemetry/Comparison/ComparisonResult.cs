using System.Collections.Immutable;

namespace Telemetry.Comparison;

/// <summary>What differs between setups, how sure that is, and what the runs could have shown.</summary>
public sealed record ComparisonResult
{
    /// <summary>Air density at which loads are compared, kg/m3: that of the international standard atmosphere at sea level (ISO 2533).</summary>
    public const double DensityKgM3 = 1.225;

    /// <summary>Air speed of the comparison, m/s; NaN when withheld.</summary>
    public required double SpeedMps { get; init; }

    /// <summary>Why nothing is compared, or null.</summary>
    public required string? WithheldBecause { get; init; }

    /// <summary>The runs in the order driven, with their setups.</summary>
    public required ImmutableArray<ComparedRun> Runs { get; init; }

    /// <summary>Each other setup against the first run's; empty when withheld.</summary>
    public required ImmutableArray<SetupDifference> Differences { get; init; }

    /// <summary>How passes were paired and what was done about drift, as one sentence each.</summary>
    public required ImmutableArray<string> Method { get; init; }

    /// <summary>What makes the comparison doubtful, as sentences; empty when nothing does.</summary>
    public required ImmutableArray<string> Flags { get; init; }

    /// <summary>What was set differently, as sentences.</summary>
    public required ImmutableArray<string> SetDifferently { get; init; }

    /// <summary>True when a drift that is linear from run to run was found and taken out.</summary>
    public bool DriftIsRemoved { get; init; }
}

/// <summary>A run of the comparison.</summary>
/// <param name="Order">Its place, from 1.</param>
/// <param name="Name">Its name.</param>
/// <param name="Setup">Label of its setup.</param>
/// <param name="Laps">Laps of the log.</param>
/// <param name="Passes">Straight passes that count.</param>
/// <param name="WindShift">Change of the steady wind against the first run, m/s; null when it is not told, and for the first run.</param>
public sealed record ComparedRun(int Order, string Name, string Setup, int Laps, int Passes, WindShift? WindShift);

/// <summary>Change of the steady wind between two runs.</summary>
/// <param name="NorthMps">Component of the wind from north (or from the first run's zero direction), m/s.</param>
/// <param name="EastMps">Component from east, m/s.</param>
/// <param name="UncertaintyMps">Standard uncertainty of the larger axis, m/s.</param>
/// <param name="Probability">Probability of such a shift or a larger one if the wind had stayed.</param>
public sealed record WindShift(double NorthMps, double EastMps, double UncertaintyMps, double Probability)
{
    /// <summary>Size, m/s.</summary>
    public double SpeedMps => double.Hypot(NorthMps, EastMps);
}

/// <summary>One setup against the baseline.</summary>
/// <param name="Baseline">Label of the baseline.</param>
/// <param name="Setup">Label of the other.</param>
/// <param name="Quantities">What was compared.</param>
/// <param name="Withheld">What was not, and why.</param>
public sealed record SetupDifference(string Baseline, string Setup, ImmutableArray<QuantityDifference> Quantities, ImmutableArray<WithheldQuantity> Withheld);

/// <summary>A quantity that could not be compared.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Because">Why, as one sentence.</param>
public sealed record WithheldQuantity(string Name, string Because);

/// <summary>The quantities that are compared, in the order shown.</summary>
public enum ComparedKind
{
    /// <summary>Front aero load, N.</summary>
    FrontLoad,

    /// <summary>Rear aero load, N.</summary>
    RearLoad,

    /// <summary>Total aero load, N.</summary>
    TotalLoad,

    /// <summary>Front lift area, m2.</summary>
    FrontLiftArea,

    /// <summary>Rear lift area, m2.</summary>
    RearLiftArea,

    /// <summary>Total lift area, m2.</summary>
    TotalLiftArea,

    /// <summary>Front share of the load, %.</summary>
    Balance,

    /// <summary>Front ride height, m.</summary>
    FrontRideHeight,

    /// <summary>Rear ride height, m.</summary>
    RearRideHeight,

    /// <summary>Drag area at equal engine power, m2.</summary>
    DragArea,
}

/// <summary>The difference of one quantity: the other setup less the baseline, at one speed and density.</summary>
public sealed record QuantityDifference
{
    /// <summary>Which quantity.</summary>
    public required ComparedKind Kind { get; init; }

    /// <summary>Its value with the baseline setup; NaN for the drag area, of which only the change is known.</summary>
    public required double Baseline { get; init; }

    /// <summary>The difference with its 95 % interval.</summary>
    public required Estimate Difference { get; init; }

    /// <summary>The difference in % of the baseline; of the balance in points of %; null where that means nothing.</summary>
    public required Estimate? Percent { get; init; }

    /// <summary>Standard uncertainty of the difference.</summary>
    public required double StandardUncertainty { get; init; }

    /// <summary>Effective degrees of freedom.</summary>
    public required double DegreesOfFreedom { get; init; }

    /// <summary>Probability that the true difference has the sign of the one found, 0.5 to 1.</summary>
    /// <remarks>From Student's distribution about the difference: what a person who knew nothing before would believe afterwards.</remarks>
    public required double ProbabilityOfSign { get; init; }

    /// <summary>Probability that the true difference has that sign and is at least the smallest that matters.</summary>
    public required double ProbabilityThatItMatters { get; init; }

    /// <summary>Probability of such a difference or a larger one if nothing had changed, two-sided, for this comparison alone.</summary>
    public required double PValue { get; init; }

    /// <summary>The same adjusted for the number of setups that are held against the baseline (Holm).</summary>
    public required double AdjustedPValue { get; init; }

    /// <summary>True when the adjusted probability is below the level asked for and the difference is not in doubt.</summary>
    public required bool IsReal { get; init; }

    /// <summary>True when this or another quantity of the setup is contradicted by the runs' own estimates: nothing of it is called real.</summary>
    public bool IsInDoubt { get; init; }

    /// <summary>The difference of the runs' own estimates, unpaired and with no drift taken out, its own unit; null when there is none.</summary>
    public Estimate? ByRunsAlone { get; init; }

    /// <summary>True when the two intervals have no value in common: one of the two is wrong.</summary>
    /// <remarks>Then all quantities of that setup are in doubt: they rest on the same labels and the same drift.</remarks>
    public bool IsContradicted => ByRunsAlone is { } own && (own.High95 < Difference.Low95 || own.Low95 > Difference.High95);

    /// <summary>Drift of the quantity from one run to the next, its own unit, taken out of the difference; null when it cannot be told.</summary>
    public required Estimate? DriftPerRun { get; init; }

    /// <summary>Part of the difference that follows from the change of ride height; null when not known.</summary>
    public Estimate? ByRideHeight { get; init; }

    /// <summary>What the runs could have shown.</summary>
    public required DetectionPower Power { get; init; }

    /// <summary>What the uncertainty is made of, largest first.</summary>
    public required ImmutableArray<DifferenceLine> Budget { get; init; }
}

/// <summary>One line of the budget of a difference.</summary>
/// <param name="Name">What contributes.</param>
/// <param name="StandardUncertainty">Its part of the difference's standard uncertainty, unit of the quantity.</param>
/// <param name="Correlation">Correlation of this error between the runs: 1 for an error that all share and that cancels but for what the change itself makes of it, 0 for one that each run draws anew; NaN for the scatter of passes.</param>
/// <param name="Remark">What would make it smaller.</param>
public sealed record DifferenceLine(string Name, double StandardUncertainty, double Correlation, string Remark);
