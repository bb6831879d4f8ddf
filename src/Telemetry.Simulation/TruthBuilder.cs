using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>Collects the truth of a run.</summary>
internal static class TruthBuilder
{
    private const double LowestSpeedKmh = 60;
    private const double SpeedStepKmh = 10;

    // The mean that the quiet scatter is taken about, s, and the time kept away from a kerb.
    private const double MeanS = 0.5;
    private const double AwayFromKerbS = 0.4;
    private const double BeforeKerbS = 0.2;

    public static SimulationTruth Of(Scenario scenario, Vehicle vehicle, CircuitPath path, TrueSignals signals, LoadCellErrors cells)
    {
        Drive drive = signals.Drive;
        double fuelStart = vehicle.FuelKg(drive.DistanceM[0], path.LengthM);
        double fuelEnd = vehicle.FuelKg(drive.DistanceM[^1], path.LengthM);
        double endS = (signals.FastCount - 1) / (double)signals.FastRateHz;
        return new SimulationTruth
        {
            Name = scenario.Name,
            Seed = scenario.Seed,
            AirDensityKgpm3 = Round(drive.DensityKgpm3, 7),
            FuelStartKg = Round(fuelStart, 4),
            FuelEndKg = Round(fuelEnd, 4),
            LapLengthM = Round(path.LengthM, 4),
            Wind = new WindTruth(scenario.Wind.SpeedMps, Round(scenario.Wind.FromRad * 180 / Math.PI, 6), scenario.Wind.GustMps),
            AeroFuelKg = Round((fuelStart + fuelEnd) / 2, 4),
            AeroBySpeed = AeroBySpeed(vehicle, drive, (drive.MassKg[0] + drive.MassKg[^1]) / 2),
            Strikes = [.. signals.Strikes.Select(s => Strike(s, signals, path))],
            Events = scenario.Disturbances.Any ? EventTruths.Of(scenario, path, signals) : null,
            Peaks = Each(c => new PeakTruth(Round(Math.Max(0, signals.HighestN[c]), 3), Round(Math.Max(0, -signals.LowestN[c]), 3))),
            ZeroN = Each(c => Round(cells.ZeroN(c, 0), 4)),
            ZeroEndN = Each(c => Round(cells.ZeroN(c, endS), 4)),
            GainError = Each(c => cells.GainError(c)),
            QuietScatterN = QuietScatter(signals, path),
            ScalesN = Each(c => Round(c switch { 0 => vehicle.Front.LeftTyreN, 1 => vehicle.Front.RightTyreN, 2 => vehicle.Rear.LeftTyreN, _ => vehicle.Rear.RightTyreN }, 3)),
            RainflowNoiseFree = Each(c => Rounded(FourPointCount.Of(signals.PushrodN[c]))),
        };
    }

    /// <summary>Loads and ride heights on a level, smooth straight in still air without friction; at steady speed unless an acceleration is given.</summary>
    internal static AeroTruth AeroAt(Vehicle vehicle, double densityKgpm3, double massKg, double speedKmh, double[] state, double accelerationMps2 = 0)
    {
        double speed = speedKmh / 3.6;
        double pressure = densityKgpm3 * speed * speed / 2;
        double drag = pressure * vehicle.Aero.DragAreaM2;
        Push push = new() { VerticalMps2 = Vehicle.GravityMps2, DynamicPressurePa = pressure, MassKg = massKg, ThrustN = drag };
        push.LongitudinalMps2 = accelerationMps2;
        push.ThrustN += massKg * accelerationMps2;
        VehicleDynamics dynamics = new(vehicle);
        Equilibrium.Solve(dynamics, push, state);
        Forces now = dynamics.Now;
        double sprungN = (massKg - vehicle.TotalUnsprungKg) * Vehicle.GravityMps2;
        double transfer = massKg * accelerationMps2 * vehicle.HeightM / vehicle.WheelbaseM;
        double front = now.WheelN[0] + now.WheelN[1] - (sprungN * vehicle.RearArmM / vehicle.WheelbaseM) + ((1 - vehicle.Front.ShareDriving) * transfer);
        double rear = now.WheelN[2] + now.WheelN[3] - (sprungN * vehicle.FrontArmM / vehicle.WheelbaseM) - ((1 - vehicle.Rear.ShareDriving) * transfer);
        double moment = drag * vehicle.Aero.DragHeightM / vehicle.WheelbaseM;
        return new AeroTruth(
            speedKmh,
            Round(front, 4),
            Round(rear, 4),
            Round(front / pressure, 8),
            Round(rear / pressure, 8),
            Round(now.FrontHeightM * 1000, 5),
            Round(now.RearHeightM * 1000, 5),
            Round(now.FrontAeroN - moment, 4),
            Round(now.RearAeroN + moment, 4),
            Round(drag, 4));
    }

