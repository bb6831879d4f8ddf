using System.Text.Json;
using Telemetry.Car;
using Telemetry.Simulation;

namespace Telemetry.Tests.Simulation;

/// <summary>In pure heave a symmetric car is two quarter cars side by side; the roughness index's quarter car has published properties.</summary>
public class QuarterCarTests
{
    // K1 = 653, K2 = 63.3, mu = 0.15, C = 6, all per sprung mass of one corner (Sayers 1986; ASTM E1926).
    private const double CornerKg = 150;

    [Fact]
    public void Transfer_from_road_to_body_wheel_and_tyre_is_that_of_the_published_quarter_car()
    {
        using JsonDocument file = JsonDocument.Parse(File.ReadAllText(Repository.Data("road", "quarter_car.json")));
        int seen = 0;
        foreach (JsonElement row in file.RootElement.GetProperty("model").GetProperty("transfer").EnumerateArray())
        {
            double hertz = row.GetProperty("frequency_hz").GetDouble();
            (double body, double wheel, double travel, double tyre) = Amplitudes(hertz);

            // Both sides: their amplitude of 1; ours is read by correlation over whole periods after the start has died away.
            Assert.Equal(row.GetProperty("body_displacement_over_road").GetDouble(), body, Tolerance(body));
            Assert.Equal(row.GetProperty("wheel_displacement_over_road").GetDouble(), wheel, Tolerance(wheel));
            Assert.Equal(row.GetProperty("suspension_travel_over_road").GetDouble(), travel, Tolerance(travel));
            Assert.Equal(row.GetProperty("tyre_deflection_over_road").GetDouble(), tyre, Tolerance(tyre));
            seen++;
        }

        Assert.True(seen >= 5);
    }

    private static double Tolerance(double amplitude) => (5e-4 * amplitude) + 1e-5;

    private static (double Body, double Wheel, double Travel, double Tyre) Amplitudes(double hertz)
    {
        VehicleDynamics dynamics = new(QuarterCar());

        // About 4000 steps a second, a whole number of them a period.
        int period = (int)Math.Ceiling(4000 / hertz);
        double stepS = 1 / (hertz * period);
        double omega = 2 * Math.PI * hertz;
        int settle = ((int)(4 / stepS / period) + 1) * period;
        int total = settle + (((int)(1 / stepS / period) + 1) * period);
        double[] state = new double[Motion.Size];
        double[][] k = [new double[Motion.Size], new double[Motion.Size], new double[Motion.Size], new double[Motion.Size]];
        double[] stage = new double[Motion.Size];
        double[] cos = new double[4];
        double[] sin = new double[4];
        for (int step = 0; step < total; step++)
        {
            double t = step * stepS;
            if (step >= settle)
            {
                double road = Road(omega, t);
                double[] values = [state[0], state[3], state[3] - state[0], road - state[3]];
                for (int i = 0; i < 4; i++)
                {
                    cos[i] += values[i] * Math.Cos(omega * t);
                    sin[i] += values[i] * Math.Sin(omega * t);
                }
            }

            Stage(dynamics, omega, t, state, state, k[0], 0, stage);
            Stage(dynamics, omega, t + (stepS / 2), state, k[0], k[1], stepS / 2, stage);
            Stage(dynamics, omega, t + (stepS / 2), state, k[1], k[2], stepS / 2, stage);
            Stage(dynamics, omega, t + stepS, state, k[2], k[3], stepS, stage);
            for (int i = 0; i < Motion.Size; i++)
            {
                state[i] += stepS / 6 * (k[0][i] + (2 * (k[1][i] + k[2][i])) + k[3][i]);
            }
        }

        double Size(int i) => 2 * Math.Sqrt((cos[i] * cos[i]) + (sin[i] * sin[i])) / (total - settle) / Height;
        return (Size(0), Size(1), Size(2), Size(3));
    }

    // Small enough that no tyre leaves the road.
    private const double Height = 1e-4;

    private static double Road(double omega, double t) => Height * Math.Sin(omega * t);

    private static void Stage(VehicleDynamics dynamics, double omega, double t, double[] state, double[] slope, double[] rates, double h, double[] stage)
    {
        for (int i = 0; i < Motion.Size; i++)
        {
            stage[i] = h == 0 ? state[i] : state[i] + (h * slope[i]);
        }

        Push push = LinearCar.Level(4 * CornerKg * 1.15);
        push.RoadFL = push.RoadFR = push.RoadRL = push.RoadRR = Road(omega, t);
        dynamics.Rates(push, stage, rates);
    }

    private static Vehicle QuarterCar()
    {
        AxleSuspension axle = new()
        {
            InstallationRatio = RatioCurve.Constant(1),
            DamperRatio = RatioCurve.Constant(1),
            SpringRateNpm = 63.3 * CornerKg,
            TyreRateNpm = 653 * CornerKg,
        };
        AxleHardware hardware = new() { Damper = DamperDefinition.Linear(6 * CornerKg), TyreDampingNspm = 0 };
        CarDefinition car = LinearCar.Definition with
        {
            Geometry = LinearCar.Definition.Geometry with { SprungCentreBehindFrontAxleM = Measured.Exact(1.5) },
            Masses = new CarMasses(Measured.Exact(4 * CornerKg * 1.15), new PerAxle<double>(2 * 0.15 * CornerKg, 2 * 0.15 * CornerKg), Measured.Exact(0)),
            Suspension = new PerAxle<AxleSuspension>(axle, axle),
        };
        return new Vehicle(LinearCar.Run with { TrueCar = LinearCar.Run.TrueCar with { Hardware = new PerAxle<AxleHardware>(hardware, hardware) } }, car);
    }
}
