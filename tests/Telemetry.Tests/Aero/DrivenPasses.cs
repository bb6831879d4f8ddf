using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Tests.Aero;

/// <summary>The windows of a <see cref="DrivenRun"/> without its samples: the same balance of forces, a thousand times as fast.</summary>
/// <param name="Run">What is driven; its noise of a sample does not count here.</param>
/// <param name="WindowNoiseN">Scatter of each axle's load in a window, N.</param>
/// <param name="PassOffsetN">Scatter of each axle's load from pass to pass that is no wind, N: friction that holds for a straight.</param>
internal sealed record DrivenPasses(DrivenRun Run, double WindowNoiseN, double PassOffsetN = 0)
{
    private const double WindowS = 0.5;
    private const int WindowsInPass = 18;
    private const double SlowMps = 52;
    private const double FastMps = 82;
    private const double BuildUpS = 4;

    /// <summary>What the estimate would have seen of it.</summary>
    public AeroEvidence Evidence()
    {
        Random random = new((int)Run.Seed);
        CarDefinition car = Run.Car;
        double startKg = car.Masses.FuelAtStartKg.Value;
        double perLapKg = car.Masses.FuelPerLapKg!.Value;
        double density = Run.BelievedDensity * (1 + Run.DensityError);
        (double frontStill, double rearStill) = Run.Balance(0, 0, DrivenRun.G, 0, startKg, Run.ExtraMassKg);
        double[] still = [frontStill / 2, frontStill / 2, rearStill / 2, rearStill / 2];
        List<RunWindow> windows = [];
        int straights = Run.HeadingsRad.Length;
        int number = 0;
        for (int lap = 0; lap < Run.Laps; lap++)
        {
            for (int section = 0; section < straights; section++)
            {
                number++;
                double heading = Run.HeadingsRad[section];
                double gust = Run.GustMps * DrivenRun.Normal(random);
                double head = (Run.WindMps * Math.Cos(heading - Run.WindFromRad)) + gust;
                double offsetFront = PassOffsetN * DrivenRun.Normal(random);
                double offsetRear = PassOffsetN * DrivenRun.Normal(random);
                for (int w = 0; w < WindowsInPass; w++)
                {
                    double t = (w + 0.5) * WindowS;
                    double fade = Math.Exp(-t / BuildUpS);
                    double v = FastMps - ((FastMps - SlowMps) * fade);
                    double a = (FastMps - SlowMps) / BuildUpS * fade;
                    double time = 6 + (number * 11) + t;
                    double fuel = startKg - (perLapKg * (lap + ((section + (t / 11)) / straights)));
                    double flow = v + head;
                    double pressure = density * flow * flow / 2;
                    double vertical = DrivenRun.G + (0.1 * Math.Sin(time * 2.1));
                    (double front, double rear) = Run.Areas(pressure, vertical, a, fuel);
                    (double frontLoad, double rearLoad) = Run.Balance(pressure * front, pressure * rear, vertical, a, fuel, Run.ExtraMassKg);
                    (double heightFront, double heightRear) = DrivenRun.Heights(frontLoad, rearLoad);
                    double[] load = new double[4];
                    double[] noise = [(offsetFront + (WindowNoiseN * DrivenRun.Normal(random))) / 2, (offsetRear + (WindowNoiseN * DrivenRun.Normal(random))) / 2];
                    for (int c = 0; c < 4; c++)
                    {
                        double half = (c < 2 ? frontLoad : rearLoad) / 2;
                        load[c] = still[c] + ((half - still[c]) / (1 + Run.GainError[c])) + Run.LoadErrorN[c] + noise[c / 2];
                    }

                    windows.Add(new RunWindow
                    {
                        StartIndex = 0,
                        EndIndex = 0,
                        StartS = time - (WindowS / 2),
                        EndS = time + (WindowS / 2),
                        Lap = lap + 1,
                        LoadN = load,
                        SpeedMps = v,
                        FlowSpeedMps = v,
                        FlowSpeedSquared = v * v,
                        AccelerationX = a + Run.OffsetX + Run.DriftX,
                        AccelerationZ = vertical + Run.OffsetZ + Run.DriftZ,
                        FrontHeightMm = heightFront * 1000,
                        RearHeightMm = heightRear * 1000,
                        FuelKg = fuel,
                        DistanceM = double.NaN,
                        Direction = (Math.Cos(heading), Math.Sin(heading)),
                        Pass = number,
                    });
                }
            }
        }

        ImmutableArray<StraightPass> passes = StraightPasses.Number([.. windows.SelectMany(w => w == windows[^1] || windows[windows.IndexOf(w) + 1].Pass != w.Pass ? new[] { w, Corner(w) } : [w])], AeroOptions.Default);
        Dictionary<ChannelRole, double[]> channels = new()
        {
            [ChannelRole.AccelerationX] = [0],
            [ChannelRole.AccelerationZ] = [DrivenRun.G],
            [ChannelRole.FuelMass] = [startKg],
        };
        WheelLoadSet wheels = Run.Assemble(1, channels, [[0], [0], [0], [0]], [new Lap(1, 0, 1, 0, 1, 1500, true)], [0], []);
        Standstills standing = new()
        {
            Count = 2,
            LoadN = still,
            AccelerationX = Run.OffsetX,
            AccelerationY = 0,
            AccelerationZ = DrivenRun.G + Run.OffsetZ,
            YawRate = 0,
            FuelKg = startKg,
        };
        return new AeroEvidence(wheels, AirOfRun.Of(wheels.Run), standing, passes, windows, true, true, false, Run.HasRideHeights, "sensors");
    }

    private static RunWindow Corner(RunWindow last)
    {
        RunWindow corner = new()
        {
            StartIndex = 0,
            EndIndex = 0,
            StartS = last.EndS,
            EndS = last.EndS + WindowS,
            Lap = last.Lap,
            LoadN = last.LoadN,
            SpeedMps = SlowMps,
            FlowSpeedMps = SlowMps,
            FlowSpeedSquared = SlowMps * SlowMps,
            AccelerationX = 0,
            AccelerationZ = DrivenRun.G,
            FrontHeightMm = last.FrontHeightMm,
            RearHeightMm = last.RearHeightMm,
            FuelKg = last.FuelKg,
            DistanceM = double.NaN,
        };
        corner.Reject("lateral acceleration", endsStraight: true);
        return corner;
    }
}
