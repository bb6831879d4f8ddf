namespace Telemetry.Simulation;

/// <summary>Drives the car through the run: classical Runge-Kutta of fourth order with a fixed step.</summary>
internal sealed class Solver
{
    // A strike is followed this long after its wheel has left the kerb: the load's peak may come with the rebound of the wheel.
    private const double AfterKerbS = 0.06;

    private readonly Scenario scenario;
    private readonly Vehicle vehicle;
    private readonly Drive drive;
    private readonly RoadSurface road;
    private readonly KerbPass[] left;
    private readonly KerbPass[] right;
    private readonly VehicleDynamics dynamics;
    private readonly Hands hands;
    private readonly int[] nextPass = new int[4];
    private readonly int[] strikePass = new int[4];
    private readonly TrueStrike?[] active = new TrueStrike?[4];
    private readonly BumpPasses? bumps;
    private readonly int[] bumpPass = new int[4];
    private readonly TrueStrike?[] activeBump = new TrueStrike?[4];
    private readonly TrueContact?[] touching = new TrueContact?[2];

    public Solver(Scenario scenario, Vehicle vehicle, Drive drive, CircuitPath path)
    {
        this.scenario = scenario;
        this.vehicle = vehicle;
        this.drive = drive;
        double start = drive.DistanceM[0];
        double end = drive.DistanceM[^1];
        road = new RoadSurface(scenario.Road, path.LengthM, vehicle.WheelbaseM, start, end);
        left = KerbPasses.Of(scenario, path.LengthM, start, end, true);
        right = KerbPasses.Of(scenario, path.LengthM, start, end, false);
        bumps = scenario.Disturbances.Bumps.IsEmpty ? null : new BumpPasses(scenario, path.LengthM, start, end);
        dynamics = new VehicleDynamics(vehicle);
        hands = new Hands(scenario, vehicle);
    }

    public TrueSignals Run()
    {
        int perNode = scenario.StepRateHz / Drive.RateHz;
        int steps = (drive.Count - 1) * perNode;
        int fast = scenario.StepRateHz / scenario.Sensors.FastRateHz;
        int medium = scenario.StepRateHz / scenario.Sensors.MediumRateHz;
        TrueSignals signals = new(drive, scenario.Sensors.FastRateHz, (steps / fast) + 1, (steps / medium) + 1, scenario.Sensors.LoadCell.LowPassHz is not null);

        double h = 1.0 / scenario.StepRateHz;
        double[] state = new double[Motion.Size];
        double[] stage = new double[Motion.Size];
        double[] k1 = new double[Motion.Size];
        double[] k2 = new double[Motion.Size];
        double[] k3 = new double[Motion.Size];
        double[] k4 = new double[Motion.Size];
        Push from = default;
        Push middle = default;
        Push to = default;
        StartFriction();
        At(0, 0, 0, ref from);
        Equilibrium.Solve(dynamics, from, state);
        LowPass[]? filters = Filters();

        int step = 0;
        for (int node = 0; node + 1 < drive.Count; node++)
        {
            for (int k = 0; k < perNode; k++, step++)
            {
                dynamics.Rates(from, state, k1);
                double time = step * h;
                Record(signals, step, fast, medium, time, state, k1, from, filters);
                Follow(signals, node, k * h, time);
                if (vehicle.Plank is not null)
                {
                    Touch(signals, 0, dynamics.Now.FrontPlankN, time);
                    Touch(signals, 1, dynamics.Now.RearPlankN, time);
                }

                At(node, (k + 0.5) * h, time + (h / 2), ref middle);
                At(node, (k + 1) * h, time + h, ref to);
                Advance(state, k1, h / 2, stage);
                dynamics.Rates(middle, stage, k2);
                Advance(state, k2, h / 2, stage);
                dynamics.Rates(middle, stage, k3);
                Advance(state, k3, h, stage);
                dynamics.Rates(to, stage, k4);
                state.CopyTo(stage, 0);
                for (int i = 0; i < Motion.Size; i++)
                {
                    state[i] += h / 6 * (k1[i] + (2 * (k2[i] + k3[i])) + k4[i]);
                }

                dynamics.Drag(stage, state);
                from = to;
            }

            Guard(node);
        }

        // The last instant belongs to the log: there the channels of all rates have a sample.
        dynamics.Rates(from, state, k1);
        Record(signals, step, fast, medium, step * h, state, k1, from, filters);
        signals.Strikes.Sort((x, y) => x.StartS != y.StartS ? x.StartS.CompareTo(y.StartS) : x.Corner.CompareTo(y.Corner));
        return signals;
    }

