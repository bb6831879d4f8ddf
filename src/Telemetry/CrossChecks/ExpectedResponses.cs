using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.CrossChecks;

/// <summary>What the car file says that wheels should carry and travel, for the motions of a stated size; per wheel, in N and m.</summary>
internal sealed class ExpectedResponses
{
    /// <summary>Moment about the roll axes for 1 g, N m: what both axles' wheel loads must hold together.</summary>
    public required double RollMomentNm { get; init; }

    /// <summary>Its allowance, share.</summary>
    public required double RollMomentShare { get; init; }

    /// <summary>Front share of it; one half when rates are not given.</summary>
    public required double RollSplit { get; init; }

    /// <summary>Its allowance.</summary>
    public required double RollSplitDeviation { get; init; }

    /// <summary>Load a wheel for 1 g of braking, N; to the front positive.</summary>
    public required PerAxle<double> BrakingN { get; init; }

    /// <summary>Load a wheel for 0.5 g of driving, N.</summary>
    public required PerAxle<double> DrivingN { get; init; }

    /// <summary>Load a wheel for 1 g more of vertical specific force, N.</summary>
    public required PerAxle<double> VerticalN { get; init; }

    /// <summary>Wheel travel over wheel load in roll, m/N; null without spring or bar rates.</summary>
    public required PerAxle<double?> RollCompliance { get; init; }

    private PerAxle<Func<double, double>?> HeaveLaw { get; init; } = new(null, null);

    public static ExpectedResponses Of(Run run, CrossCheckOptions options)
    {
        CarDefinition car = run.Car;
        CarGeometry geometry = car.Geometry;
        double mass = car.Masses.WithoutFuelKg.Value + FuelOnBoard.At(run, run.Count / 2);
        PerAxle<double> unsprung = car.Masses.UnsprungKg;
        double sprung = mass - unsprung.Front - unsprung.Rear;
        double wheelbase = geometry.WheelbaseM.Value;
        double behind = geometry.SprungCentreBehindFrontAxleM.Value / wheelbase;

        // A wheel's centre lies a tyre's radius above the road: 0.3 m where the car file does not say.
        PerAxle<double> wheelHeight = geometry.UnsprungCentreHeightM ?? new(0.3, 0.3);
        double sprungHeight = ((mass * geometry.CentreHeightM.Value) - (unsprung.Front * wheelHeight.Front) - (unsprung.Rear * wheelHeight.Rear)) / sprung;
        PerAxle<double> rollCentre = geometry.RollCentreHeightM ?? new(0.03, 0.05);
        double moment = sprung * StandardGravity.Mps2 * (sprungHeight - ((1 - behind) * rollCentre.Front) - (behind * rollCentre.Rear));
        double unknownCentre = geometry.RollCentreHeightM is null ? 0.05 / sprungHeight : 0;
        double height = geometry.CentreHeightM.StandardUncertainty / sprungHeight;
        PerAxle<double?> compliance = new(Roll(car.Suspension.Front), Roll(car.Suspension.Rear));
        (double split, double splitDeviation) = Split(car, compliance, options);
        double transfer = mass * StandardGravity.Mps2 * geometry.CentreHeightM.Value / wheelbase / 2;
        return new()
        {
            RollMomentNm = moment,
            RollMomentShare = double.Hypot(options.RollMomentShare, double.Hypot(unknownCentre, height)),
            RollSplit = split,
            RollSplitDeviation = splitDeviation,
            BrakingN = new(transfer * (1 - car.Suspension.Front.LinkageShareBraking), -transfer * (1 - car.Suspension.Rear.LinkageShareBraking)),
            DrivingN = new(-transfer / 2 * (1 - car.Suspension.Front.LinkageShareDriving), transfer / 2 * (1 - car.Suspension.Rear.LinkageShareDriving)),
            VerticalN = new(sprung * StandardGravity.Mps2 * (1 - behind) / 2, sprung * StandardGravity.Mps2 * behind / 2),
            RollCompliance = compliance,
            HeaveLaw = new(Heave(car.Suspension.Front), Heave(car.Suspension.Rear)),
        };
    }

