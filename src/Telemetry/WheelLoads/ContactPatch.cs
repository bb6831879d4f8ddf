using System.Collections.Immutable;
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

    /// <summary>Contact-patch loads, N, made when they are read; NaN where the wheel load or an acceleration is.</summary>
    public static PerCorner<SampleSource> From(Run run, PerCorner<SampleSource> wheelLoadN)
    {
        ImmutableArray<bool> braking = BrakeDemand.From(run);
        double mass = run.Car.Masses.WithoutFuelKg.Value + FuelOnBoard.At(run, 0);
        return PerCorner.Of(corner => (SampleSource)new Load(run, Terms.Of(run.Car, corner, mass), wheelLoadN[corner], braking));
    }

    /// <summary>What equation E2 multiplies a corner's accelerations by.</summary>
    /// <param name="HalfUnsprungKg">Half the axle's unsprung mass, kg.</param>
    /// <param name="LateralKg">N of transfer to this corner for each m/s2 to the left.</param>
    /// <param name="LongitudinalKg">N of transfer to this corner for each m/s2 forward, all of it.</param>
    /// <param name="ShareBraking">Share of it that links carry under braking.</param>
    /// <param name="ShareDriving">The same while driving.</param>
    private readonly record struct Terms(double HalfUnsprungKg, double LateralKg, double LongitudinalKg, double ShareBraking, double ShareDriving)
    {
        public static Terms Of(CarDefinition car, Corner corner, double mass)
        {
            Axle axle = corner.Axle();
            CarGeometry geometry = car.Geometry;
            AxleSuspension suspension = car.Suspension[axle];
            double wheelbase = geometry.WheelbaseM.Value;
            double behindFront = geometry.SprungCentreBehindFrontAxleM.Value;
            double share = axle == Axle.Front ? (wheelbase - behindFront) / wheelbase : behindFront / wheelbase;
            double unsprung = car.Masses.UnsprungKg[axle];
            double sprung = (mass - car.Masses.UnsprungKg.Front - car.Masses.UnsprungKg.Rear) * share;
            double lateral = ((sprung * geometry.RollCentreHeightM![axle]) + (unsprung * geometry.UnsprungCentreHeightM![axle])) / geometry.TrackM[axle];
            double signedLateral = corner.IsLeft() ? -lateral : lateral;
            double longitudinal = (axle == Axle.Front ? -0.5 : 0.5) * mass * geometry.CentreHeightM.Value / wheelbase;
            return new(unsprung / 2, signedLateral, longitudinal, suspension.LinkageShareBraking, suspension.LinkageShareDriving);
        }
    }

    private sealed class Load(Run run, Terms terms, SampleSource wheelN, ImmutableArray<bool> braking) : SampleSource(wheelN.Length)
    {
        internal override SampleSource Over(Func<SampleSource, SampleSource> part) => new Load(run, terms, part(wheelN), braking);

        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            // A sample is written where it was read from, or beside what is kept.
            ReadOnlySpan<double> wheel = wheelN.Read(start, count, room);
            Span<double> load = room[..count];
            int most = Math.Min(Together, count);
            Span<double> beside = stackalloc double[3 * most];
            for (int at = 0; at < count; at += Together)
            {
                int some = Math.Min(Together, count - at);
                ReadOnlySpan<double> ax = run.OnClock(ChannelRole.AccelerationX).Read(start + at, some, beside[..most]);
                ReadOnlySpan<double> ay = run.OnClock(ChannelRole.AccelerationY).Read(start + at, some, beside[most..(2 * most)]);
                ReadOnlySpan<double> az = run.OnClock(ChannelRole.AccelerationZ).Read(start + at, some, beside[(2 * most)..]);
                ReadOnlySpan<bool> brakes = braking.AsSpan().Slice(start + at, some);
                for (int i = 0; i < some; i++)
                {
                    double eta = brakes[i] ? terms.ShareBraking : terms.ShareDriving;
                    load[at + i] = wheel[at + i] + (terms.HalfUnsprungKg * az[i]) + (terms.LateralKg * ay[i]) + (eta * terms.LongitudinalKg * ax[i]);
                }
            }

            return load;
        }
    }
}
