using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;

namespace Telemetry.Runs;

/// <summary>When the driver brakes.</summary>
public static class BrakeDemand
{
    /// <summary>Without a brake channel, a longitudinal specific force below this is taken as braking, m/s2: a third of g is more than drag and engine braking give together.</summary>
    private const double AssumedBrakingMps2 = -0.33 * StandardGravity.Mps2;

    /// <summary>Share of the channel's 99th percentile that counts as braking when the car file states no threshold.</summary>
    private const double DefaultShareOfLargest = 0.05;

    /// <summary>One value a sample of the run's clock: true while the driver brakes.</summary>
    /// <remarks>
    /// A gap in the brake channel counts as braking, so that doubtful samples never reach a quasi-steady answer.
    /// Without a brake channel a deceleration beyond drag and engine braking is taken as braking; without both nothing is.
    /// </remarks>
    public static ImmutableArray<bool> From(Run run)
    {
        ArgumentNullException.ThrowIfNull(run);
        bool[] braking = new bool[run.Count];
        if (run.Has(ChannelRole.Brake))
        {
            SampleSource brake = run.OnClock(ChannelRole.Brake);
            double threshold = run.Car.Mapping(ChannelRole.Brake)?.Threshold ?? (DefaultShareOfLargest * Percentile99(brake.Cursor()));
            brake.InPieces(braking.Length, (start, block) =>
            {
                for (int i = 0; i < block.Length; i++)
                {
                    braking[start + i] = !(block[i] <= threshold);
                }
            });
        }
        else if (run.Has(ChannelRole.AccelerationX))
        {
            run.OnClock(ChannelRole.AccelerationX).InPieces(braking.Length, (start, block) =>
            {
                for (int i = 0; i < block.Length; i++)
                {
                    braking[start + i] = !(block[i] >= AssumedBrakingMps2);
                }
            });
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(braking);
    }

    /// <summary>99th percentile by nearest rank over every 16th sample: enough for a threshold.</summary>
    private static double Percentile99(SampleCursor values)
    {
        const int Stride = 16;
        List<double> some = new((values.Length / Stride) + 1);
        for (int i = 0; i < values.Length; i += Stride)
        {
            if (double.IsFinite(values[i]))
            {
                some.Add(values[i]);
            }
        }

        if (some.Count == 0)
        {
            return 0;
        }

        return Math.Max(0, OrderStatistics.Select(CollectionsMarshal.AsSpan(some), (int)(0.99 * (some.Count - 1))));
    }
}
