using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;

namespace Telemetry.CrossChecks;

/// <summary>What the sensors of a run say about each other.</summary>
public sealed record CrossCheckResult
{
    /// <summary>Nothing compared and nothing found.</summary>
    public static CrossCheckResult None { get; } = new()
    {
        Checks = [],
        Hypotheses = [],
        Suspects = [],
        ChiSquare = double.NaN,
        DegreesOfFreedom = 0,
        LeftOut = [],
        Findings = [],
    };

    /// <summary>Every statement that was compared, in a fixed order; empty when none could be.</summary>
    public required ImmutableArray<CrossCheck> Checks { get; init; }

    /// <summary>Explanations that were tested, best first; empty when nothing could be compared.</summary>
    public required ImmutableArray<FaultHypothesis> Hypotheses { get; init; }

    /// <summary>The faults found, likeliest first; empty for a log without one.</summary>
    public required ImmutableArray<FaultHypothesis> Suspects { get; init; }

    /// <summary>Sum of squared standardised deviations with healthy sensors; NaN when nothing could be compared.</summary>
    public required double ChiSquare { get; init; }

    /// <summary>Its degrees of freedom: statements less free numbers.</summary>
    public required int DegreesOfFreedom { get; init; }

    /// <summary>Checks that could not be made, each with what they need, as sentences.</summary>
    public required ImmutableArray<string> LeftOut { get; init; }

    /// <summary>What health should say, each finding with the role it concerns.</summary>
    public required ImmutableArray<HealthFinding> Findings { get; init; }
}

/// <summary>One statement of physics and what the log makes of it.</summary>
/// <param name="Name">What is compared, in words; fixed for machines.</param>
/// <param name="Unit">Unit of the three numbers.</param>
/// <param name="Measured">What the log gives.</param>
/// <param name="Expected">What healthy sensors and the car file would give, after the free numbers (aero load, roll share) were fitted.</param>
/// <param name="StandardUncertainty">Measurement scatter and the model's allowance together, one standard deviation.</param>
public sealed record CrossCheck(string Name, string Unit, double Measured, double Expected, double StandardUncertainty)
{
    /// <summary>(Measured - Expected) / StandardUncertainty; beyond 4 or so it needs a reason.</summary>
    public double Deviation => (Measured - Expected) / StandardUncertainty;
}

/// <summary>What a sensor can have done to its numbers.</summary>
public enum FaultKind
{
    /// <summary>A factor on the readings' change: also a reversed sign, another unit, a sensor that does not follow.</summary>
    Gain,

    /// <summary>A constant added.</summary>
    Offset,

    /// <summary>Channels exchanged with each other.</summary>
    Exchange,
}

/// <summary>One explanation of what does not fit, tested against healthy sensors.</summary>
public sealed record FaultHypothesis
{
    /// <summary>What it says, in words: "load cell FL counts the other way".</summary>
    public required string Statement { get; init; }

    /// <summary>What the sensor did.</summary>
    public required FaultKind Kind { get; init; }

    /// <summary>The channels that it calls wrong.</summary>
    public required ImmutableArray<ChannelRole> Roles { get; init; }

    /// <summary>The factor or the offset that fits best: for a gain, reading over truth without unit; for an offset, N or m/s2; NaN for an exchange.</summary>
    public required double Size { get; init; }

    /// <summary>Standard uncertainty of the size; NaN for an exchange.</summary>
    public required double SizeUncertainty { get; init; }

    /// <summary>Twice the gain in log likelihood over healthy sensors (and over the faults already taken as found).</summary>
    public required double LikelihoodGain { get; init; }

    /// <summary>Free numbers that it spends.</summary>
    public required int FreeNumbers { get; init; }

    /// <summary>Probability of so large a gain in a healthy log, times the number of explanations tested (Bonferroni); at most 1.</summary>
    public required double PValue { get; init; }

    /// <summary>Gain less what its free numbers are worth by the Bayesian information criterion, FreeNumbers * ln(statements): the rank.</summary>
    public required double Criterion { get; init; }
}
