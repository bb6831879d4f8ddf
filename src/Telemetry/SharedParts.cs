namespace Telemetry;

/// <summary>
/// For channels that are made from the same others (<see cref="SampleSource.Over"/>) and are read stretch by stretch, one after the other by one thread: what they are made from is then made
/// once a stretch, not once for each of them.
/// </summary>
/// <param name="stretch">Samples of a stretch.</param>
internal sealed class SharedParts(int stretch)
{
    private readonly Dictionary<SampleSource, SampleSource> _remembered = new(ReferenceEqualityComparer.Instance);

    /// <summary>The same channels, made from parts that are shared; one that is itself a part of another is shared with it.</summary>
    public SampleSource[] Of(IEnumerable<SampleSource> channels)
    {
        SampleSource[] over = [.. channels.Select(channel => channel.Over(Part))];
        return [.. over.Select(channel => _remembered.GetValueOrDefault(channel) ?? channel)];
    }

    private SampleSource Part(SampleSource samples)
    {
        if (!_remembered.TryGetValue(samples, out SampleSource? remembered))
        {
            _remembered[samples] = remembered = new RememberedSamples(samples, stretch);
        }

        return remembered;
    }
}
