using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Simulation;
using Telemetry.Zero;

namespace Telemetry.Tests.Aero;

/// <summary>
/// A whole simulated run with every line of the budget drawn anew: what the simulator knows goes into its car, air and cells, what it does not (friction that holds, accelerometers that
/// shift under way) onto its log, as it would act on a real one.
/// </summary>
/// <remarks>
/// Sizes are those that car file and options state. Not from the simulator is the joints' friction: its road shakes them, so that they hold much less than the budget allows for. It is
/// switched off there and drawn here, a force at the wheel beside the pushrod: anew for both standstills and each corner, and while driving the same on both sides of an axle.
/// </remarks>
internal sealed class DrawnRun
{
    /// <summary>Standard deviation of the cells' temperature shift, N/K, that of the sample run's cells, and of their drift, N/s: a few newtons over a run.</summary>
    private const double ShiftNpK = 0.4;
    private const double DriftNps = 0.02;

    private readonly CarDefinition stated;
    private readonly Func<string, double> normal;
    private readonly Func<string, double> rectangle;

    private DrawnRun(CarDefinition stated, Func<string, double> normal, Func<string, double> rectangle)
    {
        this.stated = stated;
        this.normal = normal;
        this.rectangle = rectangle;
    }

    /// <summary>Drives it.</summary>
    /// <param name="scenario">The run as it would be without errors, with its wind.</param>
    /// <param name="car">The car file.</param>
    /// <param name="number">Which draw.</param>
    /// <returns>The log, the truth, and the car file with the corner weights that uncertain scales would have shown.</returns>
    public static (RunLog Log, SimulationTruth Truth, CarDefinition Stated) Of(Scenario scenario, CarDefinition car, int number)
    {
        Random random = new(number + 77);
        return Of(scenario, car, new DrawnRun(car, _ => DrivenRun.Normal(random), _ => (2 * random.NextDouble()) - 1));
    }

    /// <summary>Drives it with one error alone, or with none.</summary>
    /// <param name="scenario">The run as it would be without errors, with its wind.</param>
    /// <param name="car">The car file.</param>
    /// <param name="only">Name of the error, one of <see cref="Names"/>; null: none.</param>
    /// <param name="deviations">How many standard deviations of it.</param>
    public static (RunLog Log, SimulationTruth Truth, CarDefinition Stated) WithOnly(Scenario scenario, CarDefinition car, string? only, double deviations) =>
        Of(scenario, car, new DrawnRun(car, name => name == only ? deviations : 0, name => name == only ? deviations / Math.Sqrt(3) : 0));

    /// <summary>Names of all errors that are drawn, in order.</summary>
    public static ImmutableArray<string> Names(Scenario scenario, CarDefinition car)
    {
        List<string> names = [];
        double Noted(string name)
        {
            names.Add(name);
            return 0;
        }

        _ = Of(scenario with { Laps = 1 }, car, new DrawnRun(car, Noted, Noted));
        return [.. names.Distinct()];
    }

    private static (RunLog Log, SimulationTruth Truth, CarDefinition Stated) Of(Scenario scenario, CarDefinition car, DrawnRun drawn)
    {
        CarDefinition real = drawn.RealCar();
        Scenario driven = drawn.Driven(scenario);
        SimulatedRun run = Simulator.Run(driven, real);
        return (drawn.Shifted(run.Log), run.Truth, drawn.Weighed(real, driven.TrueCar));
    }

    private double Draw(string name, double deviation) => deviation * normal(name);

    /// <summary>Rectangle about 0 with a half-width.</summary>
    private double Within(string name, double half) => half * rectangle(name);

