using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Platform;

/// <summary>Stiffness of both axles in heave and roll from loads and wheel travels, and of the whole car in heave, pitch, roll and warp.</summary>
/// <remarks>
/// Slope of load against travel by an instrument, so that errors of the travel do not flatten it (A. Wald, Ann. Math. Statist. 11 (1940) 284, for the idea;
/// from memory): dynamic pressure (v squared) for heave, lateral specific force for roll. Neither hangs on the error of a travel. What the car file gives over
/// the same travels goes through the same formula, so that a rubber's bend counts alike on both sides. Modes follow from the axles: heave kf + kr,
/// pitch a^2 kf + b^2 kr, roll Kf + Kr, warp with load and travel as E3 has them.
/// </remarks>
internal static class ModeStiffnesses
{
    /// <summary>Rates on a data sheet and of a bar's bushes are good to this share; common practice, no source.</summary>
    private const double FileShare = 0.03;

    private const double WidestShare = 0.25;

    /// <summary>The modes in a fixed order; empty without all four travels.</summary>
    public static ImmutableArray<ModeStiffness> From(PlatformBlocks blocks)
    {
        if (blocks.WheelM is not { } wheel || blocks.DamperM is not { } damper || blocks.Groups < 3 || blocks.Means.AccelerationY is not { } lateral)
        {
            return [];
        }

        CarDefinition car = blocks.Run.Car;
        double wheelbase = car.Geometry.WheelbaseM.Value;
        double a = car.Geometry.SprungCentreBehindFrontAxleM.Value;
        double tf = car.Geometry.TrackM.Front * car.Geometry.TrackM.Front / 2;
        double tr = car.Geometry.TrackM.Rear * car.Geometry.TrackM.Rear / 2;
        Slopes hf = Heave(blocks, wheel, damper, lateral, Axle.Front);
        Slopes hr = Heave(blocks, wheel, damper, lateral, Axle.Rear);
        Slopes rf = Roll(blocks, wheel, damper, lateral, Axle.Front);
        Slopes rr = Roll(blocks, wheel, damper, lateral, Axle.Rear);
        double gain = Gain(car);
        return
        [
            Make("heave, front axle", "N/m", (f, _, _, _) => f),
            Make("heave, rear axle", "N/m", (_, r, _, _) => r),
            Make("heave, whole car", "N/m", (f, r, _, _) => f + r),
            Make("pitch, whole car", "N m/rad", (f, r, _, _) => (a * a * f) + ((wheelbase - a) * (wheelbase - a) * r)),
            Make("roll, front axle", "N m/rad", (_, _, f, _) => tf * f),
            Make("roll, rear axle", "N m/rad", (_, _, _, r) => tr * r),
            Make("roll, whole car", "N m/rad", (_, _, f, r) => (tf * f) + (tr * r)),
            Make("warp, whole car", "N/m", (_, _, f, r) => 2 * (f + r)),
        ];

        ModeStiffness Make(string name, string unit, Func<double, double, double, double, double> of)
        {
            double value = of(hf.Measured, hr.Measured, rf.Measured, rr.Measured);
            double file = of(hf.File, hr.File, rf.File, rr.File);
            double[] without = [.. Enumerable.Range(0, blocks.Groups).Select(g => of(hf.Without[g], hr.Without[g], rf.Without[g], rr.Without[g]))];
            Estimate? estimate = GroupJackknife.Of(value, without, gain * Math.Abs(value));
            double? stated = double.IsFinite(file) ? file : null;
            if (estimate is null || !(value > 0) || estimate.HalfWidth > WidestShare * value)
            {
                return new(name, unit, null, stated, "withheld: the quiet tenths of a second do not tie load to travel closely enough in this mode");
            }

            if (stated is not double expected)
            {
                return new(name, unit, estimate, null, "the car file gives too little to compare");
            }

            double allowance = FileShare * expected;
            double off = 100 * ((value / expected) - 1);
            string verdict = expected + allowance >= estimate.Low95 && expected - allowance <= estimate.High95
                ? "agrees with the car file"
                : FormattableString.Invariant($"{Math.Abs(off):0} % {(off > 0 ? "stiffer" : "softer")} than the car file");
            return new(name, unit, estimate, stated, verdict);
        }
    }

