using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Car;

namespace Telemetry.Output;

/// <summary>The fields of the car file that a comparison of two runs looks at.</summary>
internal static class CarBasis
{
    /// <summary>Basis: what turns a pushrod load into a wheel load. Setup: what a team weighs or sets anew between runs.</summary>
    public static SummaryCar Of(CarDefinition car)
    {
        ImmutableArray<SummaryField>.Builder basis = ImmutableArray.CreateBuilder<SummaryField>();
        basis.Add(Field("wheelbase", Metres(car.Geometry.WheelbaseM.Value)));
        Axles(basis, "track", car.Geometry.TrackM, Metres);
        Axles(basis, "installation ratio", new PerAxle<RatioCurve>(car.Suspension.Front.InstallationRatio, car.Suspension.Rear.InstallationRatio), Curve);
        Axles(basis, "damper ratio", new PerAxle<RatioCurve>(car.Suspension.Front.DamperRatio, car.Suspension.Rear.DamperRatio), Curve);
        Axles(basis, "linkage share braking", new PerAxle<double>(car.Suspension.Front.LinkageShareBraking, car.Suspension.Rear.LinkageShareBraking), Plain);
        Axles(basis, "linkage share driving", new PerAxle<double>(car.Suspension.Front.LinkageShareDriving, car.Suspension.Rear.LinkageShareDriving), Plain);

        ImmutableArray<SummaryField>.Builder setup = ImmutableArray.CreateBuilder<SummaryField>();
        setup.Add(Field("mass without fuel", Kilograms(car.Masses.WithoutFuelKg.Value)));
        setup.Add(Field("fuel at start", Kilograms(car.Masses.FuelAtStartKg.Value)));
        Axles(setup, "unsprung mass", car.Masses.UnsprungKg, Kilograms);
        setup.Add(Field("sprung centre of gravity behind front axle", Metres(car.Geometry.SprungCentreBehindFrontAxleM.Value)));
        setup.Add(Field("centre of gravity height", Metres(car.Geometry.CentreHeightM.Value)));
        if (car.Setup.RideHeightM is PerAxle<double> heights)
        {
            Axles(setup, "static ride height", heights, Metres);
        }

        return new(car.Name, basis.ToImmutable(), setup.ToImmutable());
    }

    private static void Axles<T>(ImmutableArray<SummaryField>.Builder fields, string name, PerAxle<T> values, Func<T, string> text)
    {
        fields.Add(Field(name + " front", text(values.Front)));
        fields.Add(Field(name + " rear", text(values.Rear)));
    }

    private static SummaryField Field(string name, string value) => new(name, value);

    private static string Plain(double value) => value.ToString("G9", CultureInfo.InvariantCulture);

    private static string Metres(double value) => Plain(value) + " m";

    private static string Kilograms(double value) => Plain(value) + " kg";

    private static string Curve(RatioCurve curve) =>
        curve.IsConstant
            ? Plain(curve.Points[0].Ratio)
            : string.Join("; ", curve.Points.Select(point => $"{Plain(point.Ratio)} at {Metres(point.DamperTravelM)}"));
}