    private CarDefinition RealCar()
    {
        CarMasses masses = stated.Masses;
        AxleSuspension rear = stated.Suspension.Rear;
        return stated with
        {
            Geometry = stated.Geometry with { WheelbaseM = Moved("wheelbase", stated.Geometry.WheelbaseM) },
            Masses = masses with
            {
                UnsprungKg = new(masses.UnsprungKg.Front + Draw("unsprung mass, front", masses.UnsprungUncertaintyKg.Front), masses.UnsprungKg.Rear + Draw("unsprung mass, rear", masses.UnsprungUncertaintyKg.Rear)),
                FuelAtStartKg = Moved("fuel at start", masses.FuelAtStartKg),
                FuelPerLapKg = masses.FuelPerLapKg * (1 + Draw("fuel burned", Telemetry.Aero.AeroOptions.Default.FuelBurnShare)),
            },
            Suspension = new(stated.Suspension.Front, rear with { LinkageShareDriving = rear.LinkageShareDriving + Draw("linkage share, rear", Telemetry.Aero.AeroOptions.Default.LinkageShareUncertainty) }),
        };
    }

    private Measured Moved(string name, Measured of) => new(of.Value + Draw(name, of.StandardUncertainty), of.StandardUncertainty);

    private Scenario Driven(Scenario scenario)
    {
        TrueCar car = scenario.TrueCar;
        double Gain(Corner corner) => Draw($"gain {corner.Code()}", stated.Mapping(ChannelRoles.PushrodLoad(corner))!.GainUncertainty);
        AxleHardware Axle(string name, AxleHardware hardware, AxleSuspension axle) => hardware with { JointFrictionN = 0, InstallationRatioError = Draw(name, axle.InstallationRatio.RelativeUncertainty) };
        return scenario with
        {
            // A circuit's weather station, as AirOfRun takes it: 1 K, 100 Pa, 5 % of relative humidity.
            Weather = new(scenario.Weather.TemperatureK + Draw("temperature of the air", 1), scenario.Weather.PressurePa + Draw("pressure of the air", 100), scenario.Weather.RelativeHumidity + Draw("humidity of the air", 0.05)),
            TrueCar = car with
            {
                ExtraMassKg = Draw("mass", stated.Masses.WithoutFuelKg.StandardUncertainty),
                CentreFurtherBackM = Draw("place of the centre of gravity", stated.Geometry.SprungCentreBehindFrontAxleM.StandardUncertainty),
                CentreHigherM = Draw("height of the centre of gravity", stated.Geometry.CentreHeightM.StandardUncertainty),
                Hardware = new(Axle("ratio front", car.Hardware.Front, stated.Suspension.Front), Axle("ratio rear", car.Hardware.Rear, stated.Suspension.Rear)),
            },
            Aero = scenario.Aero with { Front = Map("front", scenario.Aero.Front), Rear = Map("rear", scenario.Aero.Rear) },
            Sensors = scenario.Sensors with
            {
                LoadCell = scenario.Sensors.LoadCell with
                {
                    GainError = PerCorner.Of(Gain),
                    TemperatureShiftNpK = PerCorner.Of(c => Draw($"temperature shift {c.Code()}", ShiftNpK)),
                    DriftNps = PerCorner.Of(c => Draw($"drift {c.Code()}", DriftNps)),
                },
            },
        };
    }

    /// <summary>A map with the slopes and curvatures that <see cref="Telemetry.Aero.AeroOptions"/> believes in.</summary>
    private LiftAreaMap Map(string axle, LiftAreaMap map)
    {
        double perM = 1e3 * Telemetry.Aero.AeroOptions.Default.HeightSharePerMm * map.AtReferenceM2;
        double perSquareM = 1e6 * Telemetry.Aero.AeroOptions.Default.HeightCurvatureSharePerMm2 * map.AtReferenceM2;
        return new(map.AtReferenceM2, Draw($"slope over front ride height, {axle}", perM), Draw($"slope over rear ride height, {axle}", perM), Draw($"curvature over front ride height, {axle}", perSquareM), Draw($"curvature over rear ride height, {axle}", perSquareM));
    }

