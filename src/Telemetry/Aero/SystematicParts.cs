using MathNet.Numerics.LinearAlgebra;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Aero;

/// <summary>Lists what all passes share in error, each by moving one input by its standard uncertainty (GUM, JCGM 100:2008, 5.1.3 note 2).</summary>
internal sealed class SystematicParts
{
    /// <summary>Standard uncertainty of the vertical specific force in a window where no accelerometer reads it, m/s2: crests and compressions of a circuit, common practice, no source.</summary>
    private const double UnmeasuredVerticalMps2 = 0.3;

    /// <summary>The same for the gradient where longitudinal acceleration is taken from speed, m/s2: 1 % of slope.</summary>
    private const double UnmeasuredGradientMps2 = 0.1;

    private readonly WheelLoadSet wheels;
    private readonly AeroOptions options;
    private readonly AeroFit fit;
    private readonly IReadOnlyList<RunWindow> used;
    private readonly BalanceTerms terms;
    private readonly Standstills still;
    private readonly List<SystematicPart> parts = [];

    private SystematicParts(WheelLoadSet wheels, AeroOptions options, AeroFit fit, IReadOnlyList<RunWindow> used, BalanceTerms terms, Standstills still)
    {
        this.wheels = wheels;
        this.options = options;
        this.fit = fit;
        this.used = used;
        this.terms = terms;
        this.still = still;
    }

    public static List<SystematicPart> List(
        WheelLoadSet wheels,
        AeroOptions options,
        AeroFit fit,
        IReadOnlyList<RunWindow> used,
        BalanceTerms terms,
        Standstills still,
        AirState air,
        IReadOnlyList<Prior> priors)
    {
        SystematicParts list = new(wheels, options, fit, used, terms, still);
        list.AddCells();
        list.AddCar();
        list.AddAccelerometers();
        list.AddFlow(air);
        foreach (Prior prior in priors)
        {
            Vector<double> moved = fit.Influence(prior);
            list.parts.Add(new SystematicPart(prior.Name, RemarkOf(prior.Name), (_, front, rear) => (front * moved, rear * moved)) { IsPrior = true });
        }

        return list.parts;
    }

    private static string RemarkOf(string prior) => prior switch
    {
        AeroEstimate.WindPrior => "An air-speed channel, or straights of more headings.",
        AeroEstimate.PitchPrior or AeroEstimate.HeightPrior => "Straights driven at steady speed beside those at full throttle.",
        _ => "More passes over a wider range of speeds.",
    };

    private void AddCells()
    {
        Run run = wheels.Run;
        foreach (Corner corner in Corners.All)
        {
            int c = (int)corner;
            double ratio = run.Car.Suspension[corner.Axle()].InstallationRatio is { } curve && double.IsFinite(curve.At(0)) ? curve.At(0) : run.Car.Suspension[corner.Axle()].InstallationRatio.Points[0].Ratio;
            double zero = ratio * ZeroUncertaintyN(corner);
            string remark = wheels.Pushrods.Zeros[corner].Source == ZeroSource.Borrowed
                ? "A standstill in this very run: the zero is borrowed from another."
                : "Longer standstills before and after the run, and cells that drift less.";
            Add($"zero {corner.Code()}", remark, terms with { LoadOffsetN = One(c, zero) });
            double gain = wheels.Pushrods.GainUncertainty(corner);
            Add($"gain {corner.Code()}", "A calibration of the load cell.", terms with { LoadFactor = OnePlus(c, c, gain) });
        }

        double front = run.Car.Suspension.Front.InstallationRatio.RelativeUncertainty;
        double rear = run.Car.Suspension.Rear.InstallationRatio.RelativeUncertainty;
        Add("ratio front", "Measure the installation ratio on the car.", terms with { LoadFactor = OnePlus(0, 1, front) });
        Add("ratio rear", "Measure the installation ratio on the car.", terms with { LoadFactor = OnePlus(2, 3, rear) });
    }

    /// <summary>
    /// What the zero leaves in the change from standstill: the installation ratio cancels, since it goes in again with every load, and so does the mass-based split between left
    /// and right. A borrowed zero, and one from stands alone, leave all of theirs: there is no standstill on the ground that anything could cancel against.
    /// </summary>
    private double ZeroUncertaintyN(Corner corner)
    {
        CornerZero zero = wheels.Pushrods.Zeros[corner];
        if (still.Count == 0 || zero.Source == ZeroSource.Borrowed)
        {
            return zero.StandardUncertaintyN;
        }

        double cancels = zero.Budget.RatioN;
        if (zero.Source == ZeroSource.GroundMassOnly)
        {
            cancels = double.Hypot(cancels, StaticLoad.OnGround(wheels.Run.Car, corner, still.FuelKg, ZeroOptions.Default).StandardUncertaintyN);
        }

        return Math.Sqrt(Math.Max(0, (zero.StandardUncertaintyN * zero.StandardUncertaintyN) - (cancels * cancels)));
    }

