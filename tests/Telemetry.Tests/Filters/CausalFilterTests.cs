using System.Text.Json;
using Telemetry.Filters;

namespace Telemetry.Tests.Filters;

public class CausalFilterTests
{
    private static readonly ButterworthFilter Slow = ButterworthFilter.LowPass(4, 10, 1000, CutoffMeaning.SinglePass);

    public static TheoryData<string> SciPyNames => ButterworthDesignTests.SciPyNames;

    /// <summary>All but the odd low pass of two sections, whose zeros SciPy shares out otherwise (its output is compared all the same).</summary>
    public static TheoryData<string> SciPyNamesOfEqualSections => [.. FilterData.SciPyDesigns().Select(d => d.GetProperty("name").GetString()!).Where(n => n != "lp3_500_60")];

    /// <summary>scipy.signal.sosfilt from rest, SciPy 1.10.1.</summary>
    [Theory]
    [MemberData(nameof(SciPyNames))]
    public void Output_from_rest_is_that_of_scipy(string name)
    {
        JsonElement design = FilterData.SciPyDesign(name);
        Dictionary<string, double[]> table = FilterData.Columns("filters", design.GetProperty("response_file").GetString()!);
        FilterData.Near(table["sosfilt"], [.. CausalFilter.Filter([.. table["input"]], FilterData.Ours(design), FilterStart.Zero)], 1e-9);
    }

    /// <summary>scipy.signal.sosfilt_zi: the state of the direct form II transposed after an input of 1 for ever. Its first state is what the
    /// next output owes to the past, its second what the one after owes. Ours is in another form, so what the past gives is compared:
    /// the first output of section k less B0 times its input, and so on, with SciPy's gain, which sits in the first section, spread as ours is.</summary>
    [Theory]
    [MemberData(nameof(SciPyNamesOfEqualSections))]
    public void The_steady_state_is_that_of_scipy(string name)
    {
        JsonElement design = FilterData.SciPyDesign(name);
        ButterworthFilter ours = FilterData.Ours(design);
        double[][] sos = FilterData.Rows(design.GetProperty("sos"));
        double[][] zi = FilterData.Rows(design.GetProperty("sosfilt_zi"));
        double level = 1;
        double scipyGain = 1;
        double ourGain = 1;
        for (int k = 0; k < zi.Length; k++)
        {
            FilterSection section = ours.Sections[k];
            scipyGain *= sos[k][0];
            ourGain *= section.B0;
            SectionState settled = new SectionGains(section).Settled;
            double first = settled.S * level;

            // The second state by its definition for a constant input: b2 x - a2 y.
            double second = level * (section.B2 - (section.A2 * section.ConstantGain));
            double scale = scipyGain / ourGain;
            Assert.Equal(zi[k][0], first * scale, 1e-9 * Math.Max(1e-3, Math.Abs(zi[k][0])));
            Assert.Equal(zi[k][1], second * scale, 1e-9 * Math.Max(1e-3, Math.Abs(zi[k][1])));
            level *= section.ConstantGain;
        }
    }

    [Fact]
    public void A_steady_start_shows_no_transient_of_an_offset()
    {
        double[] constant = [.. Enumerable.Repeat(-250.0, 500)];
        FilterData.Near(constant, [.. CausalFilter.Filter([.. constant], Slow)], 1e-14);
        ButterworthFilter high = ButterworthFilter.HighPass(4, 0.25, 1000, CutoffMeaning.SinglePass);
        Assert.All(CausalFilter.Filter([.. constant], high), value => Assert.Equal(0, value, 1e-9));
    }

    [Fact]
    public void The_output_owes_nothing_to_the_future()
    {
        double[] samples = FilterData.Columns("filters", "lp4_1000_10_response.csv")["input"];
        double[] whole = [.. CausalFilter.Filter([.. samples], Slow)];
        Assert.Equal(whole[..200], CausalFilter.Filter([.. samples[..200]], Slow).ToArray());
    }

    [Fact]
    public void The_filter_starts_anew_after_a_gap()
    {
        double[] samples = FilterData.Columns("filters", "lp4_1000_10_response.csv")["input"];
        double[] withGap = [double.NaN, .. samples[..200], double.NaN, .. samples[200..]];
        foreach (FilterStart start in Enum.GetValues<FilterStart>())
        {
            double[] result = [.. CausalFilter.Filter([.. withGap], Slow, start)];
            Assert.True(double.IsNaN(result[0]) && double.IsNaN(result[201]));
            Assert.Equal(CausalFilter.Filter([.. samples[..200]], Slow, start).ToArray(), result[1..201]);
            Assert.Equal(CausalFilter.Filter([.. samples[200..]], Slow, start).ToArray(), result[202..]);
        }
    }

    [Fact]
    public void A_filter_may_run_in_place()
    {
        double[] samples = FilterData.Columns("filters", "lp8_1000_10_response.csv")["input"];
        ButterworthFilter filter = ButterworthFilter.LowPass(7, 10, 1000, CutoffMeaning.SinglePass);
        double[] apart = [.. CausalFilter.Filter([.. samples], filter)];
        CausalFilter.Filter(samples, filter, samples);
        Assert.Equal(apart, samples);
    }

    [Fact]
    public void A_filter_for_two_passes_and_memory_that_does_not_fit_are_refused()
    {
        Assert.Throws<ArgumentException>(() => CausalFilter.Filter([1, 2], ButterworthFilter.LowPass(2, 10, 1000)));
        Assert.Throws<ArgumentException>(() => CausalFilter.Filter(new double[3], Slow, new double[2]));
        Assert.Empty(CausalFilter.Filter([], Slow));
    }
}
