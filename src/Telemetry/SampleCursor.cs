using System.Runtime.CompilerServices;

namespace Telemetry;

/// <summary>Single samples of a channel that are asked for in about their order: those beside the last are at hand, the others are read a block at a time. For one thread at a time.</summary>
internal sealed class SampleCursor
{
    private readonly SampleSource? _source;
    private readonly double[] _room;
    private int _start;
    private int _count;

    /// <summary>Over samples that are kept: all of them are at hand.</summary>
    public SampleCursor(double[] kept)
    {
        _room = kept;
        _count = kept.Length;
        Length = kept.Length;
    }

    /// <summary>Over samples that are made.</summary>
    public SampleCursor(SampleSource source, int blockLength)
    {
        _source = source;
        _room = new double[Math.Min(blockLength, source.Length)];
        Length = source.Length;
    }

    /// <summary>Number of samples of the channel.</summary>
    public int Length { get; }

    /// <summary>True without a sample.</summary>
    public bool IsEmpty => Length == 0;

    /// <summary>One sample.</summary>
    public double this[int index]
    {
        get
        {
            int at = index - _start;
            return (uint)at < (uint)_count ? _room[at] : Fetch(index);
        }
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private double Fetch(int index)
    {
        if (_source is null || (uint)index >= (uint)Length)
        {
            throw new ArgumentOutOfRangeException(nameof(index), index, "There is no such sample.");
        }

        // An eighth of the block lies before the sample: walks look back a little.
        _start = Math.Clamp(index - (_room.Length / 8), 0, Length - _room.Length);
        _source.ReadInto(_start, _room);

        _count = _room.Length;
        return _room[index - _start];
    }
}
