using Telemetry.Car;

namespace Telemetry.Kerbs;

/// <summary>Choices of the kerb stage.</summary>
public sealed record KerbOptions
{
    /// <summary>Defaults.</summary>
    public static KerbOptions Default { get; } = new();

    /// <summary>Smallest height of a strike above the quasi-static part, in quiet scatters. Default 2: lower ones are no more than the road does everywhere.</summary>
    public double HeightMultiple { get; init; } = 2;

    /// <summary>A load that rises this many times as steeply as the quiet road makes it rise is a strike. Default 5: a kerb is known by its steepness, not by its height;
    /// the road, near to normal in its slopes, reaches it less than once in a run, and braking or turning in never do.</summary>
    public double SteepnessMultiple { get; init; } = 5;

    /// <summary>As much is enough where the other axle, or another lap at the same place, shows a strike. Default 3: there the question is no longer whether there is a kerb.</summary>
    public double SupportedMultiple { get; init; } = 3;

    /// <summary>Smallest damper velocity in bump of a strike, in scatters of the quiet road's. Default 3: a load that jumps while the damper stands still is friction letting go, not a kerb.
    /// Not asked where there is no potentiometer.</summary>
    public double VelocityMultiple { get; init; } = 3;

    /// <summary>Time over which steepness is fitted, s. Default 0.008: a third of the shortest strike, long against the noise of a cell.</summary>
    public double SlopeSpanS { get; init; } = 0.008;

    /// <summary>Smallest height of a strike as a share of the corner's median load while running. Default 0.05: on a perfectly smooth road the scatter alone would make a strike of any ripple.</summary>
    public double SmallestShareOfLoad { get; init; } = 0.05;

    /// <summary>Window of the running median that is the quasi-static part, s. Default 1: more than twice the longest strike (about 0.4 s on a long ribbed kerb), so that a strike cannot pull it up, and short against a corner.</summary>
    public double WindowS { get; init; } = 1;

    /// <summary>Samples are first reduced to medians of blocks of this length, s. Default 0.02: fine against the window.</summary>
    public double BlockS { get; init; } = 0.02;

    /// <summary>Only above this speed is the car running, m/s. Default 8: slower than any pit lane; jacks, pushing and standstill are left out.</summary>
    public double RunningMps { get; init; } = 8;

    /// <summary>Peaks of one wheel closer than this are one strike, s. Default 0.1: ribs of a kerb follow each other every 0.02 to 0.06 s, two kerbs never do.</summary>
    public double MergeGapS { get; init; } = 0.1;

    /// <summary>
    /// Longest kerb that is crossed at speed, m. Default 12: exit kerbs are struck over some metres (common practice, no source). A load that stays up for longer than the car
    /// takes over it, and <see cref="SettlingS"/> more, is braking, turning in or a crest that began with a jolt.
    /// </summary>
    public double LongestKerbM { get; init; } = 12;

    /// <summary>Time that a wheel goes on after a kerb has ended and that belongs to the strike, s. Default 0.06: one period of a hub at 16 Hz.</summary>
    public double SettlingS { get; init; } = 0.06;

    /// <summary>Load history kept before the foot of a strike, s. Default 0.1: a person sees the road it came from.</summary>
    public double HistoryBeforeS { get; init; } = 0.1;

    /// <summary>Time after the strike in which the rebound is looked for, s. Default 0.15: half a period of the body on its springs at 3 Hz.</summary>
    public double ReboundS { get; init; } = 0.15;

    /// <summary>Time after a strike in which weaker rises at any wheel are taken as its echo, s. Default 0.5: body and wheels ring that long.</summary>
    public double EchoS { get; init; } = 0.5;

    /// <summary>A rise near a steeper one of any wheel counts only above this share of it. Default 0.5: less is what bar, third element and body hand on (common practice, no source).
    /// The rear wheel of the same side, a wheelbase later, is no echo.</summary>
    public double EchoShare { get; init; } = 0.5;

    /// <summary>A second rise of the same wheel in that time counts only above this share of the first, or when its peak is higher. Default 0.8: the wheel rings on its tyre.</summary>
    public double RingingShare { get; init; } = 0.8;

    /// <summary>Strikes of one side belong to one kerb while neighbours along the lap are closer than this, m. Default 8: kerbs of one side lie further apart, the same kerb is met within a few metres on every lap.</summary>
    public double KerbGapM { get; init; } = 8;

    /// <summary>Play in place of the pairing of front and rear strike by the wheelbase, m. Default 1.5: half a wheelbase, and a rib or two.</summary>
    public double PairToleranceM { get; init; } = 1.5;

    /// <summary>
    /// Share of a peak that the logging rate may hide before the peak is called a lower bound. Default 0.03: more than gain and zero of a cell leave open (1 to 2 %).
    /// A smaller share counts too where a limit lies within it.
    /// </summary>
    public double UnderReadMatters { get; init; } = 0.03;

    /// <summary>Share of a peak that may be hidden at the logging rate that is advised. Default 0.02: as much as gain and zero leave open.</summary>
    public double UnderReadAdvised { get; init; } = 0.02;

    /// <summary>Share of a wheel's motion that the axle's other wheel makes at the same time, above which the obstacle lies across the road. Default 0.45: between a kerb (0, and up to 0.4 through bar and body) and a bump (1, and down to 0.5 in a corner).</summary>
    public double AcrossLimit { get; init; } = 0.45;

    /// <summary>Scatter of that share between obstacles of one kind, standard deviation. Default 0.12: bumps that are a quarter higher on one side, and what bar and body hand on (common practice, no source).</summary>
    public double AcrossScatter { get; init; } = 0.12;

    /// <summary>A class is told from this probability on. Default 0.8; below it the rise is shown as not told.</summary>
    public double ToldFrom { get; init; } = 0.8;

    /// <summary>For each corner why its load cell is not to be relied on, or null (default). Its strikes are then shown and not judged against limits.</summary>
    public PerCorner<string?> NotJudgedBecause { get; init; } = PerCorner.Of<string?>(_ => null);

    /// <summary>For each corner why its peaks are cut off (it seems to be low-passed), or null (default). Its strikes are then lower bounds.</summary>
    public PerCorner<string?> PeaksCutBecause { get; init; } = PerCorner.Of<string?>(_ => null);

    /// <summary>How near to the end of the cell's range a reading counts as standing at it, share of the range. Default 0.002: noise of a cell at its stop (common practice, no source).</summary>
    public double RangeEndShare { get; init; } = 0.002;
}
