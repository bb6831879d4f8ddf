using Telemetry.Output.Plots;

namespace Telemetry.Tests.Output.Plots;

public class SpectrumPeakTests
{
    private static readonly double[] LogHz = [.. Enumerable.Range(0, 150).Select(i => 0.3 + (i * 0.015))];

    /// <summary>A two-sided slope in decades a decade with a bump of a stated height at a stated frequency.</summary>
    private static double[] Density(double slope, double bumpHz, double bump) =>
        [.. LogHz.Select(f => (slope * f) + (bump * Math.Exp(-Math.Pow((f - Math.Log10(bumpHz)) / 0.08, 2))))];

    [Fact]
    public void The_wheels_own_frequency_is_named() => Assert.Equal(16, SpectrumPicture.Peak(LogHz, Density(-2, 16, 1.5)), 0.6);

    [Fact]
    public void The_flank_of_the_bodys_motion_at_the_edge_of_the_search_is_no_peak() =>
        Assert.Equal(double.NaN, SpectrumPicture.Peak(LogHz, Density(-3, 2, 1)));

    [Fact]
    public void Neither_is_the_end_of_what_was_logged() => Assert.Equal(double.NaN, SpectrumPicture.Peak(LogHz, Density(0.5, 2, 0)));
}
