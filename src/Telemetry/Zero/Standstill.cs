using System.Buffers;
using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Finds where the car stood still.</summary>
internal static class Standstill
{
    /// <summary>
    /// Stretches in which the speed, and every wheel speed that ever comes to rest, stays below the limit for long enough, edges cut; a gap in the speed ends a stretch.
    /// A wheel speed that never comes to rest in a run whose speed does is not a standing wheel's: it is left out.
    /// </summary>
    public static ImmutableArray<StandstillWindow> Find(Run run, ZeroOptions options)
    {
        SampleSource speed = run.OnClock(ChannelRole.Speed);
        if (speed.IsEmpty)
        {
            return [];
        }

        double step = run.Clock.StepS;
        int cut = (int)Math.Round(options.CutAtEdgesS / step);
        int shortest = Math.Max(2, (int)Math.Round(options.ShortestStandstillS / step));
        bool[] standing = Stands(run, speed, options.StandstillSpeedMps);
        ImmutableArray<StandstillWindow>.Builder windows = ImmutableArray.CreateBuilder<StandstillWindow>();
        int start = -1;
        for (int i = 0; i <= speed.Length; i++)
        {
            bool stands = i < standing.Length && standing[i];
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
                        windows.Add(Window(run, from, to, onStands: false, options));
                    }
                }

                start = -1;
            }
        }

        return windows.ToImmutable();
    }

    /// <summary>A window with its times and what the engine did in it.</summary>
    public static StandstillWindow Window(Run run, int from, int to, bool onStands, ZeroOptions options) =>
        new(from, to, run.Clock.At(from), run.Clock.At(to - 1), onStands) { Engine = EngineIn(run, from, to, options) };

    private static EngineState EngineIn(Run run, int from, int to, ZeroOptions options)
    {
        SampleSource engine = run.OnClock(ChannelRole.EngineSpeed);
        if (engine.IsEmpty)
        {
            return EngineState.Unknown;
        }

        int running = 0;
        int known = 0;
        foreach (double value in engine.Between(from, to))
        {
            known += double.IsFinite(value) ? 1 : 0;
            running += value > options.EngineRunningRadps ? 1 : 0;
        }

        return known == 0 ? EngineState.Unknown
            : running == 0 ? EngineState.Off
            : running == known ? EngineState.Running
            : EngineState.Changed;
    }

    /// <summary>True where the car stands and no wheel turns that stands elsewhere in the run while the car stands.</summary>
    private static bool[] Stands(Run run, SampleSource speed, double limitMps)
    {
        SampleSource[] wheels = [.. Corners.All.Select(corner => run.OnClock(ChannelRoles.WheelSpeed(corner))).Where(wheel => !wheel.IsEmpty)];
        bool[] rests = new bool[wheels.Length];
        Workers.Run(wheels.Length, w => rests[w] = Rests(wheels[w], speed, limitMps));
        wheels = [.. wheels.Where((_, w) => rests[w])];
        bool[] stands = new bool[speed.Length];
        speed.InPieces(stands.Length, (start, slow) =>
        {
            Span<bool> here = stands.AsSpan(start, slow.Length);
            for (int i = 0; i < here.Length; i++)
            {
                here[i] = Math.Abs(slow[i]) < limitMps;
            }

            double[] room = ArrayPool<double>.Shared.Rent(slow.Length);
            foreach (SampleSource wheel in wheels)
            {
                // A gap in a wheel speed says nothing either way; the speed itself still has to be there.
                ReadOnlySpan<double> turns = wheel.Read(start, here.Length, room);
                for (int i = 0; i < here.Length; i++)
                {
                    here[i] &= !(Math.Abs(turns[i]) >= limitMps);
                }
            }

            ArrayPool<double>.Shared.Return(room);
        });
        return stands;
    }

    /// <summary>True when a wheel stands somewhere while the car stands.</summary>
    private static bool Rests(SampleSource wheelMps, SampleSource speedMps, double limitMps)
    {
        (SampleCursor wheel, SampleCursor speed) = (wheelMps.Cursor(), speedMps.Cursor());
        bool rests = false;
        for (int i = 0; i < wheel.Length && !rests; i++)
        {
            rests = Math.Abs(wheel[i]) < limitMps && Math.Abs(speed[i]) < limitMps;
        }

        return rests;
    }
}
