using System.Numerics;
using System.Text.Json;
using CsCheck;
using Telemetry.Filters;

namespace Telemetry.Tests.Filters;

public class ButterworthDesignTests
{
    public static TheoryData<string> SciPyNames => [.. FilterData.SciPyDesigns().Select(d => d.GetProperty("name").GetString()!)];

    public static TheoryData<string> FiftyDigitNames => [.. FilterData.FiftyDigitCases().Select(d => d.GetProperty("name").GetString()!)];

    /// <summary>scipy.signal.butter(..., output='sos'), SciPy 1.10.1. SciPy puts the whole gain into its first section and we share it out,
    /// so each section is compared up to its own gain, and the product of the gains as well. Of an odd low pass SciPy gives the single pole
    /// two zeros and a pair of poles one; we keep single with single, so there only the denominators are compared here.</summary>
    [Theory]
    [MemberData(nameof(SciPyNames))]
    public void Sections_and_their_order_are_those_of_scipy(string name)
    {
        JsonElement design = FilterData.SciPyDesign(name);
        SameSections(FilterData.Rows(design.GetProperty("sos")), FilterData.Ours(design));
    }

    /// <summary>As above for band stop, odd band pass, order 5 and 12, and 1/4000 of the sample rate.</summary>
    [Theory]
    [MemberData(nameof(FiftyDigitNames))]
    public void The_whole_response_is_that_of_scipys_sections(string name)
    {
        JsonElement design = FilterData.FiftyDigitCase(name);
        ButterworthFilter ours = FilterData.Ours(design);
        double[][] sos = FilterData.Rows(design.GetProperty("scipy_sos"));
        Assert.Equal(sos.Length, ours.Sections.Length);
        for (double share = 0.0; share <= 0.5; share += 0.01)
        {
            double expected = sos.Aggregate(1.0, (product, row) => product * Response(row, share).Magnitude);

            // SciPy's rounded coefficients lose digits at low frequency, so the tolerance is absolute: 1e-9 of the passed band's gain 1.
            Assert.Equal(expected, ours.SinglePassMagnitude(share * ours.SampleRateHz), 1e-9);
        }
    }

    /// <summary>The exact bilinear formula in mpmath, 50 digits.</summary>
    [Theory]
    [MemberData(nameof(SciPyNames))]
    public void Magnitudes_are_those_of_the_exact_formula(string name)
    {
        JsonElement design = FilterData.SciPyDesign(name);
        ButterworthFilter ours = FilterData.Ours(design);
        foreach (JsonElement point in design.GetProperty("attenuation").EnumerateArray())
        {
            double frequencyHz = point.GetProperty("frequency_hz").GetDouble();
            FilterData.NearValue(point.GetProperty("magnitude").GetDouble(), ours.SinglePassMagnitude(frequencyHz), 1e-12);
            FilterData.NearValue(point.GetProperty("zero_phase_magnitude").GetDouble(), ours.ZeroPhaseMagnitude(frequencyHz), 1e-12);
        }
    }

    /// <summary>Sections of the same design in mpmath, 50 digits.</summary>
    [Theory]
    [MemberData(nameof(FiftyDigitNames))]
    public void Magnitudes_are_those_of_50_digit_sections(string name)
    {
        JsonElement design = FilterData.FiftyDigitCase(name);
        ButterworthFilter ours = FilterData.Ours(design);
        double[] frequenciesHz = FilterData.Numbers(design.GetProperty("magnitude_frequency_hz"));
        double[] magnitudes = FilterData.Numbers(design.GetProperty("magnitude"));
        for (int i = 0; i < frequenciesHz.Length; i++)
        {
            FilterData.NearValue(magnitudes[i], ours.SinglePassMagnitude(frequenciesHz[i]), 1e-12);
        }
    }

