using System.Collections.Immutable;
using System.Runtime.InteropServices;
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
            double middle = ground is null ? double.NaN : BlockMedian.Of(run.OnClock(role)[ground.StartIndex..ground.EndIndex], blockLength).Middle;
            return double.IsNaN(middle) ? BorrowedZeros.TravelZeroM(run, corner, takenAt, options) : middle;
        });

    /// <summary>Travel from static; default where the static position is not known.</summary>
    public static PerCorner<ImmutableArray<double>> Travel(Run run, PerCorner<double> zeroM)
    {
        var travel = new ImmutableArray<double>[4];
        Parallel.For(0, travel.Length, i => travel[i] = Travel(run, (Corner)i, zeroM[(Corner)i]));
        return PerCorner.Of(corner => travel[(int)corner]);
    }

    private static ImmutableArray<double> Travel(Run run, Corner corner, double zeroM)
    {
        ImmutableArray<double> samples = run.ClockSamples[(int)ChannelRoles.DamperTravel(corner)];
        return double.IsNaN(zeroM) ? default
            : run.Car.Mapping(ChannelRoles.DamperTravel(corner))!.IsFromStatic ? samples
            : Shift(samples, zeroM);
    }

    private static ImmutableArray<double> Shift(ImmutableArray<double> samples, double zero)
    {
        double[] shifted = new double[samples.Length];
        ReadOnlySpan<double> from = samples.AsSpan();
        for (int i = 0; i < shifted.Length; i++)
        {
            shifted[i] = from[i] - zero;
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(shifted);
    }
}
