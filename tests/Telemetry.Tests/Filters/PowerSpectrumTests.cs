using System.Text.Json;
using Telemetry.Filters;

namespace Telemetry.Tests.Filters;

public class PowerSpectrumTests
{
    /// <summary>scipy.signal.welch(x, fs=200, nperseg=256), SciPy 1.10.1.</summary>
    [Fact]
    public void Density_is_that_of_scipy()
    {
        JsonElement data = FilterData.Json("signal", "welch.json");
        PowerSpectrum spectrum = PowerSpectrum.Welch(FilterData.Numbers(data.GetProperty("x")), 200, new() { SegmentSamples = 256 });
        Assert.Equal(FilterData.Numbers(data.GetProperty("frequency_hz")), spectrum.FrequencyHz);
        double[] density = FilterData.Numbers(data.GetProperty("density"));
        double greatest = density.Max();
        for (int k = 0; k < density.Length; k++)
        {
            Assert.Equal(density[k], spectrum.Density[k], (1e-9 * density[k]) + (1e-15 * greatest));
        }

        Assert.Equal(7, spectrum.SegmentsUsed);
        Assert.Equal(7, spectrum.SegmentsWithoutGaps);
    }

    /// <summary>Parseval: a sine of amplitude A has the variance A^2/2, and this is the area under its line.</summary>
    [Fact]
    public void The_area_under_the_density_is_the_variance()
    {
        double[] sine = [.. Enumerable.Range(0, 8192).Select(i => 3 * Math.Sin(2 * Math.PI * 64 * i / 1024.0))];
        PowerSpectrum spectrum = PowerSpectrum.Welch(sine, 100, new() { SegmentSamples = 1024 });
        double area = spectrum.Density.Sum() * 100 / 1024;
        Assert.Equal(4.5, area, 1e-10);
    }

    [Fact]
    public void A_segment_never_lies_across_a_gap()
    {
        double[] x = FilterData.Numbers(FilterData.Json("signal", "welch.json").GetProperty("x"));
        double[] gappy = [.. x[..300], double.NaN, .. x[300..600], double.PositiveInfinity, .. x[600..700]];
        WelchSettings settings = new() { SegmentSamples = 256 };
        PowerSpectrum spectrum = PowerSpectrum.Welch(gappy, 200, settings);
        Assert.Equal(2, spectrum.SegmentsUsed);
        Assert.Equal(4, spectrum.SegmentsWithoutGaps);
        PowerSpectrum first = PowerSpectrum.Welch(x.AsSpan(0, 256), 200, settings);
        PowerSpectrum second = PowerSpectrum.Welch(x.AsSpan(300, 256), 200, settings);
        FilterData.Near([.. first.Density.Zip(second.Density, (a, b) => (a + b) / 2)], spectrum.Density, 1e-13);
    }

    [Fact]
    public void Too_few_samples_give_no_density_and_no_interval()
    {
        foreach (double[] samples in new double[][] { [], [1], [.. Enumerable.Repeat(1.0, 255)] })
        {
            PowerSpectrum spectrum = PowerSpectrum.Welch(samples, 200, new() { SegmentSamples = 256 });
            Assert.Equal(0, spectrum.SegmentsUsed);
            Assert.All(spectrum.Density, value => Assert.True(double.IsNaN(value)));
            Assert.True(double.IsNaN(spectrum.Low95Factor) && double.IsNaN(spectrum.High95Factor));
        }
    }

    [Fact]
    public void A_constant_has_no_power() =>
        Assert.All(PowerSpectrum.Welch([.. Enumerable.Repeat(38e3, 1024)], 200, new() { SegmentSamples = 256 }).Density, value => Assert.Equal(0, value));

    /// <summary>Chi squared with 2 degrees of freedom, 2.5 % and 97.5 %: 0.0506356159685798 and 7.37775890822787 (R 4.2.2, qchisq).</summary>
    [Fact]
    public void One_segment_has_two_degrees_of_freedom()
    {
        PowerSpectrum spectrum = PowerSpectrum.Welch([.. Enumerable.Range(0, 256).Select(i => (double)(i % 7))], 200, new() { SegmentSamples = 256 });
        Assert.Equal(2, spectrum.DegreesOfFreedom);
        FilterData.NearValue(2 / 7.37775890822787, spectrum.Low95Factor, 1e-9);
        FilterData.NearValue(2 / 0.0506356159685798, spectrum.High95Factor, 1e-9);
    }

    /// <summary>White noise of variance 1/12 sampled at 200 Hz has the density (1/12)/(100 Hz); about 95 % of intervals must hold it.
    /// 50 series of 127 lines: neighbouring lines share noise, so the share scatters by about 0.5 %.</summary>
    [Fact]
    public void Intervals_of_white_noise_hold_the_truth_19_times_in_20()
    {
        Random random = new(20);
        int held = 0;
        int lines = 0;
        for (int series = 0; series < 50; series++)
        {
            double[] noise = [.. Enumerable.Range(0, 1280).Select(_ => random.NextDouble())];
            PowerSpectrum spectrum = PowerSpectrum.Welch(noise, 200, new() { SegmentSamples = 256 });
            for (int k = 2; k < 127; k++)
            {
                lines++;
                const double Truth = 1.0 / 1200;
                held += spectrum.Density[k] * spectrum.Low95Factor <= Truth && Truth <= spectrum.Density[k] * spectrum.High95Factor ? 1 : 0;
            }
        }

        Assert.InRange((double)held / lines, 0.93, 0.97);
    }

    [Fact]
    public void The_default_segment_is_four_seconds_or_a_little_more()
    {
        Assert.Equal(4096, PowerSpectrum.Welch([], 1000).SegmentSamples);
        Assert.Equal(512, PowerSpectrum.Welch([], 100).SegmentSamples);
    }

    [Fact]
    public void Segments_and_rates_that_cannot_be_are_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new WelchSettings { SegmentSamples = 1000 });
        Assert.Throws<ArgumentOutOfRangeException>(() => new WelchSettings { SegmentSamples = 2 });
        Assert.Throws<ArgumentOutOfRangeException>(() => new WelchSettings { SegmentSamples = -4 });
        Assert.Throws<ArgumentOutOfRangeException>(() => PowerSpectrum.Welch([1, 2], 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => PowerSpectrum.Welch([1, 2], double.NaN));
    }
}
