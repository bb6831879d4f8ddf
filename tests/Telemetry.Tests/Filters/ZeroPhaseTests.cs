using System.Collections.Immutable;
using System.Text.Json;
using CsCheck;
using Telemetry.Filters;

namespace Telemetry.Tests.Filters;

public class ZeroPhaseTests
{
    private static readonly ButterworthFilter Slow = ButterworthFilter.LowPass(4, 10, 1000);

    public static TheoryData<string> SciPyNames => ButterworthDesignTests.SciPyNames;

    /// <summary>The low passes: the others have no 50-digit column, and are among the cases below.</summary>
    public static TheoryData<string> SciPyLowPassNames =>
        [.. FilterData.SciPyDesigns().Select(d => d.GetProperty("name").GetString()!).Where(n => n.StartsWith("lp", StringComparison.Ordinal))];

    public static TheoryData<string> FiftyDigitNames => ButterworthDesignTests.FiftyDigitNames;

    /// <summary>scipy.signal.sosfiltfilt, SciPy 1.10.1, with its default padding. 1e-9 of the greatest value: at 1/4000 of the
    /// sample rate SciPy's own doubles are 2e-10 off (double_precision_error.csv).</summary>
    [Theory]
    [MemberData(nameof(SciPyNames))]
    public void Output_is_that_of_scipy_with_its_padding(string name)
    {
        JsonElement design = FilterData.SciPyDesign(name);
        Dictionary<string, double[]> table = FilterData.Columns("filters", design.GetProperty("response_file").GetString()!);
        int padding = design.GetProperty("default_padlen_sosfiltfilt").GetInt32();
        FilterData.Near(table["sosfiltfilt"], Filtered(table["input"], FilterData.Ours(design), padding), 1e-9);
    }

    /// <summary>sosfiltfilt with a padding of three periods of the cut-off, or all that the series gives.</summary>
    [Theory]
    [MemberData(nameof(SciPyNames))]
    public void Output_is_that_of_scipy_with_long_padding(string name)
    {
        JsonElement design = FilterData.SciPyDesign(name);
        Dictionary<string, double[]> table = FilterData.Columns("filters", design.GetProperty("response_file").GetString()!);
        string column = table.Keys.Single(key => key.StartsWith("sosfiltfilt_padlen_", StringComparison.Ordinal));
        int padding = int.Parse(column["sosfiltfilt_padlen_".Length..], System.Globalization.CultureInfo.InvariantCulture);
        FilterData.Near(table[column], Filtered(table["input"], FilterData.Ours(design), padding), 1e-9);
    }

    /// <summary>The same filter in mpmath, 50 digits. Tighter than SciPy's doubles at 1/4000 of the sample rate: 1e-13 against their 2e-10.</summary>
    [Theory]
    [MemberData(nameof(SciPyLowPassNames))]
    public void Output_is_that_of_50_digit_arithmetic(string name)
    {
        JsonElement design = FilterData.SciPyDesign(name);
        Dictionary<string, double[]> table = FilterData.Columns("filters", design.GetProperty("response_file").GetString()!);
        int padding = design.GetProperty("default_padlen_sosfiltfilt").GetInt32();
        FilterData.Near(table["mpmath_50_digit_zero_phase"], Filtered(table["input"], FilterData.Ours(design), padding), 1e-13);
    }

    /// <summary>mpmath, 50 digits: every kind, odd orders, order 8 and a high pass at 1/4000 of the sample rate.</summary>
    [Theory]
    [MemberData(nameof(FiftyDigitNames))]
    public void Every_kind_agrees_with_50_digit_arithmetic(string name)
    {
        JsonElement design = FilterData.FiftyDigitCase(name);
        double[] input = FilterData.Columns("filters", design.GetProperty("input_file").GetString()!)["input"];
        double[] exact = FilterData.Numbers(design.GetProperty("zero_phase"));
        double[] ours = Filtered(input[..exact.Length], FilterData.Ours(design), design.GetProperty("padlen").GetInt32());
        FilterData.Near(exact, ours, 1e-13);
    }

