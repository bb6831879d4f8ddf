using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.Aero;

/// <summary>A run made from the balance of forces itself: given lift areas, wind and errors, what the wheels then carry. No estimating code is used.</summary>
internal sealed record DrivenRun
{
    public const double G = 9.80665;
    private const double StepS = 0.01;
    private const double StandstillS = 6;
    private const double StraightS = 9;
    private const double CornerS = 2;
    private const double SlowMps = 52;
    private const double FastMps = 82;
    private const double BuildUpS = 4;

    public int Laps { get; init; } = 4;

    /// <summary>Heading of each straight of a lap, rad clockwise from north.</summary>
    public double[] HeadingsRad { get; init; } = [0.35, 0.35 + (130 * Math.PI / 180), 0.35 + (250 * Math.PI / 180)];

    /// <summary>Lift area at the reference heights, m2.</summary>
    public PerAxle<double> LiftAreaM2 { get; init; } = new(1.3, 1.9);

    /// <summary>Change of both lift areas with front ride height, share per m.</summary>
    public double PerFrontHeight { get; init; }

    /// <summary>Change of both lift areas with rear ride height, share per m.</summary>
    public double PerRearHeight { get; init; }

    public double WindMps { get; init; }

    public double WindFromRad { get; init; }

    /// <summary>Head wind of each pass beyond the steady one, m/s; drawn with <see cref="Random"/>.</summary>
    public double GustMps { get; init; }

    /// <summary>Scatter of each load sample while driving, N; at standstill the road does not shake the car.</summary>
    public double NoiseN { get; init; }

    /// <summary>Constant error of each corner's load while driving, N.</summary>
    public double[] LoadErrorN { get; init; } = [0, 0, 0, 0];

    /// <summary>Share by which the true ratio or gain of each corner differs from the believed one.</summary>
    public double[] GainError { get; init; } = [0, 0, 0, 0];

    /// <summary>True density over the one that the car file's weather gives, less 1.</summary>
    public double DensityError { get; init; }

    /// <summary>Accelerometer error, the same at standstill.</summary>
    public double OffsetX { get; init; }

    public double OffsetZ { get; init; }

    /// <summary>Accelerometer error that came up since standstill.</summary>
    public double DriftX { get; init; }

    public double DriftZ { get; init; }

    public double ZeroUncertaintyN { get; init; }

    /// <summary>Mass that the car really has more than the car file says, kg.</summary>
    public double ExtraMassKg { get; init; }

    public bool HasRideHeights { get; init; } = true;

    public bool HasCourse { get; init; } = true;

    public bool HasYawRate { get; init; }

    public bool HasAirSpeed { get; init; }

    /// <summary>Share of the wind at the car that a weather station reads, 0 for no station.</summary>
    public double StationReads { get; init; }

    /// <summary>Bias of the yaw-rate sensor, rad/s.</summary>
    public double YawBias { get; init; }

    public ulong Seed { get; init; } = 1;

    public CarDefinition Car { get; init; } = Default;

    public static CarDefinition Default { get; } = new()
    {
        Name = "driven",
        Geometry = new CarGeometry(Measured.Exact(3), new PerAxle<double>(1.6, 1.5), Measured.Exact(1.65), Measured.Exact(0.3)),
        Masses = new CarMasses(Measured.Exact(640), new PerAxle<double>(60, 70), Measured.Exact(50), 2),
        Suspension = new PerAxle<AxleSuspension>(
            new AxleSuspension { InstallationRatio = RatioCurve.Constant(0.8), DamperRatio = RatioCurve.Constant(0.8) },
            new AxleSuspension { InstallationRatio = RatioCurve.Constant(0.75), DamperRatio = RatioCurve.Constant(0.75), LinkageShareDriving = 0.25 }),
        Setup = new SetupSheet(null, 5, null, null),
        Weather = new Weather(293.15, 100300, 0.5),
        LapLengthM = 1500,
        Channels = [],
    };

    /// <summary>Density that the car file's weather gives, by the formula whose test stands in <see cref="AirDensityTests"/>.</summary>
    public double BelievedDensity => MoistAir.DensityKgM3(Car.Weather!.TemperatureK, Car.Weather.PressurePa, Car.Weather.RelativeHumidity);

    /// <summary>Lift areas at steady speed in still air with the mean fuel of the run, m2.</summary>
    public (double Front, double Rear) Truth(double speedMps) =>
        Areas(BelievedDensity * (1 + DensityError) * speedMps * speedMps / 2, G, 0, Car.Masses.FuelAtStartKg.Value - (Laps * Car.Masses.FuelPerLapKg!.Value / 2));

