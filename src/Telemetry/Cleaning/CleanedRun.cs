using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Cleaning;

/// <summary>A run as the later stages see it, and as it was logged.</summary>
public sealed record CleanedRun
{
    /// <summary>The run with the wanted repairs; the very run that was logged when nothing was repaired.</summary>
    public required Run Run { get; init; }

    /// <summary>The run before any repair.</summary>
    public required Run AsLogged { get; init; }

    /// <summary>What was repaired, by role, spikes before gaps.</summary>
    public required ImmutableArray<Repair> Done { get; init; }

    /// <summary>Faults that the options could have had repaired and did not, in the same order; gaps only up to <see cref="ChannelCleaning.LongestBridgeS"/>.</summary>
    public required ImmutableArray<Repair> Left { get; init; }
}

/// <summary>Faulty samples of one channel.</summary>
/// <param name="Role">The channel's role.</param>
/// <param name="Channel">Its name in the log.</param>
/// <param name="Fault">What is wrong with the samples.</param>
/// <param name="Spans">Which samples of the run's clock, in order and apart.</param>
public sealed record Repair(ChannelRole Role, string Channel, RepairedFault Fault, ImmutableArray<SampleSpan> Spans)
{
    /// <summary>How many samples.</summary>
    public int Samples => Spans.Sum(span => span.Count);

    /// <summary>Samples of the longest stretch.</summary>
    public int Longest => Spans.IsEmpty ? 0 : Spans.Max(span => span.Count);

    /// <summary>True for a load cell: its cycles and strikes hang on it.</summary>
    public bool IsLoad => Role <= ChannelRole.PushrodLoadRR;
}