    /// <summary>The handbook's normalised Butterworth polynomials. Putting z = (1 + s)/(1 - s) into a section's denominator and s = warped cut-off
    /// times p gives back its factor of the prototype's polynomial in p; the product of all factors is compared.</summary>
    [Fact]
    public void Denominators_are_the_handbook_polynomials()
    {
        foreach (JsonElement polynomial in FilterData.Json("signal", "analogue_butterworth.json").GetProperty("polynomials").EnumerateArray())
        {
            int order = polynomial.GetProperty("order").GetInt32();
            double[] expected = FilterData.Numbers(polynomial.GetProperty("denominator_coefficients_descending"));
            const double RateHz = 1000;
            const double CutoffHz = 40;
            double warped = Math.Tan(Math.PI * CutoffHz / RateHz);
            double[] product = [1];
            foreach (FilterSection section in ButterworthFilter.LowPass(order, CutoffHz, RateHz, CutoffMeaning.SinglePass).Sections)
            {
                // (z^2 + a1 z + a2) (1 - s)^2 = (1 - a1 + a2) s^2 + 2 (1 - a2) s + (1 + a1 + a2); a single pole gives (1 - a1) s + (1 + a1).
                double a1 = section.A1;
                double a2 = section.A2;
                double[] factor = a2 == 0
                    ? [(1 - a1) * warped, section.DenominatorSum]
                    : [(1 - a1 + a2) * warped * warped, 2 * (1 - a2) * warped, section.DenominatorSum];
                product = Multiply(product, [.. factor.Select(c => c / factor[0])]);
            }

            FilterData.Near(expected, product, 1e-12);
        }
    }

    /// <summary>1 / sqrt(1 + r^2n), mpmath, at digital frequencies that the pre-warped bilinear transformation puts on r.</summary>
    [Fact]
    public void Attenuation_follows_the_maximally_flat_law()
    {
        Dictionary<string, double[]> table = FilterData.Columns("signal", "analogue_attenuation.csv");
        const double RateHz = 2000;
        const double CutoffHz = 0.5;
        for (int i = 0; i < table["order"].Length; i++)
        {
            if (table["order"][i] > ButterworthFilter.HighestOrder)
            {
                continue;
            }

            ButterworthFilter filter = ButterworthFilter.LowPass((int)table["order"][i], CutoffHz, RateHz, CutoffMeaning.SinglePass);
            double warped = Math.Tan(Math.PI * CutoffHz / RateHz) * table["frequency_over_cutoff"][i];
            double frequencyHz = Math.Atan(warped) * RateHz / Math.PI;
            FilterData.NearValue(table["magnitude"][i], filter.SinglePassMagnitude(frequencyHz), 1e-12);
            FilterData.NearValue(table["two_pass_magnitude"][i], filter.ZeroPhaseMagnitude(frequencyHz), 1e-12);
        }
    }

    /// <summary>(2^(1/passes) - 1)^(1/(2n)), mpmath: the -3 dB of two passes stands at this share of one pass's, so one pass is designed
    /// at the wish over it (on the warped axis).</summary>
    [Fact]
    public void The_design_of_each_pass_is_raised_by_the_factor_for_two_passes()
    {
        Dictionary<string, double[]> table = FilterData.Columns("signal", "cutoff_correction_for_passes.csv");
        for (int i = 0; i < table["order"].Length; i++)
        {
            CutoffMeaning meaning = table["passes"][i] == 2 ? CutoffMeaning.ForwardAndBackward : CutoffMeaning.SinglePass;
            ButterworthFilter filter = ButterworthFilter.LowPass((int)table["order"][i], 10, 1000, meaning);
            double ratio = Math.Tan(Math.PI * 10 / 1000) / Math.Tan(Math.PI * filter.DesignCutoffsHz[0] / 1000);
            FilterData.NearValue(table["single_pass_cutoff_factor"][i], ratio, 1e-13);
        }
    }

    /// <summary>Definition of the cut-off: half the power, for every kind, order and frequency.</summary>
    [Fact]
    public void Half_the_power_passes_at_every_cutoff_of_the_whole_operation() =>
        Gen.Select(Gen.Int[1, 12], Gen.Double[0.0003, 0.2], Gen.Double[1.1, 2.4], Gen.Int[0, 3]).Sample(
            (order, low, ratio, kind) =>
            {
                const double RateHz = 500;
                double lowHz = low * RateHz;
                double highHz = ratio * lowHz;
                ButterworthFilter filter = kind switch
                {
                    0 => ButterworthFilter.LowPass(order, lowHz, RateHz),
                    1 => ButterworthFilter.HighPass(order, lowHz, RateHz),
                    2 => ButterworthFilter.BandPass(order, lowHz, highHz, RateHz),
                    _ => ButterworthFilter.BandStop(order, lowHz, highHz, RateHz),
                };
                foreach (double cutoffHz in filter.CutoffsHz)
                {
                    Assert.Equal(Math.Sqrt(0.5), filter.ZeroPhaseMagnitude(cutoffHz), 1e-10);
                }

                foreach (double cutoffHz in filter.DesignCutoffsHz)
                {
                    Assert.Equal(Math.Sqrt(0.5), filter.SinglePassMagnitude(cutoffHz), 1e-10);
                }

                // A Butterworth filter is flat: nowhere above 1, and 1 in the middle of the passed band.
                for (double f = 0; f <= RateHz / 2; f += RateHz / 200)
                {
                    Assert.InRange(filter.SinglePassMagnitude(f), 0, 1 + 1e-10);
                }
            },
            seed: "0000KOIXe3y1",
            iter: 500);