    /// <summary>Wheel travel over wheel load when both wheels of an axle carry more, m/N: the secant up to a load above static; null without spring rates.</summary>
    /// <param name="axle">The axle.</param>
    /// <param name="loadN">Load above static a wheel, N; 0 gives the slope at the static position.</param>
    public double? HeaveCompliance(Axle axle, double loadN)
    {
        if (HeaveLaw[axle] is not { } law)
        {
            return null;
        }

        const double SmallM = 1e-4;
        double target = Math.Abs(loadN);
        double sign = loadN < 0 ? -1 : 1;
        double at = SmallM;
        if (sign * (law(sign * at) - law(0)) < target)
        {
            // The law only rises, so halving finds the travel; a load that 0.2 m do not make is another unit, and its end is as good as any.
            double low = 0;
            double high = 0.2;
            for (int i = 0; i < 40; i++)
            {
                at = (low + high) / 2;
                (low, high) = sign * (law(sign * at) - law(0)) < target ? (at, high) : (low, at);
            }
        }

        return at / Math.Max(sign * (law(sign * at) - law(0)), 1e-9);
    }

    /// <summary>Wheel load against wheel travel of both wheels together, N against m; the ratios as at the static position.</summary>
    private static Func<double, double>? Heave(AxleSuspension axle)
    {
        if (axle.SpringRateNpm is not { } spring)
        {
            return null;
        }

        double ratio = axle.DamperRatio.At(0);
        return travel => ratio * ((spring * ratio * travel) + (axle.Third is { } third ? ThirdForceN(third, ratio * travel) / 2 : 0));
    }

    private static double? Roll(AxleSuspension axle)
    {
        if (axle.SpringRateNpm is not { } spring)
        {
            return null;
        }

        double ratio = axle.DamperRatio.At(0);
        return 1 / ((ratio * ratio * spring) + (axle.AntiRollBarRateNpm ?? 0));
    }

    /// <summary>Front share of the elastic roll moment: stiffness of springs, bar and tyres in series.</summary>
    private static (double Split, double Deviation) Split(CarDefinition car, PerAxle<double?> compliance, CrossCheckOptions options)
    {
        if (compliance.Front is not { } front || compliance.Rear is not { } rear
            || car.Suspension.Front.TyreRateNpm is not { } frontTyre || car.Suspension.Rear.TyreRateNpm is not { } rearTyre)
        {
            return (0.5, 0.25);
        }

        double ofFront = car.Geometry.TrackM.Front * car.Geometry.TrackM.Front / (front + (1 / frontTyre));
        double ofRear = car.Geometry.TrackM.Rear * car.Geometry.TrackM.Rear / (rear + (1 / rearTyre));
        return (ofFront / (ofFront + ofRear), options.RollSplit);
    }

    /// <summary>Force of a third element at a mean damper travel, N; beyond the rubber's last point its last slope goes on.</summary>
    private static double ThirdForceN(ThirdElement third, double travelM)
    {
        double force = third.SpringRateNpm * Math.Max(0, travelM - third.SpringGapM);
        if (third.RubberGapM is not { } gap || third.Rubber.IsDefault || third.Rubber.Length < 2 || travelM <= gap)
        {
            return force;
        }

        int k = 1;
        while (k < third.Rubber.Length - 1 && travelM - gap > third.Rubber[k].CompressionM)
        {
            k++;
        }

        ForcePoint before = third.Rubber[k - 1];
        double slope = (third.Rubber[k].ForceN - before.ForceN) / (third.Rubber[k].CompressionM - before.CompressionM);
        return force + before.ForceN + (slope * (travelM - gap - before.CompressionM));
    }
}
