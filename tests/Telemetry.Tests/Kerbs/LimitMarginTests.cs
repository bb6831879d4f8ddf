using Telemetry.Kerbs;

namespace Telemetry.Tests.Kerbs;

/// <summary>Margin of safety as stress handbooks define it: allowable over factored load, less one (E. F. Bruhn, Analysis and Design of Flight Vehicle Structures, A1; from memory). Figures by hand.</summary>
public class LimitMarginTests
{
    [Theory]
    [InlineData(30_000, 1.0, 20_000, 0.5)]
    [InlineData(30_000, 1.5, 10_000, 1.0)]
    [InlineData(30_000, 1.5, 20_000, 0.0)]
    [InlineData(30_000, 1.5, 40_000, -0.5)]
    public void The_factor_is_on_the_load(double limitN, double factor, double loadN, double expected) =>
        Assert.Equal(expected, LimitMargin.Of(limitN, factor, loadN), 1e-12);

    [Fact]
    public void Without_a_limit_or_a_load_there_is_no_margin()
    {
        Assert.Equal(double.NaN, LimitMargin.Of(null, 1, 1000));
        Assert.Equal(double.NaN, LimitMargin.Of(1000, 1, 0));
    }
}
