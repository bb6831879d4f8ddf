using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Tells standstill on the ground from standstill on stands, splits a stop in which the car was lifted, and refuses a stop in which it moved after all.</summary>
internal static class StandstillKinds
{
    private enum Kind
    {
        Ground,
        Stands,
        Between,
    }

    /// <summary>The windows with their kind; parts with some wheels hanging and others not are left out.</summary>
    /// <remarks>
    /// The most compressed state at standstill is the ground; one in which all four dampers hang well below it is stands. Without all four
    /// potentiometers every standstill is taken to be on the ground.
    /// </remarks>
    public static ImmutableArray<StandstillWindow> Mark(Run run, ImmutableArray<StandstillWindow> windows, int blockLength, ZeroOptions options)
    {
        if (windows.IsEmpty || !Corners.All.All(corner => run.Has(ChannelRoles.DamperTravel(corner))))
        {
            return windows;
        }

        double[][,] middles = new double[windows.Length][,];
        Workers.Run(middles.Length, w => middles[w] = Middles(run, windows[w], blockLength));
        double[] ground = new double[4];
        for (int c = 0; c < 4; c++)
        {
            bool fromStatic = run.Car.Mapping(ChannelRoles.DamperTravel((Corner)c))?.IsFromStatic ?? false;
            ground[c] = fromStatic ? 0 : double.NaN;
            foreach (double[,] blocks in middles)
            {
                // Whoever leans on the car for a block does not make a new ground: a whole window's middle counts.
                double middle = MiddleOf(blocks, c);
                ground[c] = !(middle <= ground[c]) ? middle : ground[c];
                double end = Upper(blocks, c);
                ground[c] = end > ground[c] + options.StandsDroopM ? end : ground[c];
            }
        }

        ImmutableArray<StandstillWindow>.Builder marked = ImmutableArray.CreateBuilder<StandstillWindow>();
        int cut = (int)Math.Round(options.CutAtEdgesS / run.Clock.StepS);
        int shortest = Math.Max(2, (int)Math.Round((options.ShortestStandstillS - (2 * options.CutAtEdgesS)) / run.Clock.StepS));
        for (int w = 0; w < windows.Length; w++)
        {
            Kind[] kinds = [.. Enumerable.Range(0, middles[w].GetLength(0)).Select(block => KindOf(middles[w], block, ground, options.StandsDroopM))];
            Split(marked, run, windows[w], kinds, blockLength, cut, shortest, options);
        }

        return marked.ToImmutable();
    }

    /// <summary>Leaves out stops in which the load cells move as they do on the road: the speed was wrong there.</summary>
    /// <returns>The windows that stand, and a finding for each that does not.</returns>
    public static (ImmutableArray<StandstillWindow> Still, ImmutableArray<HealthFinding> Findings) LeaveOutMoving(
        Run run, ImmutableArray<StandstillWindow> windows, int blockLength, ZeroOptions options)
    {
        SampleSource speed = run.OnClock(ChannelRole.Speed);
        PerCorner<double> onRoad = PerCorner.AtOnce(corner => Agitation(run.OnClock(ChannelRoles.PushrodLoad(corner)), speed, 0, speed.Length, blockLength, options.RoadSpeedMps));

        ImmutableArray<StandstillWindow>.Builder still = ImmutableArray.CreateBuilder<StandstillWindow>();
        ImmutableArray<HealthFinding>.Builder findings = ImmutableArray.CreateBuilder<HealthFinding>();
        int[] moving = new int[windows.Length];
        Workers.Run(moving.Length, w =>
        {
            foreach ((Corner corner, double road) in onRoad.Each())
            {
                double here = Agitation(run.OnClock(ChannelRoles.PushrodLoad(corner)), speed, windows[w].StartIndex, windows[w].EndIndex, blockLength, double.NegativeInfinity);
                moving[w] += road > 0 && here > options.StillnessShare * road ? 1 : 0;
            }
        });
        foreach ((StandstillWindow window, int cells) in windows.Zip(moving))
        {
            // A road shakes all four cells; three are enough where one is dead.
            if (cells >= 3)
            {
                findings.Add(new HealthFinding(
                    "log",
                    "standstill_moves",
                    HealthVerdict.Doubtful,
                    window.StartS,
                    window.EndS,
                    FormattableString.Invariant($"The speed says that the car stood still from {window.StartS:0.0} to {window.EndS:0.0} s, but the load cells move there as they do on the road."),
                    "No zero is taken from that stretch.",
                    "Check the speed sensor."));
            }
            else
            {
                still.Add(window);
            }
        }

        return (still.ToImmutable(), findings.ToImmutable());
    }

