namespace Telemetry.Simulation;

/// <summary>Where the car is and what acts on it from outside, at 200 Hz; between two samples everything but the distance is linear.</summary>
internal sealed class Drive
{
    /// <summary>Samples a second.</summary>
    public const int RateHz = 200;

    // Gusts change over this time.
    private const double GustS = 1;

    private const double GravityMps2 = 9.80665;

    private Drive(int count)
    {
        DistanceM = new double[count];
        SpeedMps = new double[count];
        RateOfSpeedMps2 = new double[count];
        LateralMps2 = new double[count];
        LongitudinalMps2 = new double[count];
        VerticalMps2 = new double[count];
        DynamicPressurePa = new double[count];
        AirSpeedMps = new double[count];
        MassKg = new double[count];
        ThrustN = new double[count];
    }

    public int Count => SpeedMps.Length;

    /// <summary>Distance of the front axle from the start line of lap 1, m.</summary>
    public double[] DistanceM { get; }

    public double[] SpeedMps { get; }

    /// <summary>Rate of change of speed, m/s2.</summary>
    public double[] RateOfSpeedMps2 { get; }

    /// <summary>Specific force along the road: rate of speed and the slope's share of gravity, m/s2.</summary>
    public double[] LongitudinalMps2 { get; }

    /// <summary>Lateral specific force, m/s2, left positive.</summary>
    public double[] LateralMps2 { get; }

    /// <summary>Specific force across the smooth road: gravity and the crests and compressions, m/s2.</summary>
    public double[] VerticalMps2 { get; }

    public double[] DynamicPressurePa { get; }

    /// <summary>Speed of the air against the car, along it, m/s.</summary>
    public double[] AirSpeedMps { get; }

    /// <summary>Mass of the whole car, kg.</summary>
    public double[] MassKg { get; }

    /// <summary>Force of the tyres along the road, N, forward positive: what accelerates the car and overcomes drag and slope.</summary>
    public double[] ThrustN { get; }

    public double DensityKgpm3 { get; private init; }

    public static Drive Of(Scenario scenario, Vehicle vehicle, CircuitPath path)
    {
        double density = AirState.DensityKgpm3(scenario.Weather);
        double start = scenario.Circuit.PitBoxM;
        double end = (scenario.Laps * path.LengthM) + start;
        double[] speeds = SpeedProfile.Of(scenario, path, vehicle.MassKg(start, path.LengthM), density, start, end);
        int before = (int)Math.Round(scenario.StandstillBeforeS * RateHz);
        int after = (int)Math.Round(scenario.StandstillAfterS * RateHz);

        // The log ends on a whole second, where channels of every rate have a sample.
        int whole = before + speeds.Length + after - 1;
        after += (RateHz - (whole % RateHz)) % RateHz;
        Drive drive = new(before + speeds.Length + after) { DensityKgpm3 = density };
        drive.Move(speeds, before, start);
        drive.Act(scenario, vehicle, path);
        return drive;
    }

    // The acceleration is linear between samples, so speed is a square and distance a cube of time, exactly.
    private void Move(double[] speeds, int before, double start)
    {
        const double dt = 1.0 / RateHz;
        for (int i = 1; i + 1 < speeds.Length; i++)
        {
            RateOfSpeedMps2[before + i] = (speeds[i + 1] - speeds[i - 1]) / (2 * dt);
        }

        DistanceM[0] = start;
        for (int i = 0; i + 1 < Count; i++)
        {
            double from = RateOfSpeedMps2[i];
            double to = RateOfSpeedMps2[i + 1];
            double next = SpeedMps[i] + ((from + to) / 2 * dt);

            // Rounding must not leave a creep of 1e-13 m/s in a car that stands.
            SpeedMps[i + 1] = Math.Abs(next) < 1e-9 ? 0 : next;
            DistanceM[i + 1] = DistanceM[i] + (dt * (SpeedMps[i] + (dt * ((2 * from) + to) / 6)));
        }
    }

