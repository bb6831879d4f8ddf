using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Review;
using Telemetry.Simulation;

namespace Telemetry.Tests.Aero;

/// <summary>What the scales said at standstill goes into the zero and out again.</summary>
public class CornerWeightTests
{
    /// <summary>
    /// With expected load E the zero is R_s - E / i_s, and the change of wheel load from standstill i (R - R_s) + (i / i_s - 1) E. By hand: the front ratio of this car goes from 0.921 at
    /// standstill to at most 0.944 at 25 mm, so 20 N on a front corner weight move the load by less than 0.5 N, and no line of the budget is needed for it.
    /// </summary>
    [Fact]
    public void A_corner_weight_that_is_off_moves_the_aero_load_by_a_few_percent_of_itself()
    {
        string folder = Path.Combine(Repository.Root, "sample-runs", "baseline");
        CarDefinition car = CarFile.Read(Path.Combine(folder, "car.toml"));
        SimulatedRun run = Simulator.Run(ScenarioFile.Read(Path.Combine(folder, "scenario.toml")) with { Laps = 2 }, car);
        PerCorner<double> sheet = car.Setup.CornerWeightN!;
        CarDefinition off = car with { Setup = car.Setup with { CornerWeightN = new(sheet.FrontLeft + 20, sheet.FrontRight, sheet.RearLeft, sheet.RearRight) } };
        AeroResult plain = Aero(run, car);
        AeroResult moved = Aero(run, off);
        Assert.InRange(Math.Abs(moved.AtReference!.FrontLoadN.Value - plain.AtReference!.FrontLoadN.Value), 1e-6, 1);
        Assert.DoesNotContain(plain.Budget, line => line.Name.StartsWith("corner weight", StringComparison.Ordinal));
    }

    private static AeroResult Aero(SimulatedRun run, CarDefinition car) =>
        RunAnalysis.Review(run.Log, car, ReviewOptions.Default with { Aero = AeroOptions.Default with { AtSpeedMps = 75 } }).Aero;
}