    /// <summary>The car file with corner weights from scales: those of the real car, each with its own error.</summary>
    private CarDefinition Weighed(CarDefinition real, TrueCar extra)
    {
        CarMasses masses = real.Masses;
        double sprungKg = masses.WithoutFuelKg.Value + extra.ExtraMassKg + stated.Setup.FuelOnScalesKg!.Value - masses.UnsprungKg.Front - masses.UnsprungKg.Rear;
        double behind = (real.Geometry.SprungCentreBehindFrontAxleM.Value + extra.CentreFurtherBackM) / real.Geometry.WheelbaseM.Value;
        double front = StandardGravity.Mps2 * ((sprungKg * (1 - behind)) + masses.UnsprungKg.Front) / 2;
        double rear = StandardGravity.Mps2 * ((sprungKg * behind) + masses.UnsprungKg.Rear) / 2;
        return stated with { Setup = stated.Setup with { CornerWeightN = PerCorner.Of(c => (c.Axle() == Axle.Front ? front : rear) + Draw($"corner weight {c.Code()}", stated.Setup.CornerWeightUncertaintyN)) } };
    }

    private RunLog Shifted(RunLog log)
    {
        LoggedChannel speed = log.Find(stated.Mapping(ChannelRole.Speed)!.Name)!;
        double from = speed.Time.At(0);
        double to = speed.Time.LastS;
        int first = speed.Samples.Select((v, i) => (v, i)).First(p => p.v > 1).i;
        int last = speed.Samples.Select((v, i) => (v, i)).Last(p => p.v > 1).i;
        (from, to) = (Math.Max(from, speed.Time.At(first)), Math.Min(to, speed.Time.At(last)));
        Dictionary<string, (double Before, double Driving, double After)> shifts = [];
        foreach (Axle axle in new[] { Axle.Front, Axle.Rear })
        {
            // Half-width of the zero stage's rectangle; while driving the budget takes the part of it that two windows leave in a zero, 2/3 of its variance.
            double still = stated.Masses.WithoutFuelKg.Value + stated.Masses.FuelAtStartKg.Value - stated.Masses.UnsprungKg.Front - stated.Masses.UnsprungKg.Rear;
            double behind = stated.Geometry.SprungCentreBehindFrontAxleM.Value / stated.Geometry.WheelbaseM.Value;
            double half = ZeroOptions.Default.FrictionShareOfLoad * still * StandardGravity.Mps2 * (axle == Axle.Front ? 1 - behind : behind) / 2 / stated.Suspension[axle].InstallationRatio.At(0);
            double driving = Within($"friction of the joints, {(axle == Axle.Front ? "front" : "rear")}", Math.Sqrt(2.0 / 3) * half);
            foreach (Corner corner in Corners.All.Where(c => c.Axle() == axle))
            {
                shifts[stated.Mapping(ChannelRoles.PushrodLoad(corner))!.Name] = (Within($"friction before {corner.Code()}", half), driving, Within($"friction after {corner.Code()}", half));
            }
        }

        // Logged in g.
        double drift = Telemetry.Aero.AeroOptions.Default.AccelerometerDriftMps2 / StandardGravity.Mps2;
        shifts[stated.Mapping(ChannelRole.AccelerationX)!.Name] = (0, Draw("longitudinal accelerometer", drift), 0);
        shifts[stated.Mapping(ChannelRole.AccelerationZ)!.Name] = (0, Draw("vertical accelerometer", drift), 0);
        return log with { Channels = [.. log.Channels.Select(c => shifts.TryGetValue(c.Name, out var shift) ? c with { Samples = Moved(c, shift) } : c)] };

        SampleSource Moved(LoggedChannel channel, (double Before, double Driving, double After) shift) =>
            [.. channel.Samples.Select((v, i) => v + (channel.Time.At(i) < from ? shift.Before : channel.Time.At(i) > to ? shift.After : shift.Driving))];
    }
}
