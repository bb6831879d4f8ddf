using Telemetry.Car;

namespace Telemetry.Zero;

/// <summary>What a load cell should carry at standstill, and how sure that is.</summary>
/// <param name="LoadN">Pushrod load, N, compression positive.</param>
/// <param name="StandardUncertaintyN">Its standard uncertainty from weights and masses, N.</param>
/// <param name="RatioUncertaintyN">Its standard uncertainty from the installation ratio, N: in a wheel load it cancels, since the ratio goes in there again.</param>
/// <param name="Source">What it rests on.</param>
internal readonly record struct StaticLoad(double LoadN, double StandardUncertaintyN, double RatioUncertaintyN, ZeroSource Source)
{
    /// <summary>A hanging wheel's weight is known to about a twentieth where the car file gives no uncertainty: what of the links and the driveshaft hangs on it is a matter of definition (common practice, no source).</summary>
    private const double UnknownUnsprungShare = 0.05;

    /// <summary>On the ground: corner weight less unsprung weight, over the ratio; without corner weights the axle's share of the sprung weight, halved.</summary>
    /// <param name="car">The car.</param>
    /// <param name="corner">The corner.</param>
    /// <param name="fuelKg">Fuel on board then, kg.</param>
    /// <param name="options">The assumed split where no corner weights are given.</param>
    public static StaticLoad OnGround(CarDefinition car, Corner corner, double fuelKg, ZeroOptions options)
    {
        Axle axle = corner.Axle();
        RatioCurve curve = car.Suspension[axle].InstallationRatio;
        double ratio = curve.At(0);
        double wheelbase = car.Geometry.WheelbaseM.Value;
        double behindFront = car.Geometry.SprungCentreBehindFrontAxleM.Value;
        double axleShare = axle == Axle.Front ? (wheelbase - behindFront) / wheelbase : behindFront / wheelbase;
        double unsprungN = car.Masses.UnsprungKg[axle] / 2 * StandardGravity.Mps2;
        if (car.Setup.CornerWeightN is PerCorner<double> weights)
        {
            // The tank lies near the centre of gravity: fuel burned since weighing is taken off in the share of the sprung mass.
            double burnedKg = (car.Setup.FuelOnScalesKg ?? car.Masses.FuelAtStartKg.Value) - fuelKg;
            double wheelLoad = weights[corner] - unsprungN - (burnedKg * StandardGravity.Mps2 * axleShare / 2);
            double unsprungUncertaintyN = car.Masses.UnsprungUncertaintyKg[axle] / 2 * StandardGravity.Mps2;
            return new(
                wheelLoad / ratio,
                double.Hypot(car.Setup.CornerWeightUncertaintyN, unsprungUncertaintyN) / ratio,
                curve.RelativeUncertainty * Math.Abs(wheelLoad) / ratio,
                ZeroSource.GroundCornerWeights);
        }

        double sprungKg = car.Masses.WithoutFuelKg.Value + fuelKg - car.Masses.UnsprungKg.Front - car.Masses.UnsprungKg.Rear;
        double half = sprungKg * StandardGravity.Mps2 * axleShare / 2;
        double massShare = car.Masses.WithoutFuelKg.StandardUncertainty / sprungKg;
        double placeShare = car.Geometry.SprungCentreBehindFrontAxleM.StandardUncertainty / wheelbase / axleShare;
        double uncertainty = half * Math.Sqrt((massShare * massShare) + (placeShare * placeShare) + (options.UnknownSideShare * options.UnknownSideShare));
        return new(half / ratio, uncertainty / ratio, curve.RelativeUncertainty * half / ratio, ZeroSource.GroundMassOnly);
    }

    /// <summary>On stands: the hanging unsprung weight pulls.</summary>
    /// <param name="car">The car.</param>
    /// <param name="corner">The corner.</param>
    /// <param name="droopM">Damper travel there from the static position, m, negative.</param>
    public static StaticLoad OnStands(CarDefinition car, Corner corner, double droopM)
    {
        Axle axle = corner.Axle();
        RatioCurve curve = car.Suspension[axle].InstallationRatio;
        double ratio = curve.At(Math.Max(droopM, curve.LowestTravelM));
        double unsprungKg = car.Masses.UnsprungKg[axle] / 2;
        double unsprungN = unsprungKg * StandardGravity.Mps2;
        double given = car.Masses.UnsprungUncertaintyKg[axle] / 2 * StandardGravity.Mps2;
        double uncertainty = given > 0 ? given : UnknownUnsprungShare * unsprungN;
        return new(-unsprungN / ratio, uncertainty / ratio, curve.RelativeUncertainty * unsprungN / ratio, ZeroSource.Stands);
    }
}
