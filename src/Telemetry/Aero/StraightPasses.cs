using System.Collections.Immutable;

namespace Telemetry.Aero;

/// <summary>Gathers quasi-steady windows into straight passes, the independent units of the estimate.</summary>
internal static class StraightPasses
{
    /// <summary>Numbers the windows of each pass, turns stray windows away, and lists the passes in time order.</summary>
    /// <remarks>
    /// A pass ends where the car brakes, turns or slows below the gate. A strike, a gap or hard acceleration only leaves a hole in it: before and
    /// behind the hole the air is the same, so both belong to one unit.
    /// </remarks>
    public static ImmutableArray<StraightPass> Number(RunWindow[] windows, AeroOptions options)
    {
        ImmutableArray<StraightPass>.Builder passes = ImmutableArray.CreateBuilder<StraightPass>();
        List<RunWindow> current = [];
        foreach (RunWindow window in windows)
        {
            if (window.RejectedBecause is null)
            {
                current.Add(window);
            }
            else if (window.EndsStraight)
            {
                Close(current, passes, options);
            }
        }

        Close(current, passes, options);
        return passes.ToImmutable();
    }

    private static void Close(List<RunWindow> current, ImmutableArray<StraightPass>.Builder passes, AeroOptions options)
    {
        if (current.Count >= options.FewestWindowsInPass)
        {
            int number = passes.Count + 1;
            double cosine = 0;
            double sine = 0;
            foreach (RunWindow window in current)
            {
                window.Pass = number;
                cosine += window.Direction.Cosine;
                sine += window.Direction.Sine;
            }

            passes.Add(new StraightPass(
                number,
                current[0].Lap,
                current[0].StartS,
                current[^1].EndS,
                current[0].DistanceM,
                Headings.Wrap(Math.Atan2(sine, cosine)),
                current.Min(w => w.SpeedMps),
                current.Max(w => w.SpeedMps),
                current.Count));
        }
        else
        {
            foreach (RunWindow window in current)
            {
                window.Reject("straight too short", endsStraight: false);
            }
        }

        current.Clear();
    }
}
