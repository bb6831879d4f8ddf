namespace Telemetry;

/// <summary>Samples of which the stretch that was made last is kept. For one thread at a time, and what is read holds until the next is.</summary>
/// <param name="samples">Where they come from.</param>
/// <param name="stretch">Samples that are made at a time, from the first that was asked for on.</param>
internal sealed class RememberedSamples(SampleSource samples, int stretch) : SampleSource(samples.Length)
{
    private double[] _room = [];
    private int _start;
    private int _count;

    public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
    {
        if (count > stretch)
        {
            return samples.Read(start, count, room);
        }

        if (start < _start || start + count > _start + _count)
        {
            _room = _room.Length > 0 ? _room : new double[Math.Min(stretch, Length)];
            (_start, _count) = (start, Math.Min(_room.Length, Length - start));
            samples.ReadInto(_start, _room.AsSpan(0, _count));
        }

        return _room.AsSpan(start - _start, count);
    }
}