    [Fact]
    public void A_low_pass_keeps_a_constant_and_a_high_pass_takes_it_away_exactly()
    {
        for (int order = 1; order <= ButterworthFilter.HighestOrder; order++)
        {
            Assert.Equal(1, ButterworthFilter.LowPass(order, 0.25, 1000).SinglePassMagnitude(0), 1e-15);
            Assert.Equal(0, ButterworthFilter.HighPass(order, 0.25, 1000).SinglePassMagnitude(0));
            Assert.Equal(1, ButterworthFilter.HighPass(order, 0.25, 1000).SinglePassMagnitude(500), 1e-13);
            Assert.Equal(1, ButterworthFilter.BandStop(order, 0.25, 0.5, 1000).SinglePassMagnitude(0), 1e-15);
            Assert.Equal(0, ButterworthFilter.BandPass(order, 0.25, 0.5, 1000).SinglePassMagnitude(0));
        }
    }

    [Theory]
    [InlineData(50, 2)]
    [InlineData(0.5, 0.1)]
    [InlineData(249, 10)]
    [InlineData(251, 10)]
    [InlineData(495, 4)]
    public void A_notch_takes_its_centre_away_and_is_as_wide_as_asked(double centreHz, double widthHz)
    {
        ButterworthFilter notch = ButterworthFilter.Notch(2, centreHz, widthHz, 1000);
        Assert.Equal(widthHz, notch.CutoffsHz[1] - notch.CutoffsHz[0], 1e-11);
        Assert.InRange(notch.SinglePassMagnitude(centreHz), 0, 1e-18 + (1e-9 * widthHz));
        Assert.Equal(Math.Sqrt(0.5), notch.ZeroPhaseMagnitude(notch.CutoffsHz[0]), 1e-9);
        Assert.Equal(Math.Sqrt(0.5), notch.ZeroPhaseMagnitude(notch.CutoffsHz[1]), 1e-9);
    }

    [Fact]
    public void A_filter_that_cannot_be_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.LowPass(0, 10, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.LowPass(13, 10, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.LowPass(4, 500, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.LowPass(4, 0, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.LowPass(4, double.NaN, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.HighPass(4, 10, double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.HighPass(4, 10, double.PositiveInfinity));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.BandPass(4, 20, 10, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.BandStop(4, 20, 20, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.Notch(4, 50, 600, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.Notch(4, -50, 2, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.Notch(4, 600, 2, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.Notch(4, 50, 0, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.Notch(4, 50, double.NaN, 1000));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.LowPass(4, 10, 1000).SinglePassMagnitude(501));
        Assert.Throws<ArgumentOutOfRangeException>(() => ButterworthFilter.LowPass(4, 10, 1000).SinglePassMagnitude(double.NaN));
    }

    internal static Complex Response(double[] row, double turnsPerSample)
    {
        Complex back = Complex.Exp(new Complex(0, -2 * Math.PI * turnsPerSample));
        return (row[0] + (back * (row[1] + (back * row[2])))) / (row[3] + (back * (row[4] + (back * row[5]))));
    }

    private static void SameSections(double[][] sos, ButterworthFilter ours)
    {
        Assert.Equal(sos.Length, ours.Sections.Length);
        double gain = 1;
        double scipyGain = 1;
        for (int k = 0; k < sos.Length; k++)
        {
            FilterSection section = ours.Sections[k];
            if (ours.Kind != FilterKind.LowPass || ours.Order % 2 == 0 || sos.Length == 1)
            {
                FilterData.Near([sos[k][1] / sos[k][0], sos[k][2] / sos[k][0]], [section.B1 / section.B0, section.B2 / section.B0], 1e-9);
            }

            FilterData.Near([sos[k][4], sos[k][5]], [section.A1, section.A2], 1e-12);
            gain *= section.B0;
            scipyGain *= sos[k][0];
        }

        FilterData.NearValue(scipyGain, gain, 1e-9);
    }

    private static double[] Multiply(double[] a, double[] b)
    {
        double[] product = new double[a.Length + b.Length - 1];
        for (int i = 0; i < a.Length; i++)
        {
            for (int j = 0; j < b.Length; j++)
            {
                product[i + j] += a[i] * b[j];
            }
        }

        return product;
    }
}