    public WheelLoadSet Build()
    {
        Random random = new((int)Seed);
        int standing = (int)Math.Round(StandstillS / StepS);
        int straight = (int)Math.Round(StraightS / StepS);
        int corner = (int)Math.Round(CornerS / StepS);
        int stint = straight + corner;
        int lapCount = stint * HeadingsRad.Length;
        int count = (2 * standing) + (lapCount * Laps);
        Dictionary<ChannelRole, double[]> channels = [];
        double[] Channel(ChannelRole role) => channels[role] = new double[count];
        double[] speed = Channel(ChannelRole.Speed);
        double[] ax = Channel(ChannelRole.AccelerationX);
        double[] ay = Channel(ChannelRole.AccelerationY);
        double[] az = Channel(ChannelRole.AccelerationZ);
        double[] brake = Channel(ChannelRole.Brake);
        double[] fuel = Channel(ChannelRole.FuelMass);
        double[] course = Channel(ChannelRole.Course);
        double[] yaw = Channel(ChannelRole.YawRate);
        double[] air = Channel(ChannelRole.AirSpeed);
        double[] stationSpeed = Channel(ChannelRole.WindSpeed);
        double[] stationFrom = Channel(ChannelRole.WindDirection);
        double[] heightFront = Channel(ChannelRole.RideHeightFront);
        double[] heightRear = Channel(ChannelRole.RideHeightRear);
        double[] distance = new double[count];
        double[][] load = [new double[count], new double[count], new double[count], new double[count]];
        double density = BelievedDensity * (1 + DensityError);
        double gust = 0;
        double heading = HeadingsRad[0];
        List<Lap> laps = [];
        for (int i = 0; i < count; i++)
        {
            bool driving = i >= standing && i < count - standing;
            int along = i - standing;
            int lap = driving ? along / lapCount : i < standing ? 0 : Laps - 1;
            double v = 0;
            double a = 0;
            if (driving)
            {
                int section = along % lapCount / stint;
                int within = along % stint;
                double t = within * StepS;
                if (within == 0)
                {
                    gust = GustMps * Normal(random);
                    heading = HeadingsRad[section];
                }

                if (within < straight)
                {
                    v = FastMps - ((FastMps - SlowMps) * Math.Exp(-t / BuildUpS));
                    a = (FastMps - SlowMps) / BuildUpS * Math.Exp(-t / BuildUpS);
                }
                else
                {
                    v = SlowMps;
                    brake[i] = within < straight + (corner / 2) ? 1 : 0;
                    ay[i] = 15;
                    double turn = Math.IEEERemainder(HeadingsRad[(section + 1) % HeadingsRad.Length] - HeadingsRad[section], Math.Tau);
                    yaw[i] = -turn / CornerS;
                    heading += turn / corner;
                }

                distance[i] = i > 0 && along % lapCount > 0 ? distance[i - 1] + (v * StepS) : 0;
            }

            double mass = Car.Masses.FuelAtStartKg.Value - (driving ? along * Laps * Car.Masses.FuelPerLapKg!.Value / (lapCount * (double)Laps) : i < standing ? 0 : Laps * Car.Masses.FuelPerLapKg!.Value);
            double head = driving ? (WindMps * Math.Cos(heading - WindFromRad)) + gust : 0;
            double flow = v + head;
            double pressure = density * flow * flow / 2;
            double vertical = G + (driving ? 0.4 * Math.Sin(i * 0.021) : 0);
            (double front, double rear) = Areas(pressure, vertical, a, mass);
            (double frontLoad, double rearLoad) = Balance(pressure * front, pressure * rear, vertical, a, mass, ExtraMassKg);
            (heightFront[i], heightRear[i]) = Heights(frontLoad, rearLoad);
            (double frontStatic, double rearStatic) = Balance(0, 0, G, 0, Car.Masses.FuelAtStartKg.Value, ExtraMassKg);
            for (int c = 0; c < 4; c++)
            {
                double half = (c < 2 ? frontLoad : rearLoad) / 2;
                double still = (c < 2 ? frontStatic : rearStatic) / 2;
                load[c][i] = still + ((half - still) / (1 + GainError[c])) + (driving ? LoadErrorN[c] : 0) + (driving && NoiseN > 0 ? NoiseN * Normal(random) : 0);
            }

            speed[i] = v;
            ax[i] = a + OffsetX + (driving ? DriftX : 0);
            az[i] = vertical + OffsetZ + (driving ? DriftZ : 0);
            fuel[i] = mass;
            air[i] = flow;
            stationSpeed[i] = StationReads * WindMps;
            stationFrom[i] = WindFromRad;
            course[i] = heading;
            yaw[i] += YawBias;
        }

        for (int lap = 0; lap < Laps; lap++)
        {
            int from = lap == 0 ? 0 : standing + (lap * lapCount);
            int to = lap == Laps - 1 ? count : standing + ((lap + 1) * lapCount);
            laps.Add(new Lap(lap + 1, from, to, from * StepS, to * StepS, 1500, true));
        }

        Drop(HasRideHeights, ChannelRole.RideHeightFront, ChannelRole.RideHeightRear);
        Drop(HasCourse, ChannelRole.Course);
        Drop(HasYawRate, ChannelRole.YawRate);
        Drop(HasAirSpeed, ChannelRole.AirSpeed);
        Drop(StationReads > 0, ChannelRole.WindSpeed, ChannelRole.WindDirection);
        return Assemble(count, channels, load, laps, distance, [
            new StandstillWindow(0, standing, 0, (standing - 1) * StepS, false),
            new StandstillWindow(count - standing, count, (count - standing) * StepS, (count - 1) * StepS, false)]);

        void Drop(bool keep, params ChannelRole[] roles)
        {
            foreach (ChannelRole role in roles)
            {
                if (!keep)
                {
                    channels.Remove(role);
                }
            }
        }
    }

