using MathNet.Numerics.LinearAlgebra;
using Telemetry.Car;

namespace Telemetry.Platform;

/// <summary>Where a standing car settles when pushrods change their length, and how its corner loads move.</summary>
/// <remarks>
/// Statics of a rigid body on four wheels, by hand: a pushrod that is longer by s pushes its wheel down by delta = s / i (virtual work, equation E1: the force at the wheel is i times that in the
/// pushrod, so the wheel's travel is 1 / i of the pushrod's). Rocker travel, as travel of the wheel, is then u = delta - Z - dF / k_t with Z the rise of the body over the wheel and k_t the tyre; the
/// rocker's springs, bar and third element give dF = K u. The body moves in heave, pitch and roll so that the sums of force and of both moments stay: B' dF = 0 with Z = B q.
/// Equal changes at both wheels of an axle are a heave and a pitch, so the body follows and no load moves; an unequal one also holds a warp, which only the corner loads can take.
/// </remarks>
public sealed class CornerStatics
{
    private readonly Matrix<double> stiffness;
    private readonly Matrix<double> places;

    private CornerStatics(Matrix<double> stiffness, Matrix<double> places, PerAxle<double> axleRate)
    {
        this.stiffness = stiffness;
        this.places = places;
        AxleRateNpm = axleRate;
    }

    /// <summary>Load on an axle a metre that its body sinks in heave of that axle, N/m, springs, third element and tyres together.</summary>
    public PerAxle<double> AxleRateNpm { get; }

    /// <summary>The statics of a car.</summary>
    /// <returns>Null when the car file lacks a spring or a tyre rate.</returns>
    public static CornerStatics? Of(CarDefinition car)
    {
        ArgumentNullException.ThrowIfNull(car);
        Matrix<double> rocker = Matrix<double>.Build.Dense(4, 4);
        Matrix<double> tyre = Matrix<double>.Build.Dense(4, 4);
        foreach (Axle axle in (Axle[])[Axle.Front, Axle.Rear])
        {
            AxleSuspension of = car.Suspension[axle];
            double d = of.DamperRatio.At(0);
            if (of.SpringRateNpm is not double spring || of.TyreRateNpm is not double tyreRate || !(tyreRate > 0) || !double.IsFinite(d))
            {
                return null;
            }

            int left = 2 * (int)axle;

            // A third element that has a gap at standstill does not work there; it acts on the mean of both dampers, half of its force at each.
            double third = of.Third is { SpringGapM: <= 0 } element ? element.SpringRateNpm * d * d / 4 : 0;
            double bar = (of.AntiRollBarRateNpm ?? 0) / 2;
            double own = (spring * d * d) + third + bar;
            (rocker[left, left], rocker[left + 1, left + 1]) = (own, own);
            (rocker[left, left + 1], rocker[left + 1, left]) = (third - bar, third - bar);
            (tyre[left, left], tyre[left + 1, left + 1]) = (1 / tyreRate, 1 / tyreRate);
        }

        Matrix<double> stiffness = (Matrix<double>.Build.DenseIdentity(4) + (rocker * tyre)).Solve(rocker);
        double toFront = car.Geometry.SprungCentreBehindFrontAxleM.Value;
        double toRear = car.Geometry.WheelbaseM.Value - toFront;
        Matrix<double> places = Matrix<double>.Build.DenseOfArray(new[,]
        {
            { 1, toFront, car.Geometry.TrackM.Front / 2 },
            { 1, toFront, -car.Geometry.TrackM.Front / 2 },
            { 1, -toRear, car.Geometry.TrackM.Rear / 2 },
            { 1, -toRear, -car.Geometry.TrackM.Rear / 2 },
        });
        return new(stiffness, places, new(
            stiffness.SubMatrix(0, 2, 0, 2).RowSums().Sum(),
            stiffness.SubMatrix(2, 2, 2, 2).RowSums().Sum()));
    }

    /// <summary>What a change of the pushrods' reach does at standstill.</summary>
    /// <param name="reachM">At each corner how far the wheel is pushed down against the body, s / i, m.</param>
    /// <returns>Rise of the body over each wheel, m, and change of each corner's load, N.</returns>
    public (PerCorner<double> RiseM, PerCorner<double> LoadN) Settle(PerCorner<double> reachM)
    {
        ArgumentNullException.ThrowIfNull(reachM);
        Vector<double> reach = Vector<double>.Build.Dense([reachM.FrontLeft, reachM.FrontRight, reachM.RearLeft, reachM.RearRight]);
        Matrix<double> pull = places.TransposeThisAndMultiply(stiffness);
        Vector<double> motion = (pull * places).Solve(pull * reach);
        Vector<double> rise = places * motion;
        Vector<double> load = stiffness * (reach - rise);
        return (Of(rise), Of(load));

        static PerCorner<double> Of(Vector<double> v) => new(v[0], v[1], v[2], v[3]);
    }

    /// <summary>Warp load (FL + RR) - (FR + RL) of equation E3 that a change of one corner's reach makes, N a metre.</summary>
    public double WarpPerReachNpm(Corner corner)
    {
        (_, PerCorner<double> load) = Settle(PerCorner.Of(c => c == corner ? 1.0 : 0));
        return load.FrontLeft + load.RearRight - load.FrontRight - load.RearLeft;
    }
}
