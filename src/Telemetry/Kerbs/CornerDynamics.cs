using System.Buffers;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
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

    private CornerDynamics(Corner corner, SampleSource dynamicN, SampleSource steepness, double scatterN, double quietSteepness, double quietVelocityMps, double smallestN)
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
    public SampleSource DynamicN { get; }

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
        SampleSource load = wheels.Pushrods.PushrodLoadN[corner];
        if (load.IsEmpty)
        {
            return new(corner, SampleSource.None, SampleSource.None, double.NaN, double.NaN, double.NaN, double.NaN);
        }

        QuasiStaticLoad slow = QuasiStaticLoad.Of(load, run.Clock.StepS, options.BlockS, options.WindowS);
        DynamicLoad dynamic = new(load, slow, run, wheels.Pushrods.Windows, options.RunningMps);
        double scatter = OrderStatistics.NormalConsistency * MedianMagnitude(dynamic.Length, i => dynamic[i]);
        double smallest = Math.Max(options.HeightMultiple * scatter, options.SmallestShareOfLoad * MedianMagnitude(load.Length, i => double.IsFinite(dynamic[i]) ? load[i] : double.NaN));

        List<SampleSpan> spikes = CellSpikes.Find(dynamic, scatter, run.Clock.RateHz);
        SlopeOverSpeed steepness = new(dynamic, spikes, run, options);
        double quietVelocity = QuietVelocity(wheels.Pushrods.DamperTravelM[corner], dynamic, run.Clock.StepS);
        CornerDynamics dynamics = new(corner, dynamic, steepness, scatter, OrderStatistics.NormalConsistency * MedianMagnitude(steepness.Length, i => steepness[i]), quietVelocity, smallest);
        foreach (SampleSpan spike in spikes)
        {
            dynamics.spikes.UnionWith(Enumerable.Range(spike.First, spike.Count));
        }

        return dynamics;
    }

    private static double QuietVelocity(SampleSource? travelM, SampleSource running, double step)
    {
        if (travelM is not { Length: > 0 })
        {
            return double.NaN;
        }

        int half = BumpVelocity.HalfSpan(step);
        SampleCursor travel = travelM.Cursor();
        return OrderStatistics.NormalConsistency * MedianMagnitude(
            travelM.Length - (2 * half),
            i => double.IsFinite(running[half + i]) ? BumpVelocity.Across(travel[i], travel[i + (2 * half)], half, step) : double.NaN);
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

    /// <summary>Slope of a load over the square root of the speed. A spike is left out of it, which would make the steepest slope of the run; the load itself keeps it.</summary>
    private sealed class SlopeOverSpeed(SampleSource loadN, List<SampleSpan> spikes, Run run, KerbOptions options) : SampleSource(loadN.Length)
    {
        private readonly int _half = DamperVelocity.Half(run.Clock.StepS, options.SlopeSpanS);

        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            Span<double> steepness = room[..count];
            int from = Math.Max(0, start - _half), to = Math.Min(loadN.Length, start + count + _half);
            double[] load = ArrayPool<double>.Shared.Rent(to - from);
            Span<double> near = load.AsSpan(0, to - from);
            loadN.ReadInto(from, near);
            Bridge(from, near);
            DamperVelocity.Part(near, run.Clock.StepS, options.SlopeSpanS, start - from, steepness);
            ArrayPool<double>.Shared.Return(load);
            SampleSource speed = run.OnClock(ChannelRole.Speed);
            Span<double> beside = stackalloc double[Math.Min(Together, count)];
            for (int at = 0; at < count && !speed.IsEmpty; at += Together)
            {
                ReadOnlySpan<double> some = speed.Read(start + at, Math.Min(Together, count - at), beside);
                int i = 0;
                Vector256<double> slowest = Vector256.Create(options.RunningMps);
                for (; i <= some.Length - Vector256<double>.Count; i += Vector256<double>.Count)
                {
                    // In a gap of the speed the slowest running speed stands for it, which errs to finding a strike.
                    Vector256<double> mps = Vector256.Create(some[i..]);
                    Vector256<double> running = Vector256.ConditionalSelect(Vector256.GreaterThan(mps, slowest), mps, slowest);
                    (Vector256.Create(steepness[(at + i)..]) / Vector256.Sqrt(running)).CopyTo(steepness[(at + i)..]);
                }

                for (; i < some.Length; i++)
                {
                    steepness[at + i] /= Math.Sqrt(some[i] > options.RunningMps ? some[i] : options.RunningMps);
                }
            }

            return steepness;
        }

        /// <summary>Draws a straight line in place of the spikes among some samples.</summary>
        private void Bridge(int from, Span<double> load)
        {
            for (int next = FirstEndingBehind(from); next < spikes.Count && spikes[next].First < from + load.Length; next++)
            {
                SampleSpan spike = spikes[next];
                double before = loadN[spike.First - 1];
                double step = (loadN[spike.End] - before) / (spike.Count + 1);
                for (int i = Math.Max(spike.First, from); i < Math.Min(spike.End, from + load.Length); i++)
                {
                    load[i - from] = before + (step * (i - spike.First + 1));
                }
            }
        }

        /// <summary>The first spike that ends behind a sample; by halves, because a bad cell may have a hundred thousand.</summary>
        private int FirstEndingBehind(int sample)
        {
            (int low, int high) = (0, spikes.Count);
            while (low < high)
            {
                int middle = (low + high) / 2;
                (low, high) = spikes[middle].End > sample ? (low, middle) : (middle + 1, high);
            }

            return low;
        }
    }
}