    private void Act(Scenario scenario, Vehicle vehicle, CircuitPath path)
    {
        double[] gusts = Gusts(scenario, path);
        for (int i = 0; i < Count; i++)
        {
            double distance = DistanceM[i];
            double speed = SpeedMps[i];
            double gradient = path.Gradient(distance);
            double head = scenario.Wind.SpeedMps * PortableMath.Cos(path.Course(distance) - scenario.Wind.FromRad);
            double air = speed + (Moving(speed) * (head + gusts[i]));
            double pressure = DensityKgpm3 * air * air / 2;
            MassKg[i] = vehicle.MassKg(distance, path.LengthM);
            AirSpeedMps[i] = air;
            DynamicPressurePa[i] = pressure;
            LongitudinalMps2[i] = RateOfSpeedMps2[i] + (GravityMps2 * PortableMath.Sin(gradient));
            LateralMps2[i] = speed * speed * path.Curvature(distance);
            VerticalMps2[i] = (GravityMps2 * PortableMath.Cos(gradient)) + (speed * speed * path.VerticalCurvature(distance));
            ThrustN[i] = (MassKg[i] * LongitudinalMps2[i]) + (pressure * scenario.Aero.DragAreaM2);
        }

        if (scenario.Disturbances.Shifts is { } shifts)
        {
            Shift(shifts);
        }
    }

    /// <summary>Samples at which a cut of the thrust begins.</summary>
    public List<int> ShiftsAt { get; } = [];

    // Only the forces are cut: the speed that is lost in a twentieth of a second (0.3 m/s) is not, so that line and time stay those of the run without shifts.
    private void Shift(ShiftDefinition shifts)
    {
        int cut = Math.Max(2, (int)Math.Round(shifts.CutS * RateHz));
        double[] thrust = (double[])ThrustN.Clone();
        for (int i = 1; i + (2 * cut) < Count; i++)
        {
            if (!shifts.SpeedsMps.Any(speed => SpeedMps[i - 1] < speed && SpeedMps[i] >= speed) || !(thrust[i] > 0) || !(thrust[i + (2 * cut)] > 0))
            {
                continue;
            }

            ShiftsAt.Add(i);
            for (int k = 0; k < 2 * cut; k++)
            {
                double share = k < cut ? -1 : shifts.KickShare * (1 - ((k - cut) / (double)cut));
                ThrustN[i + k] += share * thrust[i + k];
                LongitudinalMps2[i + k] += share * thrust[i + k] / MassKg[i + k];
            }
        }
    }

    // The wind's load grows with the first movement instead of jumping: a car that stands in the pit lane is taken as sheltered.
    private static double Moving(double speedMps)
    {
        double u = speedMps / 10;
        return u >= 1 ? 1 : u * u * (3 - (2 * u));
    }

    // One draw per lap and segment, then smoothed in time.
    private double[] Gusts(Scenario scenario, CircuitPath path)
    {
        double[] values = new double[Count];
        if (scenario.Wind.GustMps <= 0)
        {
            return values;
        }

        SeededRandom random = new(scenario.Seed, "gusts");
        var segments = scenario.Circuit.Segments;
        double[] draws = new double[(scenario.Laps + 1) * segments.Length];
        for (int i = 0; i < draws.Length; i++)
        {
            draws[i] = scenario.Wind.GustMps * random.Normal();
        }

        for (int i = 0; i < Count; i++)
        {
            double within = path.WithinLap(DistanceM[i]);
            int lap = Math.Min((int)(DistanceM[i] / path.LengthM), scenario.Laps);
            int segment = 0;
            double end = segments[0].LengthM;
            while (within >= end && segment + 1 < segments.Length)
            {
                end += segments[++segment].LengthM;
            }

            values[i] = draws[(lap * segments.Length) + segment];
        }

        return Average(values, (int)(GustS * RateHz / 2));
    }

    private static double[] Average(double[] values, int half)
    {
        double[] sums = new double[values.Length + 1];
        for (int i = 0; i < values.Length; i++)
        {
            sums[i + 1] = sums[i] + values[i];
        }

        double[] result = new double[values.Length];
        for (int i = 0; i < values.Length; i++)
        {
            int from = Math.Max(0, i - half);
            int to = Math.Min(values.Length, i + half + 1);
            result[i] = (sums[to] - sums[from]) / (to - from);
        }

        return result;
    }
}
