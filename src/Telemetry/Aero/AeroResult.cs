using System.Collections.Immutable;

namespace Telemetry.Aero;

/// <summary>Aero load front and rear at a stated speed and as a curve, each with its interval; or the reason why there is none.</summary>
/// <remarks>What the sprung mass sees, positive downwards, the moment of drag included (equation E4).</remarks>
public sealed record AeroResult
{
    /// <summary>Speed at which the headline is given, m/s, as true air speed; NaN when withheld before one was chosen.</summary>
    public required double ReferenceSpeedMps { get; init; }

    /// <summary>The headline at the reference speed; null when withheld.</summary>
    public required AeroAtSpeed? AtReference { get; init; }

    /// <summary>Why there is no headline, as one sentence with its numbers, or null.</summary>
    public required string? WithheldBecause { get; init; }

    /// <summary>The answer over the range of speeds that the passes cover, speed rising; empty when withheld.</summary>
    public required ImmutableArray<AeroAtSpeed> Curve { get; init; }

    /// <summary>Straight passes that the answer rests on, in time order.</summary>
    public required ImmutableArray<StraightPass> Passes { get; init; }

    /// <summary>Every quasi-steady window, used or not, in time order: what the plot shows as points.</summary>
    public required ImmutableArray<QuasiSteadyWindow> Windows { get; init; }

    /// <summary>Air density and where it came from.</summary>
    public required AirState Air { get; init; }

    /// <summary>The wind: estimated, measured, or assumed nil; said either way.</summary>
    public required WindState Wind { get; init; }

    /// <summary>Contributions to the interval of the total load at the reference speed, largest first; empty when withheld.</summary>
    public required ImmutableArray<UncertaintyPart> Budget { get; init; }

    /// <summary>What was assumed and what the reader should know, as sentences.</summary>
    public required ImmutableArray<string> Notes { get; init; }

    /// <summary>Block means that the windows were cut from, for what is built on them; null in a result made by hand.</summary>
    internal BlockMeans? Blocks { get; init; }

    /// <summary>Every window with its means, in time order; empty in a result made by hand.</summary>
    internal ImmutableArray<RunWindow> Cut { get; init; } = [];
}

/// <summary>Aero load, lift area and balance at one air speed.</summary>
/// <param name="SpeedMps">True air speed, m/s.</param>
/// <param name="FrontLoadN">Front aero load, N, downwards positive.</param>
/// <param name="RearLoadN">Rear aero load, N.</param>
/// <param name="TotalLoadN">Their sum, N.</param>
/// <param name="FrontLiftAreaM2">Front load over dynamic pressure, m2.</param>
/// <param name="RearLiftAreaM2">Rear load over dynamic pressure, m2.</param>
/// <param name="TotalLiftAreaM2">Total load over dynamic pressure, m2.</param>
/// <param name="BalanceFrontPct">Front share of the total load, %.</param>
public sealed record AeroAtSpeed(
    double SpeedMps,
    Estimate FrontLoadN,
    Estimate RearLoadN,
    Estimate TotalLoadN,
    Estimate FrontLiftAreaM2,
    Estimate RearLiftAreaM2,
    Estimate TotalLiftAreaM2,
    Estimate BalanceFrontPct);

/// <summary>One drive along a straight: the independent unit of the estimate.</summary>
/// <param name="Number">From 1, in time order.</param>
/// <param name="Lap">Lap number.</param>
/// <param name="StartS">Start, s.</param>
/// <param name="EndS">End, s.</param>
/// <param name="StartDistanceM">Distance along the lap at its start, m; NaN when unknown.</param>
/// <param name="HeadingRad">Mean heading, rad, clockwise from north or from an arbitrary direction that is the same for the whole run; NaN when unknown.</param>
/// <param name="LowestSpeedMps">Lowest speed in its quasi-steady windows, m/s.</param>
/// <param name="HighestSpeedMps">Highest speed, m/s.</param>
/// <param name="Windows">Number of quasi-steady windows it holds.</param>
public sealed record StraightPass(
    int Number,
    int Lap,
    double StartS,
    double EndS,
    double StartDistanceM,
    double HeadingRad,
    double LowestSpeedMps,
    double HighestSpeedMps,
    int Windows);