    private static void Split(
        ImmutableArray<StandstillWindow>.Builder marked, Run run, StandstillWindow window, Kind[] kinds, int blockLength, int cut, int shortest, ZeroOptions options)
    {
        int first = 0;
        for (int block = 1; block <= kinds.Length; block++)
        {
            if (block < kinds.Length && kinds[block] == kinds[first])
            {
                continue;
            }

            // Where the car was lifted or lowered inside the stop the edge is cut as one towards motion is.
            int from = window.StartIndex + (first * blockLength) + (first == 0 ? 0 : cut);
            int to = block == kinds.Length ? window.EndIndex : window.StartIndex + (block * blockLength) - cut;
            if (kinds[first] != Kind.Between && (to - from >= shortest || (first == 0 && block == kinds.Length)))
            {
                marked.Add(Standstill.Window(run, from, to, kinds[first] == Kind.Stands, options));
            }

            first = block;
        }
    }

    private static Kind KindOf(double[,] middles, int block, double[] ground, double droopM)
    {
        int hanging = 0;
        for (int c = 0; c < 4; c++)
        {
            hanging += middles[block, c] < ground[c] - droopM ? 1 : 0;
        }

        return hanging == 4 ? Kind.Stands : hanging == 0 ? Kind.Ground : Kind.Between;
    }

    private static double[,] Middles(Run run, StandstillWindow window, int blockLength)
    {
        int blocks = (window.EndIndex - window.StartIndex + blockLength - 1) / blockLength;
        double[,] middles = new double[blocks, 4];
        for (int c = 0; c < 4; c++)
        {
            SampleSource damper = run.OnClock(ChannelRoles.DamperTravel((Corner)c));
            for (int b = 0; b < blocks; b++)
            {
                int from = window.StartIndex + (b * blockLength);
                middles[b, c] = BlockMedian.Of(damper, from, Math.Min(from + blockLength, window.EndIndex), blockLength).Middle;
            }
        }

        return middles;
    }

    private static double MiddleOf(double[,] blocks, int corner)
    {
        double[] values = [.. Enumerable.Range(0, blocks.GetLength(0)).Select(b => blocks[b, corner]).Where(double.IsFinite).Order()];
        return values.Length == 0 ? double.NaN : values.Length % 2 == 1 ? values[values.Length / 2] : (values[(values.Length / 2) - 1] + values[values.Length / 2]) / 2;
    }

    /// <summary>The state above which a fifth of a stop lies: a stop that was on stands for most of its time still shows its ground.</summary>
    private static double Upper(double[,] blocks, int corner)
    {
        double[] values = [.. Enumerable.Range(0, blocks.GetLength(0)).Select(b => blocks[b, corner]).Where(double.IsFinite).Order()];
        return values.Length == 0 ? double.NaN : values[(int)(0.8 * (values.Length - 1))];
    }

    /// <summary>Median over blocks of the standard deviation within a block, where the car is faster than a limit; 0 without such a block.</summary>
    private static double Agitation(SampleSource samples, SampleSource speed, int from, int to, int blockLength, double fasterThanMps)
    {
        List<double> deviations = [];
        double[] room = new double[blockLength];

        // On a long road one block in eight is enough for a median.
        int stride = double.IsNegativeInfinity(fasterThanMps) ? 1 : 8;
        for (int start = from; start + blockLength <= to; start += stride * blockLength)
        {
            if (!double.IsNegativeInfinity(fasterThanMps) && !(speed[start] > fasterThanMps))
            {
                continue;
            }

            double sum = 0;
            double squares = 0;
            int count = 0;
            ReadOnlySpan<double> block = samples.Read(start, blockLength, room);
            double first = block[0];
            foreach (double value in block)
            {
                if (double.IsFinite(value - first))
                {
                    sum += value - first;
                    squares += (value - first) * (value - first);
                    count++;
                }
            }

            if (count > 1)
            {
                deviations.Add(Math.Sqrt(Math.Max(0, (squares - (sum * sum / count)) / (count - 1))));
            }
        }

        deviations.Sort();
        return deviations.Count == 0 ? 0 : deviations[deviations.Count / 2];
    }
}