    private void AddCar()
    {
        CarDefinition car = wheels.Run.Car;
        Add("mass", "Weigh the car as it went out.", terms with { WithoutFuelKg = terms.WithoutFuelKg + car.Masses.WithoutFuelKg.StandardUncertainty });
        double fuelAtStart = car.Masses.FuelAtStartKg.StandardUncertainty;
        if (fuelAtStart > 0 && !wheels.Run.Has(ChannelRole.FuelMass))
        {
            Add("fuel at start", "Weigh the fuel.", terms with { WithoutFuelKg = terms.WithoutFuelKg + fuelAtStart });
        }

        double burn = wheels.Run.Has(ChannelRole.FuelMass) ? 0 : options.FuelBurnShare;
        Add("fuel burned", "Log the fuel mass.", terms with { BurnFactor = 1 + burn });
        Add("place of the centre of gravity", "Corner weights of the car as it went out.", terms with { BehindFrontAxleM = terms.BehindFrontAxleM + car.Geometry.SprungCentreBehindFrontAxleM.StandardUncertainty });
        Add("height of the centre of gravity", "Measure it with the rear axle raised.", terms with { CentreHeightM = terms.CentreHeightM + car.Geometry.CentreHeightM.StandardUncertainty });
        Add("wheelbase", "Measure it.", terms with { WheelbaseM = terms.WheelbaseM + car.Geometry.WheelbaseM.StandardUncertainty });
    }

    private void AddAccelerometers()
    {
        Run run = wheels.Run;
        bool hasX = run.Has(ChannelRole.AccelerationX);
        bool hasZ = run.Has(ChannelRole.AccelerationZ);
        string remark = "Standstill on level ground, and accelerometers that drift less.";
        double offset = still.Count > 0 ? options.AccelerometerDriftMps2 : double.Hypot(options.AccelerometerDriftMps2, options.AccelerometerOffsetMps2);
        Add("longitudinal accelerometer", hasX ? remark : "Log the longitudinal acceleration.", terms with { OffsetX = terms.OffsetX + (hasX ? offset : UnmeasuredGradientMps2) });
        Add("vertical accelerometer", hasZ ? remark : "Log the vertical acceleration.", terms with { OffsetZ = terms.OffsetZ + (hasZ ? offset : UnmeasuredVerticalMps2) });
        Add("gain of the longitudinal accelerometer", "A calibration.", terms with { GainX = 1 + (run.Car.Mapping(ChannelRole.AccelerationX)?.GainUncertainty ?? 0) });
        Add("gain of the vertical accelerometer", "A calibration.", terms with { GainZ = 1 + (run.Car.Mapping(ChannelRole.AccelerationZ)?.GainUncertainty ?? 0) });
    }

    private void AddFlow(AirState air)
    {
        AeroModel model = fit.Model;
        parts.Add(new SystematicPart(
            "air density",
            air.IsAssumed ? "Log or note temperature and pressure." : "A nearer weather station.",
            (_, _, _) => (0, 0),
            air.StandardUncertaintyKgM3 / air.DensityKgM3));
        ChannelRole role = wheels.Run.Has(ChannelRole.AirSpeed) ? ChannelRole.AirSpeed : ChannelRole.Speed;
        double gain = wheels.Run.Car.Mapping(role)?.GainUncertainty ?? 0;
        if (gain > 0)
        {
            parts.Add(new SystematicPart(
                role == ChannelRole.AirSpeed ? "gain of the air speed" : "gain of the speed",
                "Check the speed against satellite speed.",
                (speed, _, _) =>
                {
                    (double front, double rear, _, _) = model.Steady(speed, fit.Theta);
                    (double slowerFront, double slowerRear, _, _) = model.Steady(speed * (1 - gain), fit.Theta);
                    return (slowerFront - front, slowerRear - rear);
                }));
        }

        if (!model.HasWind && role == ChannelRole.Speed)
        {
            // A steady head wind that nobody saw, the same on every pass: the load at a stated air speed is then read at a wrong one.
            double wind = options.AssumedWindMps;
            double[] front = new double[used.Count];
            double[] rear = new double[used.Count];
            double[] row = new double[model.Count];
            for (int i = 0; i < used.Count; i++)
            {
                ModelWindow window = AeroEstimate.ForModel(used[i], VerticalBalance.Of(used[i], terms), still.Remainder(terms), double.NaN, -still.AccelerationX);
                (_, _, double frontPerWind, double rearPerWind) = model.At(window, fit.Theta, row, new double[model.Count]);
                front[i] = frontPerWind * wind;
                rear[i] = rearPerWind * wind;
            }

            Add("wind", "An air-speed channel, or a course or yaw-rate channel and straights of two headings.", fit.Influence(front, rear));
        }
    }

    private void Add(string name, string remark, BalanceTerms moved)
    {
        double[] front = new double[used.Count];
        double[] rear = new double[used.Count];
        (double frontRemainder, double rearRemainder) = still.Remainder(terms);
        (double movedFrontRemainder, double movedRearRemainder) = still.Remainder(moved);
        double largest = 0;
        for (int i = 0; i < used.Count; i++)
        {
            (double f, double r) = VerticalBalance.Of(used[i], terms);
            (double movedF, double movedR) = VerticalBalance.Of(used[i], moved);
            front[i] = (movedF - movedFrontRemainder) - (f - frontRemainder);
            rear[i] = (movedR - movedRearRemainder) - (r - rearRemainder);
            largest = Math.Max(largest, Math.Max(Math.Abs(front[i]), Math.Abs(rear[i])));
        }

        if (largest > 0)
        {
            Add(name, remark, fit.Influence(front, rear));
        }
    }

    private void Add(string name, string remark, Vector<double> moved) => parts.Add(new SystematicPart(
        name,
        remark,
        (_, front, rear) => (front * moved, rear * moved)));

    private static double[] One(int corner, double value) =>
        [.. Enumerable.Range(0, 4).Select(c => c == corner ? value : 0)];

    private static double[] OnePlus(int first, int last, double value) =>
        [.. Enumerable.Range(0, 4).Select(c => c >= first && c <= last ? 1 + value : 1)];
}