    [Fact]
    public void A_constant_and_a_straight_line_pass_a_low_pass_unchanged()
    {
        // Odd reflection continues a line, and a zero-phase filter of gain 1 has no delay: both are kept but for the padding's far end.
        double[] line = [.. Enumerable.Range(0, 2000).Select(i => 5 + (0.01 * i))];
        double[] constant = [.. Enumerable.Repeat(1234.5, 2000)];
        FilterData.Near(constant, Filtered(constant, Slow, null), 1e-14);
        FilterData.Near(line[500..1500], Filtered(line, Slow, null)[500..1500], 1e-9);
    }

    [Fact]
    public void A_sine_keeps_its_phase_and_gets_the_stated_magnitude()
    {
        foreach (double frequencyHz in new[] { 2.0, 10.0, 20.0 })
        {
            double[] sine = [.. Enumerable.Range(0, 4000).Select(i => Math.Sin(2 * Math.PI * frequencyHz * i / 1000))];
            double magnitude = Slow.ZeroPhaseMagnitude(frequencyHz);
            FilterData.Near([.. sine[1500..2500].Select(x => x * magnitude)], Filtered(sine, Slow, null)[1500..2500], 1e-9);
        }
    }

    [Fact]
    public void Filtering_is_linear() =>
        Gen.Select(Gen.Double[-1e4, 1e4].Array[300], Gen.Double[-1e4, 1e4].Array[300], Gen.Double[-3, 3]).Sample(
            (a, b, k) =>
            {
                double[] sum = [.. a.Zip(b, (x, y) => x + (k * y))];
                double[] expected = [.. Filtered(a, Slow, null).Zip(Filtered(b, Slow, null), (x, y) => x + (k * y))];
                Assert.All(Filtered(sum, Slow, null).Zip(expected), p => Assert.Equal(p.Second, p.First, 1e-8));
            },
            seed: "0000KOIXe3y1",
            iter: 50);

    /// <summary>The two passes commute but for what the padding's far ends do, which has died away by a thousandth squared in the middle.</summary>
    [Fact]
    public void Reversed_time_gives_the_reversed_result() =>
        Gen.Double[-1, 1].Array[1500].Sample(
            samples =>
            {
                double[] there = Filtered(samples, Slow, null);
                double[] back = Filtered([.. samples.Reverse()], Slow, null);
                Array.Reverse(back);
                FilterData.Near(there[300..^300], back[300..^300], 1e-5);
            },
            seed: "0000KOIXe3y1",
            iter: 30);

    [Fact]
    public void Nothing_passes_across_a_gap()
    {
        double[] samples = FilterData.Columns("filters", "lp4_1000_10_response.csv")["input"];
        double[] before = samples[..250];
        double[] after = samples[252..];
        double[] withGap = [.. before, double.NaN, double.PositiveInfinity, .. after];
        double[] result = Filtered(withGap, Slow, null);
        Assert.Equal(Filtered(before, Slow, null), result[..250]);
        Assert.True(double.IsNaN(result[250]) && double.IsNaN(result[251]));
        Assert.Equal(Filtered(after, Slow, null), result[252..]);
    }

    [Fact]
    public void Values_beyond_a_gap_change_nothing_before_it()
    {
        double[] samples = FilterData.Columns("filters", "lp4_1000_10_response.csv")["input"];
        samples[300] = double.NaN;
        double[] result = Filtered(samples, Slow, null);
        for (int i = 301; i < samples.Length; i++)
        {
            samples[i] = 1e9 * i;
        }

        Assert.Equal(result[..300], Filtered(samples, Slow, null)[..300]);
    }