    /// <summary>Standard uncertainty of a slope that all blocks share: gains of the cells and travels of an axle, installation ratio, damper ratio.</summary>
    private static double Gain(CarDefinition car)
    {
        double cell = car.Mapping(ChannelRole.PushrodLoadFL)?.GainUncertainty ?? 0;
        double travel = car.Mapping(ChannelRole.DamperTravelFL)?.GainUncertainty ?? 0;
        double ratio = Math.Max(car.Suspension.Front.InstallationRatio.RelativeUncertainty, car.Suspension.Rear.InstallationRatio.RelativeUncertainty);
        double damper = Math.Max(car.Suspension.Front.DamperRatio.RelativeUncertainty, car.Suspension.Rear.DamperRatio.RelativeUncertainty);
        return Math.Sqrt((((cell * cell) + (travel * travel)) / 2) + (ratio * ratio) + (damper * damper));
    }

    private static Slopes Heave(PlatformBlocks blocks, double[][] wheel, double[][] damper, double[] lateral, Axle axle)
    {
        int left = axle == Axle.Front ? 0 : 2;
        AxleSuspension suspension = blocks.Run.Car.Suspension[axle];
        double[] speed = blocks.Means.Speed!;
        return Slope(
            blocks,
            k => Math.Abs(lateral[k]) < 0.3 * StandardGravity.Mps2,
            k => speed[k] * speed[k],
            k => (wheel[left][k] + wheel[left + 1][k]) / 2,
            k => blocks.Means.LoadN[left][k] + blocks.Means.LoadN[left + 1][k],
            k => (Spring(suspension, damper[left][k]) + Spring(suspension, damper[left + 1][k]))
                + (Third(suspension, damper[left][k], damper[left + 1][k]) * (suspension.DamperRatio.At(damper[left][k]) + suspension.DamperRatio.At(damper[left + 1][k])) / 2));
    }

    private static Slopes Roll(PlatformBlocks blocks, double[][] wheel, double[][] damper, double[] lateral, Axle axle)
    {
        int left = axle == Axle.Front ? 0 : 2;
        AxleSuspension suspension = blocks.Run.Car.Suspension[axle];
        return Slope(
            blocks,
            _ => true,
            k => lateral[k],
            k => wheel[left + 1][k] - wheel[left][k],
            k => blocks.Means.LoadN[left + 1][k] - blocks.Means.LoadN[left][k],
            k => Spring(suspension, damper[left + 1][k]) - Spring(suspension, damper[left][k])
                + (Third(suspension, damper[left][k], damper[left + 1][k]) / 2 * (suspension.DamperRatio.At(damper[left + 1][k]) - suspension.DamperRatio.At(damper[left][k])))
                + ((suspension.AntiRollBarRateNpm ?? 0) * (wheel[left + 1][k] - wheel[left][k])));
    }

    /// <summary>Wheel load of the corner spring by the car file but for its preload, N.</summary>
    private static double Spring(AxleSuspension suspension, double damperM) =>
        suspension.SpringRateNpm is double rate ? suspension.DamperRatio.At(damperM) * rate * damperM : double.NaN;

    private static double Third(AxleSuspension suspension, double leftM, double rightM) =>
        suspension.Third is { } third ? ThirdElements.Force(third, (leftM + rightM) / 2) : 0;

    private static Slopes Slope(PlatformBlocks blocks, Func<int, bool> uses, Func<int, double> instrument, Func<int, double> travel, Func<int, double> load, Func<int, double> file)
    {
        Sums[] sums = new Sums[blocks.Groups];
        for (int i = 0; i < blocks.Quiet.Length; i++)
        {
            int k = blocks.Quiet[i];
            double z = instrument(k);
            double x = travel(k);
            double y = load(k);
            if (uses(k) && double.IsFinite(z + x + y))
            {
                sums[blocks.Group[i]] = sums[blocks.Group[i]].Plus(z, x, y, file(k));
            }
        }

        Sums all = sums.Aggregate(default(Sums), (s, one) => s.Plus(one, 1));
        return new(all.Slope(), all.FileSlope(), [.. sums.Select(one => all.Plus(one, -1).Slope())]);
    }

    private sealed record Slopes(double Measured, double File, double[] Without);

    private readonly record struct Sums(double N, double Z, double X, double Y, double F, double Zx, double Zy, double Zf)
    {
        public Sums Plus(double z, double x, double y, double f) => new(N + 1, Z + z, X + x, Y + y, F + f, Zx + (z * x), Zy + (z * y), Zf + (z * f));

        public Sums Plus(Sums o, double sign) =>
            new(N + (sign * o.N), Z + (sign * o.Z), X + (sign * o.X), Y + (sign * o.Y), F + (sign * o.F), Zx + (sign * o.Zx), Zy + (sign * o.Zy), Zf + (sign * o.Zf));

        public double Slope() => (Zy - (Z * Y / N)) / (Zx - (Z * X / N));

        public double FileSlope() => (Zf - (Z * F / N)) / (Zx - (Z * X / N));
    }
}
