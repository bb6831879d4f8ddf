using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Simulation;
using Telemetry.Tests.Simulation;
using Telemetry.Zero;

namespace Telemetry.Tests.Zero;

/// <summary>One simulated run, driven once, and logged again for each seed with other load cells: zeros, drifts, gains and cross-talk are drawn, the car's motion is the same.</summary>
internal sealed class SimulatedCells
{
    public const double G = 9.80665;
    public const double SheetN = 12;
    private const int RateHz = 200;
    private readonly Vehicle vehicle;
    private readonly CircuitPath path;
    private readonly Scenario scenario;

    public SimulatedCells()
    {
        scenario = InventedCar.Scenario with { Laps = 4, Kerbs = [], Sensors = new SensorDefinition { FastRateHz = RateHz, MediumRateHz = RateHz, SlowRateHz = 100 } };
        vehicle = new Vehicle(scenario, InventedCar.Car);
        path = new CircuitPath(scenario.Circuit);
        Drive drive = Drive.Of(scenario, vehicle, path);
        Signals = new Solver(scenario, vehicle, drive, path).Run();
        Truth = TruthBuilder.Of(scenario, vehicle, path, Signals, new LoadCellErrors(scenario));
    }

    /// <summary>Made once for all tests.</summary>
    public static Lazy<SimulatedCells> Once { get; } = new(() => new SimulatedCells());

    public TrueSignals Signals { get; }

    public SimulationTruth Truth { get; }

    public int Count => Signals.FastCount;

    /// <summary>Static load of a pushrod with full fuel and without friction, N, by hand: 563 kg sprung, 1.33 m and 1.62 m of 2.95 m, halved, over the ratio.</summary>
    public static double StaticN(Corner corner) => 563 * G * (corner.Axle() == Axle.Front ? 1.33 : 1.62) / 2.95 / 2 / Ratio(corner);

    /// <summary>The car file of a seed: corner weights as scales would show them, wrong by their stated uncertainty.</summary>
    public static CarDefinition Car(Random random) => InventedCar.Car with
    {
        Setup = InventedCar.Car.Setup with
        {
            CornerWeightUncertaintyN = SheetN,
            CornerWeightN = PerCorner.Of(corner => (StaticN(corner) * Ratio(corner)) + UnsprungN(corner) + (SheetN * Normal(random))),
        },
        Channels = [.. InventedCar.Car.Channels.Select(mapping => mapping.Role <= ChannelRole.PushrodLoadRR ? mapping with { Range = (-20_000, 20_000), Resolution = 1 } : mapping)],
    };

    public static double Ratio(Corner corner) => InventedCar.Car.Suspension[corner.Axle()].InstallationRatio.At(0);

    public static double UnsprungN(Corner corner) => InventedCar.Car.Masses.UnsprungKg[corner.Axle()] / 2 * G;

    /// <summary>The log of a seed and the true zero of each cell against time.</summary>
    public (RunLog Log, LoadCellErrors Cells) LogOf(CarDefinition car, ulong seed, LoadCellDefinition cells)
    {
        Scenario mine = scenario with { Seed = seed, Sensors = scenario.Sensors with { LoadCell = cells } };
        LoadCellErrors errors = new(mine);
        return (LogBuilder.Of(mine, car, new TrueChannels(mine, car, vehicle, path, Signals, errors)), errors);
    }

    /// <summary>The log without its standstills: from the first to the last sample at speed.</summary>
    public static RunLog Moving(RunLog log, double fromS, double toS) => log with
    {
        Channels = [.. log.Channels.Select(channel =>
        {
            int first = (int)Math.Ceiling(fromS * channel.Time.RateHz);
            int count = Math.Min(channel.Samples.Length, (int)(toS * channel.Time.RateHz)) - first;
            double[] samples = channel.Samples.Between(first, first + count).ToArray();
            return new LoggedChannel(channel.Name, channel.Unit, TimeBase.Even(0, channel.Time.StepS, count), [.. samples]);
        })],
    };

    public static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    /// <summary>Seeds of the small version; TELEMETRY_HEALTH_SEEDS makes it the full one.</summary>
    public static int Seeds(int few) =>
        int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_HEALTH_SEEDS"), System.Globalization.CultureInfo.InvariantCulture, out int many) ? Math.Max(few, many) : few;
}
