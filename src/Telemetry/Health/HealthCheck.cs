using System.Collections.Immutable;
using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>Tells what in a run's log can be believed, one channel at a time. README.md in this folder has every detector's statistic and how often it errs.</summary>
public static class HealthCheck
{
    // Each looks at one channel and knows nothing of the others. A new detector is a file and a line here.
    private static readonly ImmutableArray<Func<ChannelView, IEnumerable<HealthFinding>>> OfOneChannel =
    [
        MissingSamples.Find,
        StuckReadings.Find,
        RangeEnd.Find,
        Clipping.Find,
        PinnedTravel.Find,
        BoxExcursions.Find,
        CoarseSteps.Find,
        StandstillNoise.Find,
        SpectrumFaults.Find,
        StatedFilter.Find,
        RepeatedBlocks.Find,
        GravityAtRest.Find,
    ];

    // Each looks at the time bases of the run.
    private static readonly ImmutableArray<Func<Run, HealthOptions, IEnumerable<HealthFinding>>> OfTheClock =
    [
        SamplingRate.Find,
        ClockJitter.Find,
        ClockDrift.Find,
    ];

    // Where the first kind is found on a channel, the second says nothing more.
    private static readonly ImmutableArray<(string Stronger, string Weaker)> Precedence =
    [
        ("slow_reading", "hold"),
        ("slow_reading", "dropout"),
        ("slow_reading", "spike"),
        ("coarse_steps", "aliasing"),
        ("slow_reading", "low_passed"),
        ("slow_reading", "aliasing"),
        ("slow_reading", "repeated_block"),
        ("stuck", "repeated_block"),
        ("range_limit", "clipping"),
        ("range_limit", "soft_clipping"),
        ("range_limit", "travel_pinned"),
        ("travel_pinned", "clipping"),
        ("dropout", "clipping"),
        ("filtered_in_logger", "low_passed"),
        ("low_passed", "hold"),
        ("coarse_steps", "clipping"),
    ];

    /// <summary>Looks at every mapped channel, at the time bases, and at what the reader noticed.</summary>
    /// <param name="run">The run.</param>
    /// <param name="options">From what size on something is a finding.</param>
    /// <returns>Findings of the channels themselves; later stages add theirs with <see cref="RunHealth.With"/>.</returns>
    public static RunHealth From(Run run, HealthOptions options)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(options);
        Lazy<RunStretches> stretches = new(() => RunStretches.Of(run, options));
        var ofTheClock = new HealthFinding[OfTheClock.Length][];
        var perChannel = new List<HealthFinding>[run.Channels.Length];
        // Clocks that run apart take longest to find, and need nothing of what the channels share.
        Workers.Run(OfTheClock.Length + perChannel.Length, i =>
        {
            if (i < OfTheClock.Length)
            {
                ofTheClock[^(i + 1)] = [.. OfTheClock[^(i + 1)](run, options)];
            }
            else
            {
                perChannel[i - OfTheClock.Length] = OfChannel(run, run.Channels[i - OfTheClock.Length], stretches.Value, options);
            }
        });
        return RunHealth.Of(
        [
            .. ReaderFindings.From(run.LogFindings),
            .. MissingChannels.Of(run),
            .. ofTheClock.SelectMany(some => some),
            .. perChannel.SelectMany(some => some),
        ]);
    }

    private static List<HealthFinding> OfChannel(Run run, Channel channel, RunStretches stretches, HealthOptions options)
    {
        if (channel.Time.Count == 0 || channel.Steps.Any(step => step is Derived))
        {
            // The sources of a derived channel are looked at themselves.
            return [];
        }

        using WholeSamples samples = channel.Samples.Whole();
        ChannelView view = new(run, channel, samples, stretches, options);
        List<HealthFinding> findings = [.. DeadChannel.Find(view)];
        if (findings.Count == 0)
        {
            foreach (Func<ChannelView, IEnumerable<HealthFinding>> find in OfOneChannel)
            {
                findings.AddRange(find(view));
            }
        }

        foreach ((string stronger, string weaker) in Precedence)
        {
            if (findings.Exists(finding => finding.Kind == stronger))
            {
                findings.RemoveAll(finding => finding.Kind == weaker);
            }
        }

        return findings;
    }
}
