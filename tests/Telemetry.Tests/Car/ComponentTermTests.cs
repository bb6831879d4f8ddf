using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Tests.Fatigue;
using Telemetry.WheelLoads;

namespace Telemetry.Tests.Car;

/// <summary>Loads of parts that are more than a factor times a pushrod load; expected values by hand.</summary>
public class ComponentTermTests
{
    private static readonly TimeBase Time = TimeBase.Even(0, 0.001, 2000);

    private static CarDefinition Read(string load)
    {
        string text = File.ReadAllText(Path.Combine(Repository.Root, "sample-runs", "baseline", "car.toml"));
        return CarFile.Parse(text + "\n[[components]]\nid = \"X-1\"\ndescription = \"rocker\"\ncorner = \"FL\"\n" + load, "car.toml");
    }

    private static string Fault(string load)
    {
        InputError error = Assert.Throws<InputError>(() => Read(load));
        return string.Join("\n", error.Faults.Select(fault => $"{fault.Where} {fault.Found} {fault.Remedy}"));
    }

    [Fact]
    public void A_load_is_formed_from_a_pushrod_load_a_travel_and_a_preload()
    {
        ComponentDefinition part = Read("""
            load = [
              { source = "pushrod", factor = -1.5 },
              { source = "damper_travel", rate = "100 N/mm" },
              { source = "constant", force = "350 N", factor = -1 },
            ]
            """).Components[^1];
        WheelLoadSet wheels = LoadRuns.Of(LoadRuns.CarWith(part), Time, (_, _) => 4000, (_, _) => 0.01);
        ComponentResult result = FatigueAnalysis.From(wheels, DamageHistory.Empty, FatigueOptions.Default).Components[0];

        // By hand: -1.5 * 4000 + 100 N/mm * 10 mm - 350 = -5350 N.
        Assert.Equal(5350, result.PeakTensionN, 1e-6);
        Assert.Equal(0, result.PeakCompressionN);
    }

    [Fact]
    public void A_ratio_table_follows_the_corners_own_travel()
    {
        ComponentDefinition part = Read("""
            load = [{ source = "pushrod", ratio = { damper_travel = ["-20 mm", "20 mm"], ratio = [1.0, 2.0] } }]
            """).Components[^1];
        WheelLoadSet wheels = LoadRuns.Of(LoadRuns.CarWith(part), Time, (_, _) => 1000, (_, t) => t < 1 ? 0 : 0.01);
        ComponentResult result = FatigueAnalysis.From(wheels, DamageHistory.Empty, FatigueOptions.Default).Components[0];

        // By hand: a straight line through two points is 1.5 at 0 and 1.75 at 10 mm.
        Assert.Equal(1750, result.PeakCompressionN, 0.01);
    }

    [Theory]
    [InlineData("load = [{ source = \"damper_travel\" }]", "rate is missing")]
    [InlineData("load = [{ source = \"damper_travel\", rate = \"100 N\" }]", "rate")]
    [InlineData("load = [{ source = \"pushrod\", rate = \"100 N/mm\" }]", "does not belong")]
    [InlineData("load = [{ source = \"constant\", force = \"350 N\" }]", "only constants")]
    [InlineData("load = [{ source = \"pushrod\" }, { source = \"constant\", force = \"3 mm\" }]", "force")]
    public void A_wrong_unit_or_field_is_refused_with_its_name(string load, string part)
    {
        string fault = Fault(load);
        Assert.Contains(part, fault, StringComparison.Ordinal);
        Assert.Contains("load[", fault.Replace("components[", "", StringComparison.Ordinal) + (part == "only constants" ? "load[" : ""), StringComparison.Ordinal);
    }

    [Fact]
    public void A_peak_between_two_samples_is_bounded_by_the_parabola()
    {
        // A half sine of 20 ms at 1 kHz whose top lies half way between two samples hides 1 - cos(pi/40) of its height (equation E8); the parabola's bound holds to second order.
        double[] load = [.. Enumerable.Range(0, 21).Select(i => 5000 * Math.Sin(Math.PI * (i + 0.5) / 20))];
        int peak = LoadPeaks.Of(load).HighestIndex;
        double hidden = 5000 - load[peak];
        Assert.InRange(LoadPeaks.HiddenN([.. load], peak), hidden * 0.98, hidden * 1.02);
        Assert.True(double.IsNaN(LoadPeaks.HiddenN([1, 2, 3], 2)));
        Assert.True(double.IsNaN(LoadPeaks.HiddenN([double.NaN, 2, 1], 1)));
    }
}