/// <summary>Means over one window that may or may not be quasi-steady (equation E6).</summary>
/// <param name="TimeS">Middle of the window, s.</param>
/// <param name="Lap">Lap number.</param>
/// <param name="Pass">Number of the straight pass it belongs to; 0 when it is not used.</param>
/// <param name="SpeedMps">Mean road speed, m/s.</param>
/// <param name="FrontLoadN">Front aero load by equation E4, N; NaN when it cannot be formed.</param>
/// <param name="RearLoadN">Rear aero load, N.</param>
/// <param name="RejectedBecause">Which gate turned it away ("lateral acceleration", "braking", ...), or null when it is used.</param>
public sealed record QuasiSteadyWindow(
    double TimeS,
    int Lap,
    int Pass,
    double SpeedMps,
    double FrontLoadN,
    double RearLoadN,
    string? RejectedBecause);

/// <summary>Air density and where it came from.</summary>
/// <param name="DensityKgM3">Density, kg/m3.</param>
/// <param name="StandardUncertaintyKgM3">Its standard uncertainty, kg/m3.</param>
/// <param name="Source">"log", "car file" or "standard atmosphere", in words that say what was assumed.</param>
/// <param name="IsAssumed">True when nothing was measured and the standard atmosphere was taken.</param>
public sealed record AirState(double DensityKgM3, double StandardUncertaintyKgM3, string Source, bool IsAssumed);

/// <summary>The wind that the estimate used.</summary>
/// <param name="SpeedMps">Wind speed, m/s; null when assumed nil.</param>
/// <param name="FromRad">Direction it blows from, rad, clockwise from the same zero as the headings; null when assumed nil.</param>
/// <param name="HeadingIsTrue">True when headings are from north, false when from an arbitrary direction.</param>
/// <param name="Statement">What was estimated, measured or assumed, as one sentence.</param>
public sealed record WindState(Estimate? SpeedMps, Estimate? FromRad, bool HeadingIsTrue, string Statement);

/// <summary>One line of the uncertainty budget, as the GUM (JCGM 100:2008, clause 7) lays it out.</summary>
/// <param name="Name">What contributes ("pass to pass", "zero", "mass", ...).</param>
/// <param name="FrontLoadN">Standard uncertainty that it brings to the front load at the reference speed, N.</param>
/// <param name="RearLoadN">The same for the rear load, N.</param>
/// <param name="TotalLoadN">The same for the total load, N.</param>
/// <param name="IsSystematic">True when more passes would not shrink it.</param>
/// <param name="Remark">What would improve it.</param>
public sealed record UncertaintyPart(string Name, double FrontLoadN, double RearLoadN, double TotalLoadN, bool IsSystematic, string Remark)
{
    /// <summary>The input with its standard uncertainty and unit, in words ("0.25 %", "9.1 N"); what it does to the answer is the sensitivity times this.</summary>
    public string Input { get; init; } = "";

    /// <summary>Degrees of freedom; infinite where the standard uncertainty counts as known (GUM G.4.3).</summary>
    public double DegreesOfFreedom { get; init; } = double.PositiveInfinity;

    /// <summary>How it was evaluated (GUM 3.3.4): "A" from the scatter of this log, "B" from other knowledge.</summary>
    public string Evaluation => IsSystematic ? "B" : "A";

    /// <summary>Standard uncertainty that it brings to the front lift area, m2.</summary>
    public double FrontLiftAreaM2 { get; init; }

    /// <summary>The same for the rear lift area, m2.</summary>
    public double RearLiftAreaM2 { get; init; }

    /// <summary>The same for the total lift area, m2: air density counts here and not in the load.</summary>
    public double TotalLiftAreaM2 { get; init; }

    /// <summary>The same for the front share of the load, %.</summary>
    public double BalanceFrontPct { get; init; }
}
