using System.Globalization;
using System.Text;
using Telemetry.Car;
using Telemetry.Platform;
using Telemetry.Tests.Aero;

namespace Telemetry.Tests.Platform;

/// <summary>Knees, stiffness and roll against the car that the simulator drove; nothing was tuned on these seeds.</summary>
public class PlatformDetailTests(ITestOutputHelper output)
{
    private static int Seeds { get; } = int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_MAP_SEEDS"), NumberStyles.None, CultureInfo.InvariantCulture, out int n) ? n : 1;

    [Fact]
    public void Knees_lie_within_half_a_millimetre_and_springs_and_roll_agree_with_the_simulated_car()
    {
        StringBuilder table = new();
        for (int s = 0; s < Seeds; s++)
        {
            SimulatedHeights.Driven run = SimulatedHeights.Run(94000 + (ulong)s, 0, 0, 5);
            PlatformDetail detail = PlatformAnalysis.From(run.Run.Wheels, run.Run.Aero, PlatformOptions.Default).Detail!;
            foreach (RubberKnee knee in new[] { detail.Knee.Front!, detail.Knee.Rear! })
            {
                table.AppendLine(CultureInfo.InvariantCulture, $"{94000 + s} knee {1000 * knee.KneeM?.Value:0.00} ± {1000 * knee.KneeM?.HalfWidth:0.00}, gap {1000 * knee.CarFileM:0.0}, largest {1000 * knee.LargestTravelM:0.0}, takes {knee.LoadAtReferenceN?.Value:0} ± {knee.LoadAtReferenceN?.HalfWidth:0} N, {knee.Verdict}");
            }

            foreach (ModeStiffness mode in detail.Stiffness)
            {
                table.AppendLine(CultureInfo.InvariantCulture, $"{94000 + s} {mode.Name}: {mode.Measured?.Value:0} ± {mode.Measured?.HalfWidth:0}, file {mode.CarFile:0}, {mode.Verdict}");
            }

            table.AppendLine(CultureInfo.InvariantCulture, $"{94000 + s} {detail.Transfer} {detail.Lowest.Front} {detail.Lowest.Rear}");
        }

        output.WriteLine(table.ToString());
        string text = table.ToString();
        for (int s = 0; s < Seeds; s++)
        {
            SimulatedHeights.Driven run = SimulatedHeights.Run(94000 + (ulong)s, 0, 0, 5);
            PlatformDetail detail = PlatformAnalysis.From(run.Run.Wheels, run.Run.Aero, PlatformOptions.Default).Detail!;
            Assert.True(detail.Knee.Front!.KneeM is not null, text);
            Assert.InRange(detail.Knee.Front.KneeM!.Value, 0.0085, 0.0095);
            if (detail.Knee.Rear!.KneeM is { } rear)
            {
                Assert.InRange(rear.Value, 0.0135, 0.0145);
            }

            Assert.All(detail.Stiffness.Where(m => m.Measured is not null), mode => Assert.InRange(mode.Measured!.Value / mode.CarFile!.Value, 0.95, 1.05));
            LateralTransfer transfer = detail.Transfer!;

            // Moment balance about the ground: transfer times track, both axles together, is sprung and unsprung mass times height.
            CarDefinition car = run.Run.Wheels.Run.Car;
            double moment = ((transfer.FrontPerMps2.Value + transfer.FrontGeometricPerMps2!.Value) * car.Geometry.TrackM.Front)
                + ((transfer.RearPerMps2.Value + transfer.RearGeometricPerMps2!.Value) * car.Geometry.TrackM.Rear);
            double mass = car.Masses.WithoutFuelKg.Value + car.Masses.FuelAtStartKg.Value - 4.6;
            Assert.Equal(1, moment / (mass * car.Geometry.CentreHeightM.Value), 0.05);
        }
    }

    [Fact]
    public void A_knee_made_by_hand_is_found_where_it_is()
    {
        // 100 N/mm to 6 mm and 200 N/mm from there, by hand, with a load that wanders by 5 N.
        double[] travel = [.. Enumerable.Range(0, 1200).Select(k => 0.012 * (k % 100) / 99)];
        double[] force = [.. travel.Select((x, k) => 1000 + (1e5 * x) + (1e5 * Math.Max(0, x - 0.006)) + (5 * Math.Sin(k)))];
        KneeSearch search = new(travel, force, [.. travel.Select((_, k) => 0.001 * Math.Cos(k))], [.. travel.Select((_, k) => k / 300)], 4, null);
        (Knee all, Knee[] without) = search.Find(0.001, 0.011)!.Value;
        Assert.Equal(0.006, all.TravelM, 1e-4);
        Assert.Equal(4, without.Length);
        Assert.Null(search.Find(0.005, 0.005));
    }
}
