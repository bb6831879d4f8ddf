using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.WheelLoads;

/// <summary>Load between tyre and road: the wheel load and what the pushrod does not carry (equation E2).</summary>
/// <remarks>
/// Quasi-static: the unsprung mass is taken to move with the body, so its own hop (10 to 20 Hz) is not in it. Added to F at each corner:
/// half the axle's unsprung mass times the vertical specific force; the lateral transfer through the roll centre, m_s,axle * a_y * h_rc / t,
/// and of the unsprung mass, m_u * a_y * h_u / t, to the right for a left-hand turn; half the longitudinal transfer that links carry,
/// eta * m * a_x * h / L, off the front and onto the rear.
/// </remarks>
internal static class ContactPatch
{
    /// <summary>What is missing for a contact-patch load, as one sentence, or null.</summary>
    public static string? WhyNot(Run run)
    {
        List<string> missing = [];
        if (run.Car.Geometry.RollCentreHeightM is null)
        {
            missing.Add("the roll-centre heights in the car file");
        }

        if (run.Car.Geometry.UnsprungCentreHeightM is null)
        {
            missing.Add("the heights of the unsprung centres of gravity in the car file");
        }

        foreach ((ChannelRole role, string text) in new[]
        {
            (ChannelRole.AccelerationX, "longitudinal acceleration in the log"),
            (ChannelRole.AccelerationY, "lateral acceleration in the log"),
            (ChannelRole.AccelerationZ, "vertical acceleration in the log"),
        })
        {
            if (!run.Has(role))
            {
                missing.Add(text);
            }
        }

        return missing.Count == 0 ? null : $"Contact-patch loads need {string.Join(" and ", missing)}.";
    }

    /// <summary>Contact-patch loads, N; NaN where the wheel load or an acceleration is.</summary>
    public static PerCorner<ImmutableArray<double>> From(Run run, PerCorner<ImmutableArray<double>> wheelLoadN)
    {
        ImmutableArray<bool> braking = BrakeDemand.From(run);
        var loads = new ImmutableArray<double>[4];
        double mass = run.Car.Masses.WithoutFuelKg.Value + FuelOnBoard.At(run, 0);
        Parallel.For(0, 4, c =>
        {
            Corner corner = (Corner)c;
            Axle axle = corner.Axle();
            CarGeometry geometry = run.Car.Geometry;
            AxleSuspension suspension = run.Car.Suspension[axle];
            double wheelbase = geometry.WheelbaseM.Value;
            double behindFront = geometry.SprungCentreBehindFrontAxleM.Value;
            double share = axle == Axle.Front ? (wheelbase - behindFront) / wheelbase : behindFront / wheelbase;
            double unsprung = run.Car.Masses.UnsprungKg[axle];
            double sprung = (mass - run.Car.Masses.UnsprungKg.Front - run.Car.Masses.UnsprungKg.Rear) * share;
            double lateral = ((sprung * geometry.RollCentreHeightM![axle]) + (unsprung * geometry.UnsprungCentreHeightM![axle])) / geometry.TrackM[axle];
            double signedLateral = corner.IsLeft() ? -lateral : lateral;
            double longitudinal = (axle == Axle.Front ? -0.5 : 0.5) * mass * geometry.CentreHeightM.Value / wheelbase;
            ReadOnlySpan<double> ax = run.OnClock(ChannelRole.AccelerationX);
            ReadOnlySpan<double> ay = run.OnClock(ChannelRole.AccelerationY);
            ReadOnlySpan<double> az = run.OnClock(ChannelRole.AccelerationZ);
            ReadOnlySpan<double> wheel = wheelLoadN[corner].AsSpan();
            ReadOnlySpan<bool> brakes = braking.AsSpan();
            double[] load = new double[wheel.Length];
            for (int i = 0; i < load.Length; i++)
            {
                double eta = brakes[i] ? suspension.LinkageShareBraking : suspension.LinkageShareDriving;
                load[i] = wheel[i] + (unsprung / 2 * az[i]) + (signedLateral * ay[i]) + (eta * longitudinal * ax[i]);
            }

            loads[c] = ImmutableCollectionsMarshal.AsImmutableArray(load);
        });
        return PerCorner.Of(corner => loads[(int)corner]);
    }
}