    /// <summary>Standard normal numbers by Box and Muller.</summary>
    public static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());

    internal WheelLoadSet Assemble(int count, Dictionary<ChannelRole, double[]> channels, double[][] load, List<Lap> laps, double[] distance, ImmutableArray<StandstillWindow> still)
    {
        TimeBase clock = TimeBase.Even(0, StepS, count);
        SampleSource?[] onClock = new SampleSource?[Enum.GetValues<ChannelRole>().Length];
        List<Channel> list = [];
        foreach ((ChannelRole role, double[] samples) in channels.OrderBy(c => c.Key))
        {
            SampleSource own = SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(samples));
            onClock[(int)role] = own;
            list.Add(new Channel(role, role.ToString(), clock, own, []));
        }

        Run run = new()
        {
            Name = "driven",
            Car = Car,
            Clock = clock,
            Channels = [.. list],
            ClockSamples = [.. onClock],
            Laps = new LapTable([.. laps], "made"),
            LapDistanceM = SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(distance)),
            LogFindings = [],
        };
        PerCorner<SampleSource> loads = PerCorner.Of(c => SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(load[(int)c])));
        ZeroedLoads zeroed = new()
        {
            Run = run,
            PushrodLoadN = loads,
            DamperTravelM = PerCorner.Of<SampleSource?>(_ => null),
            Zeros = PerCorner.Of(_ => new CornerZero(ZeroSource.GroundCornerWeights, 0, 0, 0, ZeroUncertaintyN, false)),
            Windows = still,
            WithheldBecause = null,
            Findings = [],
            IsLowPassed = false,
        };
        return new WheelLoadSet
        {
            Run = run,
            Pushrods = zeroed,
            LoadN = loads,
            WheelTravelM = PerCorner.Of<SampleSource?>(_ => null),
            OutsideTable = PerCorner.Of(_ => 0),
            ContactPatchLoadN = null,
            ContactPatchWithheldBecause = "not made",
            Findings = [],
        };
    }

    /// <summary>Equation E4 solved for the loads at the wheels.</summary>
    internal (double FrontN, double RearN) Balance(double frontAero, double rearAero, double vertical, double along, double fuelKg, double extraKg)
    {
        CarGeometry geometry = Car.Geometry;
        double mass = Car.Masses.WithoutFuelKg.Value + extraKg + fuelKg;
        double sprung = mass - Car.Masses.UnsprungKg.Front - Car.Masses.UnsprungKg.Rear;
        double length = geometry.WheelbaseM.Value;
        double a = geometry.SprungCentreBehindFrontAxleM.Value;
        double transfer = mass * along * geometry.CentreHeightM.Value / length;
        return (
            frontAero + (sprung * vertical * (length - a) / length) - ((1 - Car.Suspension.Front.LinkageShareDriving) * transfer),
            rearAero + (sprung * vertical * a / length) + ((1 - Car.Suspension.Rear.LinkageShareDriving) * transfer));
    }

    /// <summary>Springs that grow stiffer: 30 mm at no load, and 8 mm less for the first 4 kN than for the next.</summary>
    internal static (double FrontM, double RearM) Heights(double frontN, double rearN) =>
        (0.045 - (0.035 * (1 - Math.Exp(-frontN / 6000))), 0.080 - (0.060 * (1 - Math.Exp(-rearN / 9000))));

    internal (double Front, double Rear) Areas(double pressure, double vertical, double along, double fuelKg)
    {
        double front = LiftAreaM2.Front;
        double rear = LiftAreaM2.Rear;
        if (PerFrontHeight == 0 && PerRearHeight == 0)
        {
            return (front, rear);
        }

        for (int round = 0; round < 60; round++)
        {
            (double frontN, double rearN) = Balance(pressure * front, pressure * rear, vertical, along, fuelKg, ExtraMassKg);
            (double hf, double hr) = Heights(frontN, rearN);
            double factor = 1 + (PerFrontHeight * (hf - 0.022)) + (PerRearHeight * (hr - 0.045));
            double next = LiftAreaM2.Front * factor;
            if (Math.Abs(next - front) < 1e-13)
            {
                break;
            }

            front = next;
            rear = LiftAreaM2.Rear * factor;
        }

        return (front, rear);
    }
}
