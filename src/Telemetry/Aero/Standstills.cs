using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Aero;

/// <summary>What loads and accelerometers read while the car stood on the ground, where the aero load is nil.</summary>
/// <remarks>
/// What equation E4 leaves over at standstill is no aero load: it is the error of the mass, of the centre of gravity, of the corner weights and the
/// offset of the accelerometers. It is taken off, so that only changes from standstill count and these errors cancel to first order.
/// </remarks>
internal sealed record Standstills
{
    /// <summary>Windows on the ground; 0 means that nothing could be taken off.</summary>
    public required int Count { get; init; }

    /// <summary>Mean load of each corner, N; 0 without a window.</summary>
    public required double[] LoadN { get; init; }

    /// <summary>Mean longitudinal specific force, m/s2; 0 without one.</summary>
    public required double AccelerationX { get; init; }

    /// <summary>Mean lateral specific force, m/s2; 0 without one.</summary>
    public required double AccelerationY { get; init; }

    /// <summary>Mean vertical specific force, m/s2; g without one.</summary>
    public required double AccelerationZ { get; init; }

    /// <summary>Largest less smallest vertical specific force of the windows, m/s2; null with fewer than two that read it.</summary>
    public double? DriftZ { get; init; }

    /// <summary>Mean yaw rate, rad/s; 0 without one.</summary>
    public required double YawRate { get; init; }

    /// <summary>Fuel, kg; that at the start without a window.</summary>
    public required double FuelKg { get; init; }

    public static Standstills Of(WheelLoadSet wheels)
    {
        Run run = wheels.Run;
        ImmutableArray<StandstillWindow> ground = [.. wheels.Pushrods.Windows.Where(w => !w.OnStands)];
        int block = Math.Max(1, (int)Math.Round(ZeroOptions.Default.BlockS / run.Clock.StepS));
        double[] loads = [.. Corners.All.Select(c => Mean(ground, wheels.LoadN[c], block, 0))];
        if (!loads.All(double.IsFinite))
        {
            ground = [];
            loads = [0, 0, 0, 0];
        }

        double[] vertical = Middles(ground, run.OnClock(ChannelRole.AccelerationZ), block);
        return new Standstills
        {
            Count = ground.Length,
            LoadN = loads,
            AccelerationX = Mean(ground, run.OnClock(ChannelRole.AccelerationX), block, 0),
            AccelerationY = Mean(ground, run.OnClock(ChannelRole.AccelerationY), block, 0),
            AccelerationZ = Mean(vertical, StandardGravity.Mps2),
            DriftZ = vertical.Length > 1 ? vertical.Max() - vertical.Min() : null,
            YawRate = Mean(ground, run.OnClock(ChannelRole.YawRate), block, 0),
            FuelKg = ground.IsEmpty ? run.Car.Masses.FuelAtStartKg.Value : ground.Average(w => FuelOnBoard.At(run, (w.StartIndex + w.EndIndex) / 2)),
        };
    }

    /// <summary>What E4 leaves over, N.</summary>
    public (double FrontN, double RearN) Remainder(BalanceTerms terms) => Count == 0
        ? (0, 0)
        : VerticalBalance.Of(
            LoadN,
            terms,
            AccelerationX * terms.GainX,
            StandardGravity.Mps2 + ((AccelerationZ - StandardGravity.Mps2) * terms.GainZ),
            FuelKg,
            isStandstill: true);

    /// <summary>Mean over the windows of what <see cref="Middles"/> gives; the fallback where nothing was read.</summary>
    private static double Mean(ImmutableArray<StandstillWindow> windows, SampleSource samples, int blockLength, double fallback) => Mean(Middles(windows, samples, blockLength), fallback);

    private static double Mean(double[] middles, double fallback) => middles.Length > 0 ? middles.Average() : fallback;

    /// <summary>The middle of each window's block medians, as the zero stage takes it: whoever leans on the car for a moment does not count. Windows in which nothing was read are left out.</summary>
    private static double[] Middles(ImmutableArray<StandstillWindow> windows, SampleSource samples, int blockLength)
    {
        List<double> middles = [];
        foreach (StandstillWindow window in windows)
        {
            double middle = samples.IsEmpty ? double.NaN : BlockMedian.Of(samples, window.StartIndex, window.EndIndex, blockLength).Middle;
            if (double.IsFinite(middle))
            {
                middles.Add(middle);
            }
        }

        return [.. middles];
    }
}
