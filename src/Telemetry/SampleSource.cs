using System.Collections;
using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Telemetry;

/// <summary>A channel's samples, wherever they come from: kept in memory as they are or packed, or made from other channels each time they are read, so that a long run holds no array for them.</summary>
[CollectionBuilder(typeof(SampleSource), nameof(Copy))]
public abstract class SampleSource : IReadOnlyList<double>
{
    /// <summary>Samples that <see cref="Blocks"/> makes at a time: they stay in the processor's nearest cache.</summary>
    private const int BlockLength = 2048;

    /// <summary>Samples that a worker takes at a time: long enough that it pays to share them out, and whole blocks.</summary>
    private const int PieceLength = 32 * BlockLength;

    /// <summary>Samples of another channel that one is made from at a time, for which there is room on the stack beside the caller's own.</summary>
    private protected const int Together = 512;

    /// <param name="length">Number of samples.</param>
    protected SampleSource(int length) => Length = length;

    /// <summary>No samples: what stands for a channel that the log lacks.</summary>
    public static SampleSource None { get; } = new KeptSamples([]);

    /// <summary>Number of samples.</summary>
    public int Length { get; }

    /// <summary>True without a sample.</summary>
    public bool IsEmpty => Length == 0;

    /// <inheritdoc/>
    int IReadOnlyCollection<double>.Count => Length;

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
    /// <param name="until">One past the last.</param>
    public virtual ReadOnlySpan<double> Between(int from, int until) => Read(from, until - from, new double[until - from]);

    /// <summary>Samples that are kept.</summary>
    public static SampleSource Of(ImmutableArray<double> samples) => samples.IsDefaultOrEmpty ? None : new KeptSamples(samples);

    /// <summary>Samples that are kept in an array of their own.</summary>
    public static SampleSource Copy(ReadOnlySpan<double> samples) => Of([.. samples]);

    /// <summary>All samples, in an array of their own or in the one in which they are kept.</summary>
    public virtual ImmutableArray<double> ToImmutableArray() => ImmutableCollectionsMarshal.AsImmutableArray(ToArray());

    /// <summary>All samples, in an array of their own.</summary>
    public double[] ToArray()
    {
        double[] all = GC.AllocateUninitializedArray<double>(Length);
        ReadAll(all);
        return all;
    }

    /// <summary>All samples at once, for a walk that goes back and forth; in borrowed room where they are not kept, which is given back when the walk is over.</summary>
    internal virtual WholeSamples Whole()
    {
        double[] room = LongRoom<double>.Pool.Rent(Length);
        ReadAll(room);
        return new(room, Length, isBorrowed: true);
    }

    /// <summary>The same channel made from what a function gives for each of the channels that it is made from; itself when nothing is known of any.</summary>
    internal virtual SampleSource Over(Func<SampleSource, SampleSource> part) => this;

    /// <summary>Each sample times a factor plus an offset; one times the samples less a number is their difference to the bit, and minus zero added to a product changes nothing.</summary>
    internal virtual SampleSource Scaled(double factor, double offset) => new ScaledSamples(this, factor, offset);

    /// <summary>True where it is known without a look at each sample that all are finite.</summary>
    internal virtual bool IsFiniteThroughout => false;

    /// <summary>Reads single samples in about their order.</summary>
    /// <param name="together">Samples that are read at a time: fewer where only a few near one place are wanted.</param>
    internal virtual SampleCursor Cursor(int together = BlockLength) => new(this, together);

    /// <inheritdoc/>
    public IEnumerator<double> GetEnumerator()
    {
        SampleCursor cursor = Cursor();
        for (int i = 0; i < Length; i++)
        {
            yield return cursor[i];
        }
    }

    /// <inheritdoc/>
    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();

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

    /// <summary>Looks at the blocks of a channel on all processors, in no order; each call has a block's first sample and its samples, which hold until it returns.</summary>
    /// <param name="until">One past the last sample that is looked at.</param>
    /// <param name="look">What is done with a block.</param>
    internal void InPieces(int until, BlockLook look) => Workers.Run((until + PieceLength - 1) / PieceLength, piece =>
    {
        double[] room = RoomForBlock();
        foreach ((int start, int count) in Blocks(piece * PieceLength, Math.Min((piece + 1) * PieceLength, until)))
        {
            look(start, Read(start, count, room));
        }
    });

    /// <summary>What is done with a block of samples.</summary>
    /// <param name="start">Its first sample.</param>
    /// <param name="block">The samples.</param>
    internal delegate void BlockLook(int start, ReadOnlySpan<double> block);

    /// <summary>Room for one of <see cref="Blocks"/>.</summary>
    /// <param name="most">Samples that are read in all: a short stretch needs no whole block.</param>
    internal static double[] RoomForBlock(int most = BlockLength) => new double[LongestBlock(most)];

    /// <summary>Length of the longest of the blocks of so many samples.</summary>
    internal static int LongestBlock(int most) => Math.Min(most, BlockLength);

    /// <summary>Mean of the finite samples between two places; NaN without one.</summary>
    /// <param name="from">First sample.</param>
    /// <param name="until">One past the last.</param>
    internal double MeanOfFinite(int from, int until)
    {
        double sum = 0;
        int finite = 0;
        Span<double> room = stackalloc double[Together];
        for (int at = from; at < until; at += Together)
        {
            foreach (double value in Read(at, Math.Min(Together, until - at), room))
            {
                if (double.IsFinite(value))
                {
                    sum += value;
                    finite++;
                }
            }
        }

        return sum / finite;
    }

    /// <summary>Samples in order from one on into some room, as many as it has.</summary>
    internal void ReadInto(int start, Span<double> samples)
    {
        ReadOnlySpan<double> read = Read(start, samples.Length, samples);
        if (!read.Overlaps(samples))
        {
            read.CopyTo(samples);
        }
    }

    private void ReadAll(Span<double> all)
    {
        foreach ((int start, int count) in Blocks(0, Length))
        {
            ReadInto(start, all.Slice(start, count));
        }
    }

    private sealed class KeptSamples(ImmutableArray<double> samples) : SampleSource(samples.Length)
    {
        public override double this[int index] => samples[index];

        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room) => samples.AsSpan().Slice(start, count);

        public override ReadOnlySpan<double> Between(int from, int until) => samples.AsSpan()[from..until];

        public override ImmutableArray<double> ToImmutableArray() => samples;

        internal override WholeSamples Whole() => new(ImmutableCollectionsMarshal.AsArray(samples)!, samples.Length, isBorrowed: false);

        internal override SampleCursor Cursor(int together = BlockLength) => new(ImmutableCollectionsMarshal.AsArray(samples)!);
    }
}