    private static void Advance(double[] state, double[] rates, double h, double[] stage)
    {
        for (int i = 0; i < Motion.Size; i++)
        {
            stage[i] = state[i] + (h * rates[i]);
        }
    }

    // Joints come to rest anywhere within their friction.
    private void StartFriction()
    {
        SeededRandom random = new(scenario.Seed, "friction");
        for (int corner = 0; corner < 4; corner++)
        {
            AxleHardware hardware = (corner < 2 ? vehicle.Front : vehicle.Rear).Hardware;
            dynamics.JointFrictionN[corner] = hardware.JointFrictionN * ((2 * random.Uniform()) - 1);
            dynamics.RockerFrictionN[corner] = hardware.RockerFrictionN * ((2 * random.Uniform()) - 1);
        }
    }

    private LowPass[]? Filters()
    {
        if (scenario.Sensors.LoadCell.LowPassHz is not { } cutOff)
        {
            return null;
        }

        double[] now = dynamics.Now.PushrodN;
        return [.. now.Select(p => new LowPass(cutOff, scenario.StepRateHz, p))];
    }

    private void At(int node, double after, double time, ref Push push)
    {
        double share = after * Drive.RateHz;
        double Line(double[] values) => values[node] + (share * (values[node + 1] - values[node]));
        push.LongitudinalMps2 = Line(drive.LongitudinalMps2);
        push.LateralMps2 = Line(drive.LateralMps2);
        push.VerticalMps2 = Line(drive.VerticalMps2);
        push.DynamicPressurePa = Line(drive.DynamicPressurePa);
        push.MassKg = Line(drive.MassKg);
        push.ThrustN = Line(drive.ThrustN);
        hands.At(time, ref push);

        double speed = Speed(node, after);
        double frontAt = Distance(node, after);
        double rearAt = frontAt - vehicle.WheelbaseM;
        road.At(frontAt, out double fl, out double flSlope, out double fr, out double frSlope, out push.FloorFront);
        road.At(rearAt, out double rl, out double rlSlope, out double rr, out double rrSlope, out push.FloorRear);
        Kerb(left, 0, frontAt, ref fl, ref flSlope);
        Kerb(right, 1, frontAt, ref fr, ref frSlope);
        Kerb(left, 2, rearAt, ref rl, ref rlSlope);
        Kerb(right, 3, rearAt, ref rr, ref rrSlope);
        if (bumps is not null)
        {
            bumps.Add(0, frontAt, ref fl, ref flSlope);
            bumps.Add(1, frontAt, ref fr, ref frSlope);
            bumps.Add(2, rearAt, ref rl, ref rlSlope);
            bumps.Add(3, rearAt, ref rr, ref rrSlope);
        }

        push.RoadFL = fl;
        push.RoadFR = fr;
        push.RoadRL = rl;
        push.RoadRR = rr;
        push.RateFL = flSlope * speed;
        push.RateFR = frSlope * speed;
        push.RateRL = rlSlope * speed;
        push.RateRR = rrSlope * speed;
    }

    private void Kerb(KerbPass[] passes, int corner, double distance, ref double height, ref double slope)
    {
        ref int next = ref nextPass[corner];
        while (next < passes.Length && distance >= passes[next].EndM)
        {
            next++;
        }

        for (int i = next; i < passes.Length && distance > passes[i].StartM; i++)
        {
            if (distance < passes[i].EndM)
            {
                KerbPasses.Add(passes[i], distance, ref height, ref slope);
            }
        }
    }

    private double Speed(int node, double after)
    {
        double from = drive.RateOfSpeedMps2[node];
        double jerk = (drive.RateOfSpeedMps2[node + 1] - from) * Drive.RateHz;
        return drive.SpeedMps[node] + (after * (from + (after * jerk / 2)));
    }

    private double Distance(int node, double after)
    {
        double from = drive.RateOfSpeedMps2[node];
        double jerk = (drive.RateOfSpeedMps2[node + 1] - from) * Drive.RateHz;
        return drive.DistanceM[node] + (after * (drive.SpeedMps[node] + (after * ((from / 2) + (after * jerk / 6)))));
    }

