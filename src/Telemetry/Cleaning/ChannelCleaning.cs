using System.Collections.Immutable;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.Cleaning;

/// <summary>Repairs the samples that a person wants repaired, and says which.</summary>
public static class ChannelCleaning
{
    /// <summary>Gaps longer than this are never offered for bridging, s: some twenty periods of a wheel on its tyre.</summary>
    public const double LongestBridgeS = 1;

    /// <summary>Applies the options to every channel on the run's clock.</summary>
    /// <param name="run">The run as logged.</param>
    /// <param name="health">Findings with the samples that they concern; spikes are repaired where a finding of kind "spike" names its samples.</param>
    /// <param name="options">What to repair.</param>
    /// <returns>Channels that were repaired carry a <see cref="Repaired"/> step; all others are those of the run, uncopied.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The longest gap to bridge is negative or beyond <see cref="LongestBridgeS"/>.</exception>
    public static CleanedRun From(Run run, RunHealth health, CleaningOptions options)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(health);
        ArgumentNullException.ThrowIfNull(options);
        if (!(options.BridgeGapsS is >= 0 and <= LongestBridgeS))
        {
            throw new ArgumentOutOfRangeException(nameof(options), options.BridgeGapsS, FormattableString.Invariant($"Gaps are bridged up to {LongestBridgeS} s."));
        }

        ImmutableArray<Repair> spikes = Spikes(run, health);
        ImmutableArray<Repair> gaps = Gaps(run, LongestBridgeS);
        ImmutableArray<Repair> bridged = options.BridgeGapsS > 0 ? Gaps(run, options.BridgeGapsS) : [];
        ImmutableArray<Repair> done = [.. options.RemoveSpikes ? spikes : [], .. bridged];
        return new CleanedRun
        {
            Run = done.IsEmpty ? run : Apply(run, done),
            AsLogged = run,
            Done = done,
            Left = [.. options.RemoveSpikes ? [] : spikes, .. gaps.Select(gap => Without(gap, options.BridgeGapsS, run.Clock.StepS)).OfType<Repair>()],
        };
    }

    private static ImmutableArray<Repair> Spikes(Run run, RunHealth health) =>
    [
        .. health.Findings
            .Where(finding => finding is { Kind: "spike", Role: not null, Spans.IsEmpty: false } && run.Has(finding.Role.Value))
            .GroupBy(finding => finding.Role!.Value)
            .OrderBy(role => role.Key)
            .Select(role => new Repair(role.Key, role.First().Channel, RepairedFault.Spike, Merged(role.SelectMany(finding => finding.Spans)))),
    ];

    /// <summary>Gaps between two samples of the same channel that are not longer than wanted.</summary>
    private static ImmutableArray<Repair> Gaps(Run run, double longestS)
    {
        int most = (int)Math.Floor((longestS / run.Clock.StepS) + 1e-6);
        var spans = new ImmutableArray<SampleSpan>[run.Channels.Length];
        Workers.Run(spans.Length, i => spans[i] = GapsOf(run.OnClock(run.Channels[i].Role), most));
        return
        [
            .. run.Channels.Zip(spans)
                .Where(channel => !channel.Second.IsEmpty)
                .Select(channel => new Repair(channel.First.Role, channel.First.SourceName, RepairedFault.Gap, channel.Second)),
        ];
    }

    private static ImmutableArray<SampleSpan> GapsOf(SampleSource source, int most)
    {
        if (source.IsFiniteThroughout)
        {
            return [];
        }

        using WholeSamples whole = source.Whole();
        ReadOnlySpan<double> samples = whole.Span;
        ImmutableArray<SampleSpan>.Builder spans = ImmutableArray.CreateBuilder<SampleSpan>();
        int end = 0;
        for (int at = Next(samples, 0); at >= 0; at = Next(samples, end))
        {
            end = at;
            while (end < samples.Length && double.IsNaN(samples[end]))
            {
                end++;
            }

            if (at > 0 && end < samples.Length && end - at <= most)
            {
                spans.Add(new(at, end - at));
            }
        }

        return spans.ToImmutable();
    }

    private static int Next(ReadOnlySpan<double> samples, int from)
    {
        // Four at a time while none is NaN, which alone differs from itself.
        int i = from;
        while (i <= samples.Length - Vector256<double>.Count && Vector256.Create(samples[i..]) is var four && Vector256.EqualsAll(four, four))
        {
            i += Vector256<double>.Count;
        }

        for (; i < samples.Length; i++)
        {
            if (double.IsNaN(samples[i]))
            {
                return i;
            }
        }

        return -1;
    }

    /// <summary>The gaps that stay, longer than what is bridged; null when none does.</summary>
    private static Repair? Without(Repair gaps, double bridgedS, double stepS)
    {
        ImmutableArray<SampleSpan> left = [.. gaps.Spans.Where(span => span.Count * stepS > bridgedS + (1e-6 * stepS))];
        return left.IsEmpty ? null : gaps with { Spans = left };
    }

    private static ImmutableArray<SampleSpan> Merged(IEnumerable<SampleSpan> spans)
    {
        List<SampleSpan> merged = [];
        foreach (SampleSpan span in spans.OrderBy(span => span.First))
        {
            if (merged.Count > 0 && span.First <= merged[^1].End)
            {
                merged[^1] = new(merged[^1].First, Math.Max(merged[^1].End, span.End) - merged[^1].First);
            }
            else
            {
                merged.Add(span);
            }
        }

        return [.. merged];
    }

    private static Run Apply(Run run, ImmutableArray<Repair> repairs)
    {
        SampleSource?[] onClock = [.. run.ClockSamples];
        Dictionary<ChannelRole, List<ProcessingStep>> steps = [];
        foreach (IGrouping<ChannelRole, Repair> role in repairs.GroupBy(repair => repair.Role))
        {
            double[] samples = onClock[(int)role.Key]!.ToArray();
            foreach (Repair repair in role)
            {
                foreach (SampleSpan span in repair.Spans)
                {
                    Bridge(samples, span);
                }
            }

            onClock[(int)role.Key] = SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(samples));
            steps[role.Key] = [.. role.Select(repair => new Repaired(repair.Fault, repair.Spans))];
        }

        return run with
        {
            ClockSamples = ImmutableCollectionsMarshal.AsImmutableArray(onClock),
            Channels = [.. run.Channels.Select(channel => steps.TryGetValue(channel.Role, out List<ProcessingStep>? more)
                ? channel with { Steps = [.. channel.Steps, .. more] }
                : channel)],
        };
    }

    /// <summary>A straight line from the sample before to the sample after; nothing where one of these is missing.</summary>
    private static void Bridge(double[] samples, SampleSpan span)
    {
        double before = span.First > 0 ? samples[span.First - 1] : double.NaN;
        double after = span.End < samples.Length ? samples[span.End] : double.NaN;
        for (int i = 0; i < span.Count; i++)
        {
            samples[span.First + i] = before + ((after - before) * (i + 1) / (span.Count + 1));
        }
    }
}
