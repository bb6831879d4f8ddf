using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Friction made visible: stops that the suspension reached from more compressed against stops that it reached from more extended.</summary>
internal static class ApproachHysteresis
{
    private const int FewestStops = 4;

    /// <summary>Zero after compression less zero after extension, N, with a straight drift taken out; null unless four stops on the ground and both directions show it.</summary>
    public static double? Of(Run run, Corner corner, ImmutableArray<StandstillWindow> windows, double[] offsetN, ZeroOptions options)
    {
        SampleSource damper = run.OnClock(ChannelRoles.DamperTravel(corner));
        if (damper.IsEmpty)
        {
            return null;
        }

        List<double> times = [];
        List<double> sides = [];
        List<double> zeros = [];
        for (int w = 0; w < windows.Length; w++)
        {
            int side = windows[w].OnStands ? 0 : SideOf(damper, windows[w], run.Clock.StepS, options);
            if (side != 0)
            {
                times.Add((windows[w].StartS + windows[w].EndS) / 2);
                sides.Add(side / 2.0);
                zeros.Add(offsetN[w]);
            }
        }

        if (zeros.Count < FewestStops || sides.Min() == sides.Max())
        {
            return null;
        }

        double middle = times.Average();
        LinearFit? fit = LinearFit.Of([[.. times.Select(_ => 1.0)], [.. times.Select(t => t - middle)], [.. sides]], zeros.ToArray());
        return fit?.Coefficients[2];
    }

    /// <summary>+1 when the damper was more compressed just before the car settled, -1 when more extended, 0 when neither or not seen.</summary>
    private static int SideOf(SampleSource damper, StandstillWindow window, double stepS, ZeroOptions options)
    {
        int block = Math.Max(1, (int)Math.Round(options.BlockS / stepS));
        int edge = window.StartIndex - (int)Math.Round(options.CutAtEdgesS / stepS);
        if (edge - block < 0)
        {
            return 0;
        }

        double before = BlockMedian.Of(damper, edge - block, edge, block).Middle;
        double still = BlockMedian.Of(damper, window.StartIndex, window.EndIndex, block).Middle;
        return before - still > options.ApproachM ? 1 : before - still < -options.ApproachM ? -1 : 0;
    }
}
