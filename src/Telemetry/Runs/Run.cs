using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Logs;

namespace Telemetry.Runs;

/// <summary>A run: the car's channels by role in SI, one common clock for the load cells, and the laps.</summary>
/// <remarks>
/// The clock is the even grid of the load cells, at their full logging rate. A channel that was logged on another
/// time base is offered on the clock too (<see cref="OnClock"/>), by straight lines between its samples and with NaN across its gaps;
/// a slow one is read so each time that it is wanted, and no array is held for it.
/// </remarks>
public sealed record Run
{
    /// <summary>Name of the run.</summary>
    public required string Name { get; init; }

    /// <summary>The car it was run with.</summary>
    public required CarDefinition Car { get; init; }

    /// <summary>The even grid of the load cells, s.</summary>
    public required TimeBase Clock { get; init; }

    /// <summary>Every mapped channel that the log has, on its own time base, in the order of <see cref="ChannelRole"/>.</summary>
    public required ImmutableArray<Channel> Channels { get; init; }

    /// <summary>For each role (index = its number) the samples on the clock; null where the log has none.</summary>
    public required ImmutableArray<SampleSource?> ClockSamples { get; init; }

    /// <summary>The laps.</summary>
    public required LapTable Laps { get; init; }

    /// <summary>Distance from the start of the lap at each sample of the clock, m; NaN where it is not known; empty when the run has neither distance nor speed.</summary>
    public required SampleSource LapDistanceM { get; init; }

    /// <summary>What the reader and the joining of log and car noticed.</summary>
    public required ImmutableArray<LogFinding> LogFindings { get; init; }

    /// <summary>Wall-clock time of the first row where the log has dates, else null.</summary>
    public DateTimeOffset? StartedAtUtc { get; init; }

    /// <summary>Number of samples on the clock.</summary>
    public int Count => Clock.Count;

    /// <summary>True when the log has a channel of that role.</summary>
    public bool Has(ChannelRole role) => ClockSamples[(int)role] is not null;

    /// <summary>The samples of a role on the clock, SI; NaN in gaps.</summary>
    /// <returns>One value a sample of the clock; empty when the log has no such channel.</returns>
    public SampleSource OnClock(ChannelRole role) => ClockSamples[(int)role] ?? SampleSource.None;

    /// <summary>The channel of a role on its own time base, or null.</summary>
    public Channel? Find(ChannelRole role)
    {
        foreach (Channel channel in Channels)
        {
            if (channel.Role == role)
            {
                return channel;
            }
        }

        return null;
    }
}
