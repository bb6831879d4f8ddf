using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;
using Telemetry.Zero;

namespace Telemetry.WheelLoads;

/// <summary>Forms wheel loads and wheel travel from pushrod loads and damper travel (equations E1 and E2).</summary>
public static class WheelLoadFormation
{
    /// <summary>Wheel loads of all four corners.</summary>
    /// <param name="pushrods">Zeroed pushrod loads.</param>
    /// <param name="options">What to form.</param>
    /// <returns>F = i(x) * P and wheel travel on the run's clock. A sample whose travel is unknown or outside a ratio table has NaN for both:
    /// the ratio is never extrapolated.</returns>
    public static WheelLoadSet From(ZeroedLoads pushrods, WheelLoadOptions options)
    {
        ArgumentNullException.ThrowIfNull(pushrods);
        ArgumentNullException.ThrowIfNull(options);
        Run run = pushrods.Run;
        int[] outside = new int[4];
        PerAxle<(TravelTable Ratio, TravelTable Travel)> tables = new(Tables(run.Car, Axle.Front), Tables(run.Car, Axle.Rear));
        Workers.Run(4, c => outside[c] = Outside(pushrods.DamperTravelM[(Corner)c], tables[((Corner)c).Axle()].Ratio));
        PerCorner<SampleSource> loadN = pushrods.PushrodLoadN.Select((corner, pushrod) => tables[corner.Axle()].Ratio is { IsConstant: true } constant
            ? pushrod.Scaled(constant.Constant, -0.0)
            : new LoadOfWheel(pushrod, pushrods.DamperTravelM[corner], tables[corner.Axle()].Ratio));
        string? withheld = options.WithContactPatch ? ContactPatch.WhyNot(run) : "Contact-patch loads were not asked for.";
        return new WheelLoadSet
        {
            Run = run,
            Pushrods = pushrods,
            LoadN = loadN,
            WheelTravelM = pushrods.DamperTravelM.Select((corner, damper) => damper is null ? null
                : tables[corner.Axle()].Travel is { IsConstant: true } constant ? damper.Scaled(constant.Constant, -0.0)
                : new TravelOfWheel(damper, tables[corner.Axle()].Travel)),
            OutsideTable = PerCorner.Of(corner => outside[(int)corner]),
            ContactPatchLoadN = withheld is null ? ContactPatch.From(run, loadN) : null,
            ContactPatchWithheldBecause = withheld,
            Findings = Findings(run, pushrods, outside),
        };
    }

    private static (TravelTable Ratio, TravelTable Travel) Tables(CarDefinition car, Axle axle) =>
        (TravelTable.OfRatio(car.Suspension[axle].InstallationRatio), TravelTable.OfWheelTravel(car.Suspension[axle].DamperRatio));

    /// <summary>Samples whose travel is known and lies outside the table.</summary>
    private static int Outside(SampleSource? damperM, TravelTable ratio)
    {
        if (ratio.IsConstant || damperM is null)
        {
            return 0;
        }

        int outside = 0;
        double[] room = SampleSource.RoomForBlock(), ratios = SampleSource.RoomForBlock();
        foreach ((int start, int count) in SampleSource.Blocks(0, damperM.Length))
        {
            ReadOnlySpan<double> damper = damperM.Read(start, count, room);
            (double lowest, double highest) = Extremes.Of(damper);
            if (!double.IsNaN(ratio.Read(lowest)) && !double.IsNaN(ratio.Read(highest)))
            {
                // What lies between two travels inside the table is inside.
                continue;
            }

            ratio.Read(damper, ratios);
            for (int i = 0; i < damper.Length; i++)
            {
                outside += double.IsNaN(ratios[i]) && !double.IsNaN(damper[i]) ? 1 : 0;
            }
        }

        return outside;
    }