    private void Record(TrueSignals signals, int step, int fast, int medium, double time, double[] state, double[] rates, in Push push, LowPass[]? filters)
    {
        Forces now = dynamics.Now;
        bool isFast = step % fast == 0;
        for (int corner = 0; corner < 4; corner++)
        {
            double load = now.PushrodN[corner];
            signals.HighestN[corner] = Math.Max(signals.HighestN[corner], load);
            signals.LowestN[corner] = Math.Min(signals.LowestN[corner], load);
            if (filters is not null)
            {
                double filtered = filters[corner].Next(load);
                if (isFast)
                {
                    signals.FilteredPushrodN![corner][step / fast] = filtered;
                }
            }

            if (isFast)
            {
                signals.PushrodN[corner][step / fast] = load;
                signals.TravelM[corner][step / fast] = now.TravelM[corner];
            }
        }

        if (step % medium == 0)
        {
            int i = step / medium;
            double middle = vehicle.CentreLeftM * state[Motion.Roll];
            signals.VerticalMps2[i] = push.VerticalMps2 + rates[Motion.Degrees];
            signals.PitchRad[i] = state[Motion.Pitch];
            signals.RollRad[i] = state[Motion.Roll];
            signals.FrontHeightM[i] = vehicle.RideHeightM.Front + state[0] - (vehicle.FrontArmM * state[1]) - middle - ((push.RoadFL + push.RoadFR) / 2);
            signals.RearHeightM[i] = vehicle.RideHeightM.Rear + state[0] + (vehicle.RearArmM * state[1]) - middle - ((push.RoadRL + push.RoadRR) / 2);
        }
    }

    private void Follow(TrueSignals signals, int node, double after, double time)
    {
        double distance = Distance(node, after);
        for (int corner = 0; corner < 4; corner++)
        {
            KerbPass[] passes = corner % 2 == 0 ? left : right;
            double wheel = corner < 2 ? distance : distance - vehicle.WheelbaseM;
            Follow(signals.Strikes, passes, strikePass, active, corner, wheel, distance, node, after, time);
            if (bumps is not null)
            {
                Follow(signals.Bumps, bumps.Of(corner), bumpPass, activeBump, corner, wheel, distance, node, after, time);
            }
        }
    }

    private void Follow(List<TrueStrike> list, KerbPass[] passes, int[] nextOf, TrueStrike?[] activeOf, int corner, double wheel, double distance, int node, double after, double time)
    {
        ref int next = ref nextOf[corner];
        if (next < passes.Length && wheel >= passes[next].StartM)
        {
            TrueStrike strike = new(passes[next++], corner, time);
            activeOf[corner] = strike;
            list.Add(strike);
        }

        if (activeOf[corner] is { } now)
        {
            double load = dynamics.Now.PushrodN[corner];
            if (load > now.PeakN)
            {
                now.PeakN = load;
                now.PeakS = time;
                now.PeakDistanceM = distance;
                now.PeakSpeedMps = Speed(node, after);
            }

            if (double.IsInfinity(now.EndS) && wheel >= now.Pass.EndM)
            {
                now.EndS = time + AfterKerbS;
            }

            activeOf[corner] = time >= now.EndS ? null : now;
        }
    }

    // Contacts of the plank closer than this are one, s: the body bounces on it.
    private const double BounceS = 0.1;

    private void Touch(TrueSignals signals, int axle, double forceN, double time)
    {
        if (forceN <= 0)
        {
            return;
        }

        if (touching[axle] is not { } now || time - now.LastS > BounceS)
        {
            now = new TrueContact(axle == 0, time);
            touching[axle] = now;
            signals.Contacts.Add(now);
        }

        now.LastS = time;
        if (forceN > now.PeakN)
        {
            now.PeakN = forceN;
            now.PeakS = time;
        }
    }

    private void Guard(int node)
    {
        if (vehicle.Front.IsBeyondTable || vehicle.Rear.IsBeyondTable)
        {
            string axle = vehicle.Front.IsBeyondTable ? "front" : "rear";
            throw new InputError(
                $"{scenario.Name}, time {node / (double)Drive.RateHz:0.00} s",
                $"A {axle} wheel travels past the end of the ratio table.",
                "Widen the table in the car file, lower the kerbs, or stiffen the axle.");
        }
    }
}
