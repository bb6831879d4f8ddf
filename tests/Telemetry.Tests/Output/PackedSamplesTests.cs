using CsCheck;
using Telemetry.Output.Report;

namespace Telemetry.Tests.Output;

/// <summary>The codes of the report are checked against their definition (README.md of the report), sample by sample.</summary>
public class PackedSamplesTests
{
    private static PackedSamples Pack(double[] samples, int steps = 4096, int bucket = 4) => PackedSamples.Of(SampleSource.Of([.. samples]), new BucketGrid(bucket, [(0, samples.Length)]), steps);

    private static double[] Back(PackedSamples packed) => [.. PackedSamples.Unpack(packed.Gzip, packed.Count).Select(code => packed.ValueOf(code))];

    [Fact]
    public void Every_value_comes_back_to_within_half_a_step_and_a_gap_stays_a_gap() =>
        Gen.Select(Gen.Frequency((9, Gen.Double[-1e5, 1e5]), (1, Gen.Const(double.NaN))).Array[0, 300], Gen.Int[1, 65534]).Sample((samples, steps) =>
        {
            PackedSamples packed = Pack(samples, steps);
            double[] back = Back(packed);
            double range = samples.Where(double.IsFinite).DefaultIfEmpty(0).Max() - samples.Where(double.IsFinite).DefaultIfEmpty(0).Min();
            Assert.Equal(samples.Length, back.Length);
            // Half of the range over the number of steps, and the rounding of the arithmetic itself.
            double bound = (range / steps / 2) + 1e-9;
            for (int i = 0; i < samples.Length; i++)
            {
                Assert.Equal(double.IsNaN(samples[i]), double.IsNaN(back[i]));
                if (!double.IsNaN(samples[i]))
                {
                    Assert.InRange(Math.Abs(back[i] - samples[i]), 0, bound);
                }
            }
        }, seed: "0000KOIPe301", iter: 300);

    [Fact]
    public void A_constant_comes_back_exactly()
    {
        PackedSamples packed = Pack([0.1, 0.1, double.NaN, 0.1]);
        Assert.Equal(0, packed.HalfStep);
        Assert.Equal([0.1, 0.1, double.NaN, 0.1], Back(packed));
    }

    [Fact]
    public void One_sample_and_none_are_packed()
    {
        Assert.Equal([7.5], Back(Pack([7.5])));
        Assert.Empty(Back(Pack([])));
        Assert.True(double.IsNaN(Pack([]).Low));
    }

    [Fact]
    public void Nothing_but_gaps_gives_nothing_but_gaps()
    {
        PackedSamples packed = Pack([double.NaN, double.NaN, double.NaN]);
        Assert.All(Back(packed), value => Assert.True(double.IsNaN(value)));
        Assert.Equal([0], packed.HighCodes);
    }

    [Fact]
    public void An_infinity_is_a_gap_and_does_not_coarsen_the_other_values()
    {
        PackedSamples packed = Pack([1, double.PositiveInfinity, 2, double.NegativeInfinity], 100);
        Assert.Equal(0.01, packed.Step, 1e-12);
        Assert.Equal([1, double.NaN, 2, double.NaN], Back(packed));
    }

    [Fact]
    public void Lowest_and_highest_of_a_range_come_back_at_its_ends()
    {
        PackedSamples packed = Pack([-3, 5, 0], 65534);
        double[] back = Back(packed);
        Assert.Equal(-3, back[0], 1e-12);
        Assert.Equal(5, back[1], 1e-9);
    }

    [Fact]
    public void Packing_is_the_same_bytes_each_time()
    {
        double[] samples = [.. Enumerable.Range(0, 5000).Select(i => Math.Sin(i * 0.01) + (0.01 * Math.Cos(i * 7.3)))];
        Assert.Equal(Pack(samples).Gzip.ToArray(), Pack(samples).Gzip.ToArray());
    }

    [Fact]
    public void Every_bucket_holds_the_smallest_and_the_largest_code_of_its_samples_exactly() =>
        Gen.Select(Gen.Frequency((4, Gen.Double[-9, 9]), (1, Gen.Const(double.NaN))).Array[1, 200], Gen.Int[1, 9], Gen.Int[0, 200]).Sample((samples, size, cut) =>
        {
            cut = Math.Min(cut, samples.Length);
            BucketGrid grid = new(size, [(0, cut), (cut, samples.Length)]);
            PackedSamples packed = PackedSamples.Of(SampleSource.Of([.. samples]), grid, 1000);
            ushort[] codes = PackedSamples.Unpack(packed.Gzip, samples.Length);
            int bucket = 0;
            foreach ((int start, int end) in grid.Laps)
            {
                for (int from = start; from < end; from += size, bucket++)
                {
                    ushort[] known = [.. codes[from..Math.Min(from + size, end)].Where(code => code != 0)];
                    Assert.Equal(known.DefaultIfEmpty((ushort)0).Min(), packed.LowCodes[bucket]);
                    Assert.Equal(known.DefaultIfEmpty((ushort)0).Max(), packed.HighCodes[bucket]);
                }
            }

            Assert.Equal(bucket, packed.LowCodes.Length);
            Assert.Equal(bucket, grid.Count);
        }, seed: "0000KOIPe301", iter: 300);

    /// <summary>A channel is packed block by block, whether its samples are kept or made as they are read: the range is that of the whole, and no block begins anew.</summary>
    [Fact]
    public void A_long_channel_has_one_range_and_one_row_of_codes()
    {
        double[] samples = [.. Enumerable.Range(0, 9001).Select(i => i is 5 ? double.PositiveInfinity : i is 2050 or 8000 ? double.NaN : 100 * Math.Sin(i / 700.0))];
        PackedSamples packed = Pack(samples, 65534, 64);
        Assert.Equal(samples.Where(double.IsFinite).Min(), packed.Low);
        Assert.Equal((samples.Where(double.IsFinite).Max() - packed.Low) / 65534, packed.Step);
        double[] back = Back(packed);
        for (int i = 0; i < samples.Length; i++)
        {
            Assert.Equal(!double.IsFinite(samples[i]), double.IsNaN(back[i]));
            Assert.True(double.IsNaN(back[i]) || Math.Abs(back[i] - samples[i]) <= packed.HalfStep * (1 + 1e-9));
        }
    }

    [Fact]
    public void A_bucket_never_holds_samples_of_two_laps()
    {
        PackedSamples packed = PackedSamples.Of(SampleSource.Of([0, 0, 0, 10, 10]), new BucketGrid(4, [(0, 3), (3, 5)]), 10);
        Assert.Equal([1, 11], packed.LowCodes);
        Assert.Equal([1, 11], packed.HighCodes);
    }

    [Fact]
    public void Channels_past_the_room_of_the_page_keep_their_buckets_only()
    {
        PackedSamples big = new(0, 1, 10, [1], [2], new byte[ReportTraces.MostPackedBytes - 10]);
        TraceChannel channel = new("a", "N", 1, SampleSource.Of([]), null, false);
        ReportTraces traces = ReportTraces.Within(new(4, [(0, 10)]), [channel, channel], [big, big with { Gzip = new byte[11] }], new(() => throw new InvalidOperationException("No figure is drawn.")));
        Assert.Equal(big.Gzip.Length, traces.Packed[0].Gzip.Length);
        Assert.True(traces.Packed[1].Gzip.IsEmpty);
        Assert.Equal([2], traces.Packed[1].HighCodes);
    }
}
