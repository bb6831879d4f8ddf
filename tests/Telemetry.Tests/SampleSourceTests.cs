using System.Collections.Immutable;
using CsCheck;
using Telemetry.Modes;
using Telemetry.Tests.Output;

namespace Telemetry.Tests;

/// <summary>Channels that are made when they are read give the same numbers whichever way they are read.</summary>
public class SampleSourceTests
{
    private static IEnumerable<SampleSource> Sources()
    {
        ModeSet modes = ModeDecomposition.From(SampleReviews.Full.Wheels);
        LoadModes load = modes.Load;
        DisplacementModes travel = modes.Displacement!;
        return
        [
            load.HeaveN, load.PitchN, load.RollN, load.WarpN, load.PitchMomentNm, load.RollMomentNm,
            travel.HeaveM, travel.PitchRad, travel.RollFrontRad, travel.RollRearRad, travel.WarpM,
            SampleSource.Of([1, double.NaN, -3]),
        ];
    }

    [Fact]
    public void A_part_a_single_sample_and_the_whole_are_the_same_numbers() =>
        Gen.Select(Gen.Int[0, 100_000], Gen.Int[0, 5_000]).Sample(
            (from, many) =>
            {
                foreach (SampleSource source in Sources())
                {
                    ImmutableArray<double> whole = source.ToImmutableArray();
                    Assert.Equal(source.Length, whole.Length);
                    int start = from % source.Length, count = Math.Min(many, source.Length - start);
                    double[] part = source.Read(start, count, new double[count]).ToArray();
                    Assert.Equal(whole.AsSpan().Slice(start, count).ToArray(), part);
                    Assert.Equal(whole[start], source[start]);
                }
            },
            iter: 30);

    [Theory]
    [InlineData(0, 3, 2)]
    [InlineData(0, 6, 3.5)]
    [InlineData(3, 5, 8)]
    [InlineData(2, 4, double.NaN)]
    [InlineData(4, 4, double.NaN)]
    public void The_mean_of_a_stretch_leaves_out_what_is_not_finite(int from, int until, double mean) =>
        Assert.Equal(mean, SampleSource.Of([1, 3, double.NaN, double.PositiveInfinity, 8, 2]).MeanOfFinite(from, until));

    [Fact]
    public void The_mean_of_a_long_stretch_counts_each_sample_once()
    {
        SampleSource rising = SampleSource.Copy([.. Enumerable.Range(0, 5000).Select(i => (double)i)]).Scaled(2, 1);

        // Mean of an arithmetic series: that of its first and last member, 2 i + 1 for i of 3 and 4321.
        Assert.Equal((7 + 8643) / 2.0, rising.MeanOfFinite(3, 4322));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2049)]
    [InlineData(200_000)]
    [InlineData(300_000)]
    public void Each_sample_is_looked_at_once_in_pieces(int until)
    {
        SampleSource source = SampleSource.Copy([.. Enumerable.Range(0, 300_000).Select(i => (double)i)]).Scaled(2, 1);
        int[] looks = new int[source.Length];
        source.InPieces(until, (start, block) =>
        {
            for (int i = 0; i < block.Length; i++)
            {
                Assert.Equal((2.0 * (start + i)) + 1, block[i]);
                Interlocked.Increment(ref looks[start + i]);
            }
        });
        Assert.All(looks[..until], times => Assert.Equal(1, times));
        Assert.All(looks[until..], times => Assert.Equal(0, times));
    }

    /// <summary>One by one, in parts and as a whole.</summary>
    internal static void AssertReadsAlike(SampleSource source)
    {
        ImmutableArray<double> whole = source.ToImmutableArray();
        Assert.Equal(whole, Enumerable.Range(0, source.Length).Select(i => source[i]));
        for (int start = 0; start < source.Length; start += 777)
        {
            int count = Math.Min(777, source.Length - start);
            Assert.Equal(whole.AsSpan().Slice(start, count).ToArray(), source.Read(start, count, new double[count]).ToArray());
            Assert.Equal(whole.AsSpan().Slice(start, count).ToArray(), source.Between(start, start + count).ToArray());
        }
    }

    [Fact]
    public void Kept_samples_are_handed_out_without_a_copy()
    {
        ImmutableArray<double> samples = [1, 2, 3, 4];
        SampleSource source = SampleSource.Of(samples);
        Assert.True(source.ToImmutableArray() == samples);
        Assert.True(source.Read(1, 2, []) == samples.AsSpan().Slice(1, 2));
    }

    /// <summary>Samples asked for in any order, as a walk that looks back does, and all at once.</summary>
    [Fact]
    public void A_cursor_and_the_whole_have_the_same_numbers() => Gen.Select(Gen.Int[1, 9000], Gen.Int[1, 3000], Gen.Int[0, 9000].Array[1, 60]).Sample(
        (length, together, places) =>
        {
            double[] numbers = [.. Enumerable.Range(0, length).Select(i => i / 8.0)];
            foreach (SampleSource source in (SampleSource[])[[.. numbers], Telemetry.Logs.PiecedSamples.Pack(numbers), new RememberedSamples([.. numbers], together)])
            {
                SampleCursor cursor = source.Cursor(together);
                Assert.Equal(length, cursor.Length);
                foreach (int place in places)
                {
                    Assert.Equal(numbers[place % length], cursor[place % length]);
                }

                using WholeSamples whole = source.Whole();
                Assert.Equal(numbers, whole.Span.ToArray());
                Assert.Equal(numbers, source);
                Assert.Throws<ArgumentOutOfRangeException>(() => source.Cursor()[length]);
                Assert.Throws<ArgumentOutOfRangeException>(() => source.Cursor()[-1]);
            }
        },
        iter: 100);

    /// <summary>What several channels are made from is made once a stretch, and each of them is what it was.</summary>
    [Fact]
    public void Channels_that_share_their_parts_are_the_same_numbers()
    {
        Telemetry.WheelLoads.WheelLoadSet wheels = SampleReviews.Full.Wheels;
        SampleSource[] channels = [.. Sources(), wheels.LoadN.FrontLeft, wheels.LoadN.RearRight];
        SampleSource[] shared = new SharedParts(1000).Of(channels);
        Assert.NotSame(channels[0], shared[0]);
        Assert.NotSame(wheels.LoadN.RearRight, shared[^1]);
        foreach ((SampleSource own, SampleSource other) in channels.Zip(shared))
        {
            Assert.Equal(own.ToImmutableArray(), other.ToImmutableArray());
            AssertReadsAlike(other);
        }
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(5, 6)]
    [InlineData(3, 10_000)]
    public void Blocks_cover_each_sample_once_in_order(int start, int end)
    {
        List<int> covered = [];
        foreach ((int at, int count) in SampleSource.Blocks(start, end))
        {
            Assert.InRange(count, 1, SampleSource.RoomForBlock().Length);
            covered.AddRange(Enumerable.Range(at, count));
        }

        Assert.Equal(Enumerable.Range(start, end - start), covered);
    }
}
