namespace Telemetry.Simulation;

/// <summary>Speed along the road of a driver who uses grip and power: the least of what corners, brakes and engine allow.</summary>
internal static class SpeedProfile
{
    private const double GravityMps2 = 9.80665;
    private const double StepM = 1;

    /// <summary>Speed at 200 Hz from the first movement to the stop, m/s; starts and ends with 0.</summary>
    public static double[] Of(Scenario scenario, CircuitPath path, double massKg, double densityKgpm3, double startM, double endM)
    {
        DriverDefinition driver = scenario.Driver;
        int count = (int)Math.Ceiling((endM - startM) / StepM) + 1;
        double step = (endM - startM) / (count - 1);
        double liftPerMass = densityKgpm3 * (scenario.Aero.Front.AtReferenceM2 + scenario.Aero.Rear.AtReferenceM2) / (2 * massKg);
        double dragPerMass = densityKgpm3 * scenario.Aero.DragAreaM2 / (2 * massKg);
        double[] used = UsedShare(scenario, path, startM, step, count);
        double[] limit = new double[count];
        double pitExit = scenario.Circuit.PitExitM;
        double pitEntry = endM - scenario.Circuit.PitBoxM - scenario.Circuit.PitEntryBeforeLineM;
        for (int i = 0; i < count; i++)
        {
            double distance = startM + (i * step);
            double grip = driver.LateralGrip * used[i];
            double free = Math.Abs(path.Curvature(distance)) - (grip * liftPerMass);
            double square = free > 1e-6 ? grip * GravityMps2 / free : 150.0 * 150.0;
            bool isPit = distance < pitExit || distance > pitEntry;
            limit[i] = Math.Min(square, isPit ? driver.PitSpeedMps * driver.PitSpeedMps : 150.0 * 150.0);
        }

        double[] squares = [.. limit];
        squares[^1] = 0;
        for (int i = count - 2; i >= 0; i--)
        {
            double distance = startM + ((i + 1) * step);
            double share = Left(squares[i + 1], path.Curvature(distance), driver.LateralGrip * used[i + 1], liftPerMass);
            double braking = (driver.BrakingGrip * used[i + 1] * share * (GravityMps2 + (liftPerMass * squares[i + 1])))
                + (dragPerMass * squares[i + 1]) + (GravityMps2 * path.Gradient(distance));

            // In the pit lane nobody brakes as on the track.
            braking = distance > pitEntry ? Math.Min(braking, 5) : braking;
            squares[i] = Math.Min(squares[i], squares[i + 1] + (2 * step * braking));
        }

        squares[0] = 0;
        for (int i = 0; i + 1 < count; i++)
        {
            double distance = startM + (i * step);
            double speed = Math.Sqrt(squares[i]);
            double share = Left(squares[i], path.Curvature(distance), driver.LateralGrip * used[i], liftPerMass);
            double grip = driver.DrivingGrip * used[i] * share * (GravityMps2 + (liftPerMass * squares[i]));
            double engine = driver.PowerW / (massKg * Math.Max(speed, 5));
            double thrust = Math.Min(grip, engine);
            thrust = distance < pitExit ? Math.Min(thrust, 4) : thrust;
            double gain = thrust - (dragPerMass * squares[i]) - (GravityMps2 * path.Gradient(distance));
            squares[i + 1] = Math.Min(squares[i + 1], Math.Max(squares[i] + (2 * step * gain), 1));
        }

        squares[^1] = 0;
        return Smooth(InTime(squares, step), driver.ReactionS);
    }

    // Share of the grip that is left along the road beside the lateral use (friction circle).
    private static double Left(double square, double curvature, double grip, double liftPerMass)
    {
        double use = Math.Abs(curvature) * square / (grip * (GravityMps2 + (liftPerMass * square)));
        return use >= 1 ? 0.05 : Math.Max(0.05, Math.Sqrt(1 - (use * use)));
    }

    // One draw per segment and lap: a corner is driven a little better or worse each time.
    private static double[] UsedShare(Scenario scenario, CircuitPath path, double startM, double step, int count)
    {
        SeededRandom random = new(scenario.Seed, "driver");
        int segments = scenario.Circuit.Segments.Length;
        double[] draws = new double[(scenario.Laps + 1) * segments];
        for (int i = 0; i < draws.Length; i++)
        {
            draws[i] = scenario.Driver.UsedShare + (scenario.Driver.UsedShareScatter * random.Normal());
        }

        double[] ends = new double[segments];
        double end = 0;
        for (int i = 0; i < segments; i++)
        {
            end += scenario.Circuit.Segments[i].LengthM;
            ends[i] = end;
        }

        double[] used = new double[count];
        for (int i = 0; i < count; i++)
        {
            double distance = startM + (i * step);
            double within = path.WithinLap(distance);
            int lap = Math.Min((int)(distance / path.LengthM), scenario.Laps);
            int segment = 0;
            while (segment + 1 < segments && within >= ends[segment])
            {
                segment++;
            }

            used[i] = draws[(lap * segments) + segment];
        }

        return used;
    }

    private static List<double> InTime(double[] squares, double step)
    {
        double dt = 1.0 / Drive.RateHz;
        List<double> speeds = [0];
        double time = 0;
        double next = dt;
        for (int i = 0; i + 1 < squares.Length; i++)
        {
            double from = Math.Sqrt(squares[i]);
            double to = Math.Sqrt(squares[i + 1]);
            double end = time + (2 * step / (from + to));
            while (next <= end)
            {
                speeds.Add(from + ((to - from) * (next - time) / (end - time)));
                next += dt;
            }

            time = end;
        }

        speeds.Add(0);
        return speeds;
    }

    // A moving average, twice, over zero-padded ends: pedal and steer build up over a time, and the distance driven stays.
    private static double[] Smooth(List<double> speeds, double reactionS)
    {
        int half = Math.Max(1, (int)Math.Round(reactionS * Drive.RateHz / 4));
        double[] values = new double[speeds.Count + (4 * half) + 2];
        for (int i = 0; i < speeds.Count; i++)
        {
            values[i + (2 * half) + 1] = speeds[i];
        }

        for (int pass = 0; pass < 2; pass++)
        {
            double[] smooth = new double[values.Length];
            for (int i = 0; i < values.Length; i++)
            {
                double sum = 0;
                for (int k = Math.Max(0, i - half); k <= Math.Min(values.Length - 1, i + half); k++)
                {
                    sum += values[k];
                }

                smooth[i] = sum / ((2 * half) + 1);
            }

            values = smooth;
        }

        return values;
    }
}