    /// <summary>Wheel load that follows from pushrod load and damper travel by a table; NaN throughout without a travel.</summary>
    private sealed class LoadOfWheel(SampleSource pushrodN, SampleSource? damperM, TravelTable ratio) : SampleSource(pushrodN.Length)
    {
        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            // A sample is written where it was read from, or beside what is kept.
            ReadOnlySpan<double> pushrod = pushrodN.Read(start, count, room);
            Span<double> load = room[..count];
            if (damperM is null)
            {
                load.Fill(double.NaN);
                return load;
            }

            Span<double> beside = stackalloc double[Math.Min(Together, count)];
            for (int at = 0; at < count; at += Together)
            {
                Span<double> ratios = beside[..Math.Min(Together, count - at)];
                ratio.Read(damperM.Read(start + at, ratios.Length, ratios), ratios);
                for (int i = 0; i < ratios.Length; i++)
                {
                    load[at + i] = ratios[i] * pushrod[at + i];
                }
            }

            return load;
        }
    }

    /// <summary>Wheel travel that follows from damper travel by a table.</summary>
    private sealed class TravelOfWheel(SampleSource damperM, TravelTable travel) : SampleSource(damperM.Length)
    {
        public override double this[int index] => travel.Read(damperM[index]);

        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            // A sample is written where it was read from, or beside what is kept.
            ReadOnlySpan<double> damper = damperM.Read(start, count, room);
            Span<double> wheel = room[..count];
            travel.Read(damper, wheel);
            return wheel;
        }
    }

    private static ImmutableArray<HealthFinding> Findings(Run run, ZeroedLoads pushrods, int[] outside)
    {
        ImmutableArray<HealthFinding>.Builder findings = ImmutableArray.CreateBuilder<HealthFinding>();
        List<Corner> withoutTravel = [];
        foreach (Corner corner in Corners.All)
        {
            RatioCurve curve = run.Car.Suspension[corner.Axle()].InstallationRatio;
            string name = run.Car.Mapping(ChannelRoles.DamperTravel(corner))?.Name ?? $"damper travel {corner.Code()}";
            if (!curve.IsConstant && pushrods.DamperTravelM[corner] is null)
            {
                withoutTravel.Add(corner);
            }
            else if (outside[(int)corner] > 0)
            {
                findings.Add(new HealthFinding(
                    name,
                    "outside_ratio_table",
                    HealthVerdict.Doubtful,
                    double.NaN,
                    double.NaN,
                    FormattableString.Invariant($"{outside[(int)corner]} samples of damper travel {corner.Code()} lie outside the ratio table ({curve.LowestTravelM * 1000:0.#} to {curve.HighestTravelM * 1000:0.#} mm)."),
                    "The wheel load is left out at those samples; the ratio is not extrapolated.",
                    "Extend the ratio table in the car file to the damper's whole stroke, or check the potentiometer's zero."));
            }
        }

        if (withoutTravel.Count > 0)
        {
            findings.Add(TravelMissing(run, withoutTravel));
        }

        return findings.ToImmutable();
    }

    /// <summary>One line for all corners: they mostly share one cause, such as no standstill, which must not be hidden behind four lines.</summary>
    private static HealthFinding TravelMissing(Run run, List<Corner> corners)
    {
        Corner first = corners[0];
        string codes = string.Join(", ", corners.Select(corner => corner.Code()));
        bool isOne = corners.Count == 1;
        return new HealthFinding(
            isOne ? run.Car.Mapping(ChannelRoles.DamperTravel(first))?.Name ?? $"damper travel {codes}" : $"damper travel {codes}",
            "travel_missing",
            HealthVerdict.Unusable,
            double.NaN,
            double.NaN,
            $"The installation ratio of {codes} is a table against damper travel, and there is no damper travel to read it with.",
            $"The wheel load of {(isOne ? "this corner" : "these corners")}, and every answer that sums over corners, is withheld.",
            "Log the damper potentiometer and a standstill for its zero, or give a constant ratio in the car file.")
        {
            Role = isOne ? ChannelRoles.DamperTravel(first) : null,
        };
    }
}
