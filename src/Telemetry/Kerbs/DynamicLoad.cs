using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.Zero;

namespace Telemetry.Kerbs;

/// <summary>A load without its quasi-static part while the car runs, N; NaN in gaps, and while the car stands. Made when it is read: four channels of a whole run would be kept for a few strikes.</summary>
/// <param name="loadN">The pushrod load, N.</param>
/// <param name="slow">Its quasi-static part.</param>
/// <param name="run">The run, for its speed.</param>
/// <param name="windows">Where the car stands.</param>
/// <param name="runningMps">The car runs above this speed, m/s; a gap in the speed alone does not hide a strike.</param>
internal sealed class DynamicLoad(SampleSource loadN, QuasiStaticLoad slow, Run run, ImmutableArray<StandstillWindow> windows, double runningMps) : SampleSource(loadN.Length)
{
    public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
    {
        // A sample is written where it was read from, or beside what is kept.
        ReadOnlySpan<double> load = loadN.Read(start, count, room);
        Span<double> dynamic = room[..count];
        slow.Subtract(load, start, dynamic);
        SampleSource speed = run.OnClock(ChannelRole.Speed);
        Span<double> beside = stackalloc double[Math.Min(Together, count)];
        for (int at = 0; at < count && !speed.IsEmpty; at += Together)
        {
            ReadOnlySpan<double> some = speed.Read(start + at, Math.Min(Together, count - at), beside);
            for (int i = 0; i < some.Length; i++)
            {
                if (some[i] <= runningMps)
                {
                    dynamic[at + i] = double.NaN;
                }
            }
        }

        foreach (StandstillWindow window in windows)
        {
            int from = Math.Max(0, window.StartIndex - start), to = Math.Min(count, window.EndIndex - start);
            if (from < to)
            {
                dynamic[from..to].Fill(double.NaN);
            }
        }

        return dynamic;
    }
}