    private static ImmutableArray<AeroTruth> AeroBySpeed(Vehicle vehicle, Drive drive, double massKg)
    {
        double top = 0;
        foreach (double speed in drive.AirSpeedMps)
        {
            top = Math.Max(top, speed);
        }

        List<AeroTruth> rows = [];
        double[] state = new double[Motion.Size];
        for (double speed = LowestSpeedKmh; speed < (top * 3.6) + SpeedStepKmh; speed += SpeedStepKmh)
        {
            rows.Add(AeroAt(vehicle, drive.DensityKgpm3, massKg, speed, state));
        }

        return [.. rows];
    }

    private static StrikeTruth Strike(TrueStrike strike, TrueSignals signals, CircuitPath path)
    {
        double[] load = signals.PushrodN[strike.Corner];
        int to = Math.Clamp((int)(strike.StartS * signals.FastRateHz), 1, load.Length);
        int from = Math.Max(0, to - (int)(BeforeKerbS * signals.FastRateHz));
        double mean = 0;
        for (int i = from; i < to; i++)
        {
            mean += load[i] / (to - from);
        }

        return new StrikeTruth(
            ((Corner)strike.Corner).Code(),
            (int)(strike.PeakDistanceM / path.LengthM) + 1,
            Round(path.WithinLap(strike.PeakDistanceM), 4),
            Round(strike.PeakN, 3),
            strike.Pass.Kerb.Name,
            Round(strike.PeakS, 6),
            Round(strike.PeakSpeedMps * 3.6, 4),
            Round(strike.PeakN - mean, 3));
    }

    private static CornerTruth<double> QuietScatter(TrueSignals signals, CircuitPath path)
    {
        int rate = signals.FastRateHz;
        Drive drive = signals.Drive;
        int half = (int)(MeanS * rate / 2);
        bool[] near = new bool[signals.FastCount];
        foreach (TrueStrike strike in signals.Strikes)
        {
            int from = Math.Max(0, (int)((strike.StartS - AwayFromKerbS) * rate));
            int to = Math.Min(near.Length, (int)((strike.EndS + AwayFromKerbS) * rate));
            for (int i = from; i < to; i++)
            {
                near[i] = true;
            }
        }

        return Each(corner =>
        {
            double[] load = signals.PushrodN[corner];
            double sum = 0;
            int count = 0;
            double window = 0;
            for (int i = 0; i < load.Length; i++)
            {
                window += load[i] - (i > 2 * half ? load[i - (2 * half) - 1] : 0);
                int at = i - half;
                if (at < half || near[at])
                {
                    continue;
                }

                int node = Math.Min((int)((long)at * Drive.RateHz / rate), drive.Count - 1);
                if (drive.SpeedMps[node] > 20 && Math.Abs(path.Curvature(drive.DistanceM[node])) < 1e-6)
                {
                    double off = load[at] - (window / ((2 * half) + 1));
                    sum += off * off;
                    count++;
                }
            }

            return count == 0 ? 0 : Round(Math.Sqrt(sum / count), 3);
        });
    }

    private static RainflowTruth Rounded(RainflowTruth count) => count with
    {
        LargestRangeN = Round(count.LargestRangeN, 3),
        EquivalentRangeN = Round(count.EquivalentRangeN, 3),
    };

    private static CornerTruth<T> Each<T>(Func<int, T> of) => new(of(0), of(1), of(2), of(3));

    private static double Round(double value, int digits) => Math.Round(value, digits, MidpointRounding.ToEven);
}
