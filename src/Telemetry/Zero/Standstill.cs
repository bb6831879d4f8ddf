using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Finds where the car stood still.</summary>
internal static class Standstill
{
    /// <summary>Stretches in which the speed stays below the limit for long enough, edges cut; a gap in the speed ends a stretch.</summary>
    public static ImmutableArray<StandstillWindow> Find(Run run, ZeroOptions options)
    {
        ReadOnlySpan<double> speed = run.OnClock(ChannelRole.Speed);
        if (speed.IsEmpty)
        {
            return [];
        }

        double step = run.Clock.StepS;
        int cut = (int)Math.Round(options.CutAtEdgesS / step);
        int shortest = Math.Max(2, (int)Math.Round(options.ShortestStandstillS / step));
        ImmutableArray<StandstillWindow>.Builder windows = ImmutableArray.CreateBuilder<StandstillWindow>();
        int start = -1;
        for (int i = 0; i <= speed.Length; i++)
        {
            bool stands = i < speed.Length && Math.Abs(speed[i]) < options.StandstillSpeedMps;
            if (stands && start < 0)
            {
                start = i;
            }
            else if (!stands && start >= 0)
            {
                if (i - start >= shortest)
                {
                    // The log begins and ends with a car that has long settled: only edges towards motion are cut.
                    int from = start == 0 ? 0 : start + cut;
                    int to = i == speed.Length ? i : i - cut;
                    if (to - from >= 2)
                    {
                        windows.Add(new StandstillWindow(from, to, run.Clock.At(from), run.Clock.At(to - 1), OnStands: false));
                    }
                }

                start = -1;
            }
        }

        return windows.ToImmutable();
    }
}