    /// <summary>Half a period of 10 Hz at 1 kHz is 50 samples.</summary>
    [Fact]
    public void A_stretch_shorter_than_half_a_period_says_nothing()
    {
        double[] ones = [.. Enumerable.Repeat(1.0, 49), double.NaN, .. Enumerable.Repeat(2.0, 50)];
        double[] result = Filtered(ones, Slow, null);
        Assert.All(result[..50], value => Assert.True(double.IsNaN(value)));
        FilterData.Near([.. Enumerable.Repeat(2.0, 50)], result[50..], 1e-14);
    }

    [Fact]
    public void A_stretch_shorter_than_the_padding_is_padded_by_what_it_has()
    {
        // The same as asking for n - 1 outright.
        double[] samples = FilterData.Columns("filters", "lp4_1000_10_response.csv")["input"][..60];
        Assert.Equal(Filtered(samples, Slow, 59), Filtered(samples, Slow, 100_000));
    }

    [Fact]
    public void Nothing_one_sample_and_only_gaps_have_an_answer()
    {
        Assert.Empty(ZeroPhase.Filter([], Slow));
        Assert.Empty(ZeroPhase.Filter(default(ImmutableArray<double>), Slow));
        Assert.True(double.IsNaN(Assert.Single(ZeroPhase.Filter([7.0], Slow))));
        Assert.Equal(7, Assert.Single(ZeroPhase.Filter([7.0], Slow, new() { MinimumStretchSamples = 1 })), 1e-14);
        Assert.All(ZeroPhase.Filter([double.NaN, double.NegativeInfinity, double.NaN], Slow), value => Assert.True(double.IsNaN(value)));
    }

    [Fact]
    public void Long_series_come_out_the_same_as_their_definition_says_whatever_the_chunk()
    {
        // Longer than the piece that goes through all sections at once; the definition is two causal runs on the padded series.
        ButterworthFilter filter = ButterworthFilter.BandPass(3, 5, 50, 1000, CutoffMeaning.SinglePass);
        Random random = new(7);
        double[] samples = [.. Enumerable.Range(0, 10_007).Select(_ => random.NextDouble())];
        const int Pad = 200;
        double[] padded =
        [
            .. Enumerable.Range(1, Pad).Reverse().Select(i => (2 * samples[0]) - samples[i]),
            .. samples,
            .. Enumerable.Range(1, Pad).Select(i => (2 * samples[^1]) - samples[^(i + 1)]),
        ];
        double[] once = [.. CausalFilter.Filter([.. padded], filter)];
        Array.Reverse(once);
        double[] twice = [.. CausalFilter.Filter([.. once], filter)];
        Array.Reverse(twice);
        FilterData.Near(twice[Pad..^Pad], Filtered(samples, filter, Pad), 1e-13);
    }

    [Fact]
    public void A_channel_that_falls_to_zero_settles_at_zero()
    {
        double[] samples = new double[100_000];
        samples[1000] = 1e4;
        double[] result = Filtered(samples, Slow, null);
        Assert.Equal(0, result[^1]);
        Assert.DoesNotContain(result, double.IsSubnormal);
        Assert.InRange(result[1000], 1, 1e4);
    }

    [Fact]
    public void Memory_that_does_not_fit_and_settings_out_of_range_are_refused()
    {
        double[] samples = new double[100];
        Assert.Throws<ArgumentException>(() => ZeroPhase.Filter(samples, Slow, new double[99]));
        Assert.Throws<ArgumentException>(() => ZeroPhase.Filter(samples, Slow, samples));
        Assert.Throws<ArgumentOutOfRangeException>(() => new ZeroPhaseSettings { PaddingSamples = -1 });
        Assert.Throws<ArgumentOutOfRangeException>(() => new ZeroPhaseSettings { MinimumStretchSamples = 0 });
    }

    private static double[] Filtered(double[] samples, ButterworthFilter filter, int? padding)
    {
        // With a padding of another program goes its habit of filtering any length.
        ZeroPhaseSettings settings = new() { PaddingSamples = padding, MinimumStretchSamples = padding is null ? null : 1 };
        double[] result = new double[samples.Length];
        ZeroPhase.Filter(samples, filter, result, settings);
        return result;
    }
}
