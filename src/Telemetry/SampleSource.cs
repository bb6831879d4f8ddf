using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace Telemetry;

/// <summary>A channel's samples, wherever they come from: kept in memory, or made from other channels each time they are read, so that a long run holds no array for them.</summary>
public abstract class SampleSource
{
    /// <summary>Samples that <see cref="Blocks"/> makes at a time: they stay in the processor's nearest cache.</summary>
    private const int BlockLength = 2048;

    /// <summary>Number of samples.</summary>
    public abstract int Length { get; }

    /// <summary>One sample; to read many, <see cref="Read"/> is faster.</summary>
    /// <param name="index">From 0 to one before <see cref="Length"/>.</param>
    public virtual double this[int index]
    {
        get
        {
            double room = 0;
            return Read(index, 1, new(ref room))[0];
        }
    }

    /// <summary>Samples in order from one on.</summary>
    /// <param name="start">The first one.</param>
    /// <param name="count">How many; all of them lie within the channel.</param>
    /// <param name="room">Room for as many; what it holds afterwards is of no meaning.</param>
    /// <returns>The samples: in the room, or where they are kept.</returns>
    public abstract ReadOnlySpan<double> Read(int start, int count, Span<double> room);

    /// <summary>Samples between two places, in an array of their own where they are not kept.</summary>
    /// <param name="from">First sample.</param>
    /// <param name="to">One past the last.</param>
    internal virtual ReadOnlySpan<double> Between(int from, int to) => Read(from, to - from, new double[to - from]);

    /// <summary>Samples that are kept.</summary>
    public static SampleSource Of(ImmutableArray<double> samples) => new KeptSamples(samples);

    /// <summary>All samples, in an array of their own or in the one in which they are kept.</summary>
    public virtual ImmutableArray<double> ToImmutableArray()
    {
        double[] all = new double[Length];
        Read(0, all.Length, all).CopyTo(all);
        return ImmutableCollectionsMarshal.AsImmutableArray(all);
    }

    /// <summary>Stretches that follow each other and are short enough to be read in turn, with where each begins.</summary>
    /// <param name="start">First sample.</param>
    /// <param name="end">One past the last.</param>
    internal static IEnumerable<(int Start, int Count)> Blocks(int start, int end)
    {
        for (int at = start; at < end; at += BlockLength)
        {
            yield return (at, Math.Min(BlockLength, end - at));
        }
    }

    /// <summary>Room for one of <see cref="Blocks"/>.</summary>
    /// <param name="most">Samples that are read in all: a short stretch needs no whole block.</param>
    internal static double[] RoomForBlock(int most = BlockLength) => new double[Math.Min(most, BlockLength)];

    private sealed class KeptSamples(ImmutableArray<double> samples) : SampleSource
    {
        public override int Length => samples.Length;

        public override double this[int index] => samples[index];

        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room) => samples.AsSpan().Slice(start, count);

        internal override ReadOnlySpan<double> Between(int from, int to) => samples.AsSpan()[from..to];

        public override ImmutableArray<double> ToImmutableArray() => samples;
    }
}
