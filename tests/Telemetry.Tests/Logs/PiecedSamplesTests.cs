using System.Globalization;
using CsCheck;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>Packed samples come back to the bit, whatever they are; what a decimal number means is said by the runtime's own parser, which rounds once (IEEE 754-2019, 5.12.2).</summary>
public class PiecedSamplesTests
{
    private static readonly double[] Odd =
    [
        0.0, -0.0, double.NaN, -double.NaN, BitConverter.Int64BitsToDouble(0x7FF8_0000_0000_B1A4L), double.PositiveInfinity, double.NegativeInfinity, double.Epsilon, double.MaxValue,
        int.MaxValue, int.MinValue, int.MaxValue + 1.0, int.MinValue - 1.0, 2147483.647, -2147483.648, 1.0 / 3, 0.1f, 1e-9, 1e-10, 4.35, 0.285, 1.005, 9007199254740993,
    ];

    /// <summary>Numbers as loggers write them, now and then among odd ones.</summary>
    private static readonly Gen<double> Decimal = Gen.Select(Gen.Int[-2_000_000, 2_000_000], Gen.Int[0, 10]).Select((whole, decimals) =>
        double.Parse($"{whole}e-{decimals}", CultureInfo.InvariantCulture));

    private static readonly Gen<double[]> Samples = Gen.OneOf(
        Gen.Select(Gen.Int[-40_000, 40_000].Array[0, 300], Gen.Int[0, 9]).Select((wholes, decimals) =>
            wholes.Select(whole => double.Parse($"{whole}e-{decimals}", CultureInfo.InvariantCulture)).ToArray()),
        Gen.Select(Gen.Int.Array[0, 300], Gen.Int[0, 9]).Select((wholes, decimals) =>
            wholes.Select(whole => double.Parse($"{whole}e-{decimals}", CultureInfo.InvariantCulture)).ToArray()),
        Gen.Float.Array[0, 300].Select(singles => singles.Select(single => (double)single).ToArray()),
        Gen.Double.Array[0, 300],
        Gen.OneOf(Decimal, Gen.Int[0, 22].Select(k => Odd[k])).Array[0, 300]);

    private static IEnumerable<long> Bits(IEnumerable<double> samples) => samples.Select(BitConverter.DoubleToInt64Bits);

    [Fact]
    public void Every_sample_comes_back_to_the_bit() => Gen.Select(Samples, Gen.Int[0, 9]).Sample(
        (samples, thought) =>
        {
            int decimals = thought;
            PackedPiece piece = PackedPiece.Of(samples, ref decimals);
            Assert.Equal(samples.Length, piece.Length);
            Assert.Equal(Bits(samples), Bits(piece.Read(0, samples.Length, new double[samples.Length], 1, -0.0).ToArray()));
            Assert.Equal(Bits(samples), Bits(Enumerable.Range(0, samples.Length).Select(i => piece[i])));
            Assert.True(!piece.IsFiniteThroughout || samples.All(double.IsFinite));
        },
        iter: 3000);

    [Fact]
    public void Each_odd_number_comes_back_by_itself_and_among_plain_ones()
    {
        foreach (double odd in Odd)
        {
            foreach (double[] samples in (double[][])[[odd], [1.25, odd, -3.5, 17, 2.75]])
            {
                Assert.Equal(Bits(samples), Bits(PiecedSamples.Pack(samples)));
            }
        }
    }

    /// <summary>Each decimal number of four digits behind the point, and each of six digits in steps: what the parser makes of its text is what comes back.</summary>
    [Fact]
    public void Decimal_numbers_are_those_that_their_text_means()
    {
        double[] four = [.. Enumerable.Range(-50_000, 100_001).Select(whole => double.Parse($"{whole}e-4", CultureInfo.InvariantCulture))];
        double[] six = [.. Enumerable.Range(0, 100_000).Select(k => double.Parse($"{k * 7919L % 2_000_000_000}e-6", CultureInfo.InvariantCulture))];
        foreach (double[] numbers in (double[][])[four, six])
        {
            SampleSource packed = PiecedSamples.Pack(numbers);
            Assert.True(packed.IsFiniteThroughout); // packed as decimals, none of them in eight bytes
            Assert.Equal(Bits(numbers), Bits(packed));
        }
    }

    [Fact]
    public void A_scaled_channel_is_the_product_and_the_sum_of_each_sample() => Gen.Select(Samples, Gen.Int[0, 4].Select(k => new[] { 1, -1, 1 / 3.6, 0.001, -9.80665 }[k]), Gen.Int[0, 2].Select(k => new[] { 0.0, -0.0, 273.15 }[k])).Sample(
        (samples, factor, offset) =>
        {
            SampleSource scaled = PiecedSamples.Pack(samples).Scaled(factor, offset);
            Assert.Equal(Bits(samples.Select(sample => (sample * factor) + offset)), Bits(scaled.ToArray()));
            SampleSourceTests.AssertReadsAlike(scaled);
            SampleSource twice = scaled.Scaled(2, 1);
            Assert.Equal(Bits(samples.Select(sample => (((sample * factor) + offset) * 2) + 1)), Bits(twice.ToArray()));
        },
        iter: 300);

    [Fact]
    public void Pieces_follow_each_other_in_whatever_lengths()
    {
        double[] samples = [.. Enumerable.Range(0, 100_003).Select(i => i % 1000 == 0 ? Odd[i / 1000 % Odd.Length] : Math.Round(i * 0.37, 2))];
        SampleSourceTests.AssertReadsAlike(PiecedSamples.Pack(samples));
        Assert.Equal(Bits(samples), Bits(PiecedSamples.Pack(samples)));
        int decimals = 0;
        List<PackedPiece> pieces = [];
        for (int at = 0, length = 0; at < 5000; at += length, length = (length * 7 + 3) % 911)
        {
            pieces.Add(PackedPiece.Of(samples.AsSpan(at, length), ref decimals));
        }

        PiecedSamples joined = new([.. pieces]);
        Assert.Equal(Bits(samples.Take(joined.Length)), Bits(joined));
        SampleSourceTests.AssertReadsAlike(joined);
        Assert.Empty(new PiecedSamples([]));
        Assert.Empty(PiecedSamples.Pack([]));
    }
}
