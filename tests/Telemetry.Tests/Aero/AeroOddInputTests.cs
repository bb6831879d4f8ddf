using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.WheelLoads;

namespace Telemetry.Tests.Aero;

/// <summary>Gaps, dead channels, disturbed stretches and a missing weather: the answer holds, or is withheld with the reason; it is never a number that is none.</summary>
public class AeroOddInputTests
{
    /// <summary>The fixture's loads are exact but for what a window's averaging does.</summary>
    private const double Share = 0.003;

    private static WheelLoadSet With(WheelLoadSet wheels, Corner corner, Func<int, double, double> change)
    {
        double[] load = [.. wheels.LoadN[corner].Select((value, i) => change(i, value))];
        PerCorner<SampleSource> loads = PerCorner.Of(c => c == corner ? [.. load] : wheels.LoadN[c]);
        return wheels with { LoadN = loads, Pushrods = wheels.Pushrods with { PushrodLoadN = loads } };
    }

    private static void AssertFinite(AeroResult result)
    {
        foreach (AeroAtSpeed at in result.Curve.Append(result.AtReference).OfType<AeroAtSpeed>())
        {
            foreach (Estimate estimate in new[] { at.FrontLoadN, at.RearLoadN, at.TotalLoadN, at.FrontLiftAreaM2, at.RearLiftAreaM2, at.BalanceFrontPct })
            {
                Assert.True(double.IsFinite(estimate.Value) && estimate.Low95 <= estimate.Value && estimate.Value <= estimate.High95);
            }
        }

        Assert.True(result.AtReference is null == result.WithheldBecause is not null);
    }

    [Fact]
    public void Gaps_in_a_load_cost_windows_and_no_accuracy()
    {
        DrivenRun run = new() { NoiseN = 100 };
        WheelLoadSet whole = run.Build();
        AeroResult result = AeroEstimate.From(With(whole, Corner.FrontLeft, (i, load) => i % 400 is >= 100 and < 160 ? double.NaN : load), AeroOptions.Default);
        AssertFinite(result);
        (double front, double rear) = run.Truth(result.ReferenceSpeedMps);
        Assert.Equal(front, result.AtReference!.FrontLiftAreaM2.Value, Share * front);
        Assert.Equal(rear, result.AtReference.RearLiftAreaM2.Value, Share * rear);
        Assert.True(result.Passes.Sum(pass => pass.Windows) < AeroEstimate.From(whole, AeroOptions.Default).Passes.Sum(pass => pass.Windows));
    }

    [Fact]
    public void A_load_that_is_missing_throughout_withholds_the_answer()
    {
        AeroResult result = AeroEstimate.From(With(new DrivenRun().Build(), Corner.RearRight, (_, _) => double.NaN), AeroOptions.Default);
        AssertFinite(result);
        Assert.NotNull(result.WithheldBecause);
    }

    [Fact]
    public void Loads_that_never_change_give_no_number_that_is_none()
    {
        WheelLoadSet wheels = new DrivenRun().Build();
        foreach (Corner corner in Corners.All)
        {
            wheels = With(wheels, corner, (_, _) => 1500);
        }

        AssertFinite(AeroEstimate.From(wheels, AeroOptions.Default));
    }

    [Fact]
    public void Disturbed_stretches_are_left_out()
    {
        DrivenRun run = new() { NoiseN = 50 };
        WheelLoadSet wheels = run.Build();
        double step = wheels.Run.Clock.StepS;
        // Another car close ahead takes a third of the load off two whole straights of the second lap.
        (double from, double to) = (6 + 33, 6 + 33 + 22);
        foreach (Corner corner in Corners.All)
        {
            wheels = With(wheels, corner, (i, load) => i * step >= from && i * step < to ? load * 0.66 : load);
        }

        AeroResult result = AeroEstimate.From(wheels, AeroOptions.Default with { DisturbedS = [new TimeSpanS(from, to)] });
        AssertFinite(result);
        Assert.Equal(run.Truth(result.ReferenceSpeedMps).Front, result.AtReference!.FrontLiftAreaM2.Value, Share * 1.3);
        Assert.DoesNotContain(result.Passes, pass => pass.StartS < to && pass.EndS > from);
    }

    [Fact]
    public void Without_any_weather_the_standard_atmosphere_stands_in_and_its_doubt_is_in_the_interval()
    {
        DrivenRun run = new() { NoiseN = 50 };
        WheelLoadSet wheels = run.Build();
        WheelLoadSet without = wheels with { Run = wheels.Run with { Car = run.Car with { Weather = null } } };
        without = without with { Pushrods = without.Pushrods with { Run = without.Run } };
        AeroResult known = AeroEstimate.From(wheels, AeroOptions.Default);
        AeroResult assumed = AeroEstimate.From(without, AeroOptions.Default);
        AssertFinite(assumed);
        Assert.True(assumed.Air.IsAssumed);
        // Source: ISO 2533:1975, table 1, sea level.
        Assert.Equal(1.225, assumed.Air.DensityKgM3, 3);
        Assert.True(assumed.AtReference!.TotalLiftAreaM2.HalfWidth > 1.9 * 0.07 * assumed.AtReference.TotalLiftAreaM2.Value);
        Assert.Equal(known.AtReference!.TotalLoadN.Value, assumed.AtReference.TotalLoadN.Value, 1e-3 * known.AtReference.TotalLoadN.Value);
    }
}
