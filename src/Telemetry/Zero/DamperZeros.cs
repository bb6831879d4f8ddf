using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Damper travel from the static position.</summary>
internal static class DamperZeros
{
    /// <summary>Reading of each potentiometer at the static position, m: from the first standstill on the ground, else from the zero file; 0 for one that counts from static; NaN when not known.</summary>
    public static PerCorner<double> Find(Run run, ImmutableArray<StandstillWindow> windows, int blockLength, DateTimeOffset? takenAt, ZeroOptions options) =>
        PerCorner.Of(corner =>
        {
            ChannelRole role = ChannelRoles.DamperTravel(corner);
            if (!run.Has(role))
            {
                return double.NaN;
            }

            if (run.Car.Mapping(role)!.IsFromStatic)
            {
                return 0;
            }

            StandstillWindow? ground = windows.FirstOrDefault(window => !window.OnStands);
            double middle = ground is null ? double.NaN : BlockMedian.Of(run.OnClock(role), ground.StartIndex, ground.EndIndex, blockLength).Middle;
            return double.IsNaN(middle) ? BorrowedZeros.TravelZeroM(run, corner, takenAt, options) : middle;
        });

    /// <summary>Travel from static; null where there is no reading or the static position is not known.</summary>
    public static PerCorner<SampleSource?> Travel(Run run, PerCorner<double> zeroM) => PerCorner.Of(corner => Travel(run, corner, zeroM[corner]));

    private static SampleSource? Travel(Run run, Corner corner, double zeroM)
    {
        SampleSource? samples = run.ClockSamples[(int)ChannelRoles.DamperTravel(corner)];
        return double.IsNaN(zeroM) || samples is null ? null
            : run.Car.Mapping(ChannelRoles.DamperTravel(corner))!.IsFromStatic ? samples
            : samples.Scaled(1, -zeroM);
    }
}
