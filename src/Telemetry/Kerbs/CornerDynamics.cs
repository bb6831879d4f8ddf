using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Platform;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Kerbs;

/// <summary>What the road does to one corner: the load without its quasi-static part, how steeply it rises, and how much of both the quiet road makes.</summary>
/// <remarks>
/// Steepness is divided by the square root of the speed: a road whose displacement spectrum falls with the square of the wave number
/// (ISO 8608) moves the wheel as white noise in velocity, with a variance that grows with speed. So one threshold holds in slow and in fast places.
/// </remarks>
internal sealed class CornerDynamics
{
    /// <summary>One sample in so many is enough for a median; a prime, so that nothing periodic falls in step with it.</summary>
    private const int ScatterStride = 31;

    private CornerDynamics(Corner corner, double[] dynamicN, SampleSource steepness, double scatterN, double quietSteepness, double quietVelocityMps, double smallestN)
    {
        Corner = corner;
        DynamicN = dynamicN;
        Steepness = steepness;
        ScatterN = scatterN;
        QuietSteepness = quietSteepness;
        QuietVelocityMps = quietVelocityMps;
        SmallestN = smallestN;
    }

    public Corner Corner { get; }

    /// <summary>Load minus quasi-static part, N; NaN in gaps and while the car does not run.</summary>
    public double[] DynamicN { get; }

    /// <summary>Slope of the load over the square root of speed, N/s per root of m/s; NaN near gaps and while the car does not run. Made when it is read: four channels of a whole run would be kept for a few strikes.</summary>
    public SampleSource Steepness { get; }

    /// <summary>Robust scatter of the dynamic load while running, N; NaN when the corner never ran with a load.</summary>
    public double ScatterN { get; }

    /// <summary>Robust scatter of the steepness.</summary>
    public double QuietSteepness { get; }

    /// <summary>Robust scatter of the damper's velocity while running, m/s; NaN without a potentiometer.</summary>
    public double QuietVelocityMps { get; }

    /// <summary>Smallest height of a strike, N.</summary>
    public double SmallestN { get; }

    /// <summary>Samples that jump as no wheel can.</summary>
    private readonly HashSet<int> spikes = [];

    /// <summary>True when a sample is part of a spike and so no peak.</summary>
    public bool IsSpike(int index) => spikes.Contains(index);

    public static CornerDynamics Of(WheelLoadSet wheels, Corner corner, KerbOptions options)
    {
        Run run = wheels.Run;
        ImmutableArray<double> load = wheels.Pushrods.PushrodLoadN[corner];
        if (load.IsDefaultOrEmpty)
        {
            return new(corner, [], SampleSource.Of([]), double.NaN, double.NaN, double.NaN, double.NaN);
        }

        double[] dynamic = new double[load.Length];
        QuasiStaticLoad.Of(load.AsSpan(), run.Clock.StepS, options.BlockS, options.WindowS).Subtract(load.AsSpan(), dynamic);
        LeaveOutStandstill(wheels, options, dynamic);
        double scatter = OrderStatistics.NormalConsistency * MedianMagnitude(dynamic.Length, i => dynamic[i]);
        double smallest = Math.Max(options.HeightMultiple * scatter, options.SmallestShareOfLoad * MedianMagnitude(load.Length, i => double.IsFinite(dynamic[i]) ? load[i] : double.NaN));

        List<SampleSpan> spikes = CellSpikes.Find(dynamic, scatter, run.Clock.RateHz);
        SlopeOverSpeed steepness = new(WithoutSpikes(dynamic, spikes), run, options);
        double quietVelocity = QuietVelocity(wheels.Pushrods.DamperTravelM[corner], dynamic, run.Clock.StepS);
        CornerDynamics dynamics = new(corner, dynamic, steepness, scatter, OrderStatistics.NormalConsistency * MedianMagnitude(steepness.Length, i => steepness[i]), quietVelocity, smallest);
        foreach (SampleSpan spike in spikes)
        {
            dynamics.spikes.UnionWith(Enumerable.Range(spike.First, spike.Count));
        }

        return dynamics;
    }

    private static void LeaveOutStandstill(WheelLoadSet wheels, KerbOptions options, double[] dynamic)
    {
        ReadOnlySpan<double> speed = wheels.Run.OnClock(ChannelRole.Speed);
        for (int i = 0; i < speed.Length; i++)
        {
            // A gap in the speed alone does not hide a strike.
            if (speed[i] <= options.RunningMps)
            {
                dynamic[i] = double.NaN;
            }
        }

        foreach (Zero.StandstillWindow window in wheels.Pushrods.Windows)
        {
            dynamic.AsSpan(window.StartIndex..window.EndIndex).Fill(double.NaN);
        }
    }

    /// <summary>The load for the slopes alone: a spike would make the steepest slope of the run. The load itself keeps it.</summary>
    private static double[] WithoutSpikes(double[] dynamic, List<SampleSpan> spikes)
    {
        if (spikes.Count == 0)
        {
            return dynamic;
        }

        double[] clean = [.. dynamic];
        foreach (SampleSpan spike in spikes)
        {
            double before = dynamic[spike.First - 1];
            double step = (dynamic[spike.End] - before) / (spike.Count + 1);
            for (int i = spike.First; i < spike.End; i++)
            {
                clean[i] = before + (step * (i - spike.First + 1));
            }
        }

        return clean;
    }

    private static double QuietVelocity(SampleSource? travelM, double[] running, double step)
    {
        if (travelM is not { Length: > 0 })
        {
            return double.NaN;
        }

        int half = BumpVelocity.HalfSpan(step);
        return OrderStatistics.NormalConsistency * MedianMagnitude(
            travelM.Length - (2 * half),
            i => double.IsFinite(running[half + i]) ? BumpVelocity.At(travelM, half + i, half, step) : double.NaN);
    }

    /// <summary>Median of the magnitudes of some of the samples; those that are not finite, as where the car does not run, are left out.</summary>
    private static double MedianMagnitude(int count, Func<int, double> sample)
    {
        List<double> magnitudes = new((Math.Max(0, count) / ScatterStride) + 1);
        for (int i = 0; i < count; i += ScatterStride)
        {
            double value = sample(i);
            if (double.IsFinite(value))
            {
                magnitudes.Add(Math.Abs(value));
            }
        }

        return OrderStatistics.Median(CollectionsMarshal.AsSpan(magnitudes));
    }

    /// <summary>Slope of a load over the square root of the speed.</summary>
    private sealed class SlopeOverSpeed(double[] loadN, Run run, KerbOptions options) : SampleSource
    {
        public override int Length => loadN.Length;

        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            Span<double> steepness = room[..count];
            DamperVelocity.Part(loadN, run.Clock.StepS, options.SlopeSpanS, start, steepness);
            ReadOnlySpan<double> speed = run.OnClock(ChannelRole.Speed);
            for (int i = start; i < Math.Min(start + count, speed.Length); i++)
            {
                // In a gap of the speed the slowest running speed stands for it, which errs to finding a strike.
                steepness[i - start] /= Math.Sqrt(speed[i] > options.RunningMps ? speed[i] : options.RunningMps);
            }

            return steepness;
        }
    }
}
