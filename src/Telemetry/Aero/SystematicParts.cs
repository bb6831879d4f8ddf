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
        ModelWindow[] rows,
        IReadOnlyList<RunWindow> used,
        BalanceTerms terms,
        Standstills still,
        AirState air,
        IReadOnlyList<Prior> priors,
        double unknownWindMps)
    {
        SystematicParts list = new(wheels, options, fit, used, terms, still);
        list.AddCells();
        list.AddCar();
        list.AddAccelerometers();
        list.AddFlow(air, rows, unknownWindMps);
        foreach (Prior prior in priors)
        {
            Vector<double> moved = fit.Influence(prior);
            list.parts.Add(new SystematicPart(prior.Name, RemarkOf(prior.Name), (_, front, rear) => (front * moved, rear * moved)) { IsPrior = true, Input = In(prior.StandardDeviation, list.UnitOf(prior)) });
        }

        return list.parts;
    }

    private string UnitOf(Prior prior) => prior.Name == AeroEstimate.WindPrior ? "m/s" : fit.Model.Basis is RideHeightBasis ? prior.Name == AeroEstimate.HeightPrior ? "m2/mm" : "m2/mm2" : prior.Name == AeroEstimate.PitchPrior ? "m2 per m/s2" : "m2";

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
            Add($"zero {corner.Code()}", In(zero, "N at the wheel"), remark, terms with { LoadOffsetN = One(c, zero) });
            double gain = wheels.Pushrods.GainUncertainty(corner);
            Add($"gain {corner.Code()}", In(gain, "%", 100), "A calibration of the load cell.", terms with { LoadFactor = OnePlus(c, c, gain) });
        }

        // While the car sinks with speed the joints hold it up on both sides alike, beside the pushrods; a quiet road does not shake that off.
        double[] friction = [.. Corners.All.Select(c => FrictionAtWheelN(c))];
        Add("friction of the joints, front", In((friction[0] + friction[1]) / 2, "N a wheel"), FrictionRemark, terms with { LoadOffsetN = [friction[0], friction[1], 0, 0] });
        Add("friction of the joints, rear", In((friction[2] + friction[3]) / 2, "N a wheel"), FrictionRemark, terms with { LoadOffsetN = [0, 0, friction[2], friction[3]] });
        double front = run.Car.Suspension.Front.InstallationRatio.RelativeUncertainty;
        double rear = run.Car.Suspension.Rear.InstallationRatio.RelativeUncertainty;
        Add("ratio front", In(front, "%", 100), "Measure the installation ratio on the car.", terms with { LoadFactor = OnePlus(0, 1, front) });
        Add("ratio rear", In(rear, "%", 100), "Measure the installation ratio on the car.", terms with { LoadFactor = OnePlus(2, 3, rear) });
    }

    private const string FrictionRemark = "Joints that move freely, and standstills reached from both sides.";

    /// <summary>
    /// What joints carry beside the pushrod while driving: as much as the zero stage finds at standstill, or assumes. It is not corrected: its sign is known (it takes from the load
    /// while the car sinks), its size is not.
    /// </summary>
    private double FrictionAtWheelN(Corner corner)
    {
        RatioCurve ratio = wheels.Run.Car.Suspension[corner.Axle()].InstallationRatio;
        double at = ratio.At(0);
        return wheels.Pushrods.Zeros[corner].Budget.FrictionN * (double.IsFinite(at) ? at : ratio.Points[0].Ratio);
    }

    /// <summary>
    /// What the zero leaves in the change from standstill. The installation ratio cancels, since it goes in again with every load, and so does what a cell should have read at
    /// standstill (corner weight, unsprung mass, the mass-based split): with expected load E the zero is R_s - E / i_s, so the change i (R - z) - E is i (R - R_s) + (i / i_s - 1) E, and
    /// the ratio of a real linkage moves by a few percent over its travel. A borrowed zero, and one from stands alone, leave all of theirs: there is no standstill on the ground that
    /// anything could cancel against.
    /// </summary>
    private double ZeroUncertaintyN(Corner corner)
    {
        CornerZero zero = wheels.Pushrods.Zeros[corner];
        if (still.Count == 0 || zero.Source == ZeroSource.Borrowed)
        {
            return zero.StandardUncertaintyN;
        }

        double cancels = double.Hypot(zero.Budget.RatioN, zero.Source is ZeroSource.GroundCornerWeights or ZeroSource.GroundMassOnly ? zero.Budget.ExpectedN : 0);
        return Math.Sqrt(Math.Max(0, (zero.StandardUncertaintyN * zero.StandardUncertaintyN) - (cancels * cancels)));
    }

    private void AddCar()
    {
        CarDefinition car = wheels.Run.Car;
        Add("mass", In(car.Masses.WithoutFuelKg.StandardUncertainty, "kg"), "Weigh the car as it went out.", terms with { WithoutFuelKg = terms.WithoutFuelKg + car.Masses.WithoutFuelKg.StandardUncertainty });
        double fuelAtStart = car.Masses.FuelAtStartKg.StandardUncertainty;
        if (fuelAtStart > 0 && !wheels.Run.Has(ChannelRole.FuelMass))
        {
            Add("fuel at start", In(fuelAtStart, "kg"), "Weigh the fuel.", terms with { WithoutFuelKg = terms.WithoutFuelKg + fuelAtStart });
        }

        double burn = wheels.Run.Has(ChannelRole.FuelMass) ? 0 : options.FuelBurnShare;
        Add("fuel burned", In(burn, "%", 100), "Log the fuel mass.", terms with { BurnFactor = 1 + burn });
        Add("place of the centre of gravity", In(car.Geometry.SprungCentreBehindFrontAxleM.StandardUncertainty, "mm", 1000), "Corner weights of the car as it went out.", terms with { BehindFrontAxleM = terms.BehindFrontAxleM + car.Geometry.SprungCentreBehindFrontAxleM.StandardUncertainty });
        Add("height of the centre of gravity", In(car.Geometry.CentreHeightM.StandardUncertainty, "mm", 1000), "Measure it with the rear axle raised.", terms with { CentreHeightM = terms.CentreHeightM + car.Geometry.CentreHeightM.StandardUncertainty });
        Add("wheelbase", In(car.Geometry.WheelbaseM.StandardUncertainty, "mm", 1000), "Measure it.", terms with { WheelbaseM = terms.WheelbaseM + car.Geometry.WheelbaseM.StandardUncertainty });
        PerAxle<double> unsprung = car.Masses.UnsprungUncertaintyKg;
        Add("unsprung mass", In(double.Hypot(unsprung.Front, unsprung.Rear), "kg"), "Weigh wheels, uprights and half of the links.", terms with { UnsprungKg = terms.UnsprungKg + double.Hypot(unsprung.Front, unsprung.Rear) });
        double share = options.LinkageShareUncertainty;
        PerAxle<double> links = terms.LinkageShare;
        Add(
            "linkage shares",
            In(share, "of the transfer"),
            "Draw the side view of the suspension at ride height.",
            terms with { LinkageShare = new(links.Front > 0 ? links.Front + share : 0, links.Rear > 0 ? links.Rear + share : 0) });
    }

    private void AddAccelerometers()
    {
        Run run = wheels.Run;
        bool hasX = run.Has(ChannelRole.AccelerationX);
        bool hasZ = run.Has(ChannelRole.AccelerationZ);
        string remark = "Standstill on level ground, and accelerometers that drift less.";
        double offset = still.Count > 0 ? options.AccelerometerDriftMps2 : double.Hypot(options.AccelerometerDriftMps2, options.AccelerometerOffsetMps2);
        Add("longitudinal accelerometer", In(hasX ? offset : UnmeasuredGradientMps2, "m/s2"), hasX ? remark : "Log the longitudinal acceleration.", terms with { OffsetX = terms.OffsetX + (hasX ? offset : UnmeasuredGradientMps2) });
        double vertical = hasZ ? offset : UnmeasuredVerticalMps2;
        double shown = hasZ && still.DriftZ is { } drift ? Math.Min(vertical, double.Hypot(drift / Math.Sqrt(12), options.AccelerometerRepeatMps2)) : vertical;
        Add("vertical accelerometer", In(shown, "m/s2"), hasZ ? remark : "Log the vertical acceleration.", terms with { OffsetZ = terms.OffsetZ + shown });
        double hidden = Math.Sqrt((vertical * vertical) - (shown * shown));
        if (hidden > 0)
        {
            // Rectified vibration and the like: standstills cannot show it, and it comes back in every run of the car.
            Add("vertical accelerometer under way", In(hidden, "m/s2"), "An accelerometer that vibration does not shift.", terms with { OffsetZ = terms.OffsetZ + hidden });
        }

        Add("gain of the longitudinal accelerometer", In(run.Car.Mapping(ChannelRole.AccelerationX)?.GainUncertainty ?? 0, "%", 100), "A calibration.", terms with { GainX = 1 + (run.Car.Mapping(ChannelRole.AccelerationX)?.GainUncertainty ?? 0) });
        Add("gain of the vertical accelerometer", In(run.Car.Mapping(ChannelRole.AccelerationZ)?.GainUncertainty ?? 0, "%", 100), "A calibration.", terms with { GainZ = 1 + (run.Car.Mapping(ChannelRole.AccelerationZ)?.GainUncertainty ?? 0) });
    }

    private void AddFlow(AirState air, ModelWindow[] rows, double unknownWindMps)
    {
        AeroModel model = fit.Model;
        parts.Add(new SystematicPart(
            "air density",
            air.IsAssumed ? "Log or note temperature and pressure." : "A nearer weather station.",
            (_, _, _) => (0, 0),
            air.StandardUncertaintyKgM3 / air.DensityKgM3)
        {
            Input = In(air.StandardUncertaintyKgM3, "kg/m3"),
        });
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
                })
            {
                Input = In(gain, "%", 100),
            });
        }

        if (!model.HasWind && role == ChannelRole.Speed)
        {
            // A steady head wind that nobody saw, the same on every pass: the load at a stated air speed is then read at a wrong one.
            double[] front = new double[used.Count];
            double[] rear = new double[used.Count];
            double[] row = new double[model.Count];
            for (int i = 0; i < used.Count; i++)
            {
                (_, _, double frontPerWind, double rearPerWind) = model.At(rows[i], fit.Theta, row, new double[model.Count]);
                front[i] = frontPerWind * unknownWindMps;
                rear[i] = rearPerWind * unknownWindMps;
            }

            Add("wind", In(unknownWindMps, "m/s"), "An air-speed channel, or a course or yaw-rate channel and straights of two headings.", fit.Influence(front, rear));
        }
    }

    private void Add(string name, string input, string remark, BalanceTerms moved)
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
            Add(name, input, remark, fit.Influence(front, rear));
        }
    }

    private void Add(string name, string input, string remark, Vector<double> moved) => parts.Add(new SystematicPart(
        name,
        remark,
        (_, front, rear) => (front * moved, rear * moved))
    {
        Input = input,
    });

    private static string In(double value, string unit, double factor = 1) =>
        string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{value * factor:0.###} {unit}");

    private static double[] One(int corner, double value) =>
        [.. Enumerable.Range(0, 4).Select(c => c == corner ? value : 0)];

    private static double[] OnePlus(int first, int last, double value) =>
        [.. Enumerable.Range(0, 4).Select(c => c >= first && c <= last ? 1 + value : 1)];
}
