using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Car;

namespace Telemetry.Comparison;

/// <summary>The fields of the car file that a comparison looks at, as text.</summary>
/// <param name="Basis">What turns a pushrod load into a wheel load.</param>
/// <param name="Setup">What a team weighs or sets anew between runs.</param>
public sealed record CarStatement(ImmutableArray<StatedField> Basis, ImmutableArray<StatedField> Setup)
{
    /// <summary>The fields of a car.</summary>
    public static CarStatement Of(CarDefinition car)
    {
        ArgumentNullException.ThrowIfNull(car);
        ImmutableArray<StatedField>.Builder basis = ImmutableArray.CreateBuilder<StatedField>();
        basis.Add(new("wheelbase", Metres(car.Geometry.WheelbaseM.Value)));
        Axles(basis, "track", car.Geometry.TrackM, Metres);
        Axles(basis, "installation ratio", new PerAxle<RatioCurve>(car.Suspension.Front.InstallationRatio, car.Suspension.Rear.InstallationRatio), Curve);
        Axles(basis, "damper ratio", new PerAxle<RatioCurve>(car.Suspension.Front.DamperRatio, car.Suspension.Rear.DamperRatio), Curve);
        Axles(basis, "linkage share braking", new PerAxle<double>(car.Suspension.Front.LinkageShareBraking, car.Suspension.Rear.LinkageShareBraking), Plain);
        Axles(basis, "linkage share driving", new PerAxle<double>(car.Suspension.Front.LinkageShareDriving, car.Suspension.Rear.LinkageShareDriving), Plain);

        ImmutableArray<StatedField>.Builder setup = ImmutableArray.CreateBuilder<StatedField>();
        setup.Add(new("mass without fuel", Kilograms(car.Masses.WithoutFuelKg.Value)));
        setup.Add(new("fuel at start", Kilograms(car.Masses.FuelAtStartKg.Value)));
        if (car.Setup.CornerWeightN is { } weights)
        {
            setup.Add(new(CornerWeights, string.Join(" ", Corners.All.Select(corner => Plain(weights[corner]))) + " N"));
        }

        Axles(setup, "unsprung mass", car.Masses.UnsprungKg, Kilograms);
        setup.Add(new("sprung centre of gravity behind front axle", Metres(car.Geometry.SprungCentreBehindFrontAxleM.Value)));
        setup.Add(new("centre of gravity height", Metres(car.Geometry.CentreHeightM.Value)));
        if (car.Setup.RideHeightM is PerAxle<double> heights)
        {
            Axles(setup, "static ride height", heights, Metres);
        }

        if (car.Suspension.Front.TyreRateNpm is double front && car.Suspension.Rear.TyreRateNpm is double rear)
        {
            Axles(setup, TyreRate, new PerAxle<double>(front, rear), rate => Plain(rate) + " N/m");
        }

        return new(basis.ToImmutable(), setup.ToImmutable());
    }

    /// <summary>How the fields of the tyres begin.</summary>
    internal const string TyreRate = "tyre rate";

    /// <summary>Field of the corner weights.</summary>
    internal const string CornerWeights = "corner weights";

    /// <summary>Fields that say how a run went out and not how the car was set: a heavier tank makes no other setup.</summary>
    internal static bool TellsSetup(StatedField field) => field.Name is not ("fuel at start" or "mass without fuel" or CornerWeights);

    private static void Axles<T>(ImmutableArray<StatedField>.Builder fields, string name, PerAxle<T> values, Func<T, string> text)
    {
        fields.Add(new(name + " front", text(values.Front)));
        fields.Add(new(name + " rear", text(values.Rear)));
    }

    private static string Plain(double value) => value.ToString("G9", CultureInfo.InvariantCulture);

    private static string Metres(double value) => Plain(value) + " m";

    private static string Kilograms(double value) => Plain(value) + " kg";

    private static string Curve(RatioCurve curve) =>
        curve.IsConstant
            ? Plain(curve.Points[0].Ratio)
            : string.Join("; ", curve.Points.Select(point => $"{Plain(point.Ratio)} at {Metres(point.DamperTravelM)}"));
}
