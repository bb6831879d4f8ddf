using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Aero;

/// <summary>A window of braking entry or of a fast corner.</summary>
/// <param name="Unit">Braking or corner visit, from 0.</param>
/// <param name="IsLeft">True in a left-hand corner.</param>
/// <param name="Means">Its means.</param>
/// <param name="LateralMps2">Mean lateral specific force without the standstill's offset, m/s2.</param>
/// <param name="SteerRad">Mean steer angle, rad; NaN when not logged.</param>
internal readonly record struct ConditionWindow(int Unit, bool IsLeft, RunWindow Means, double LateralMps2, double SteerRad);

/// <summary>Finds the windows of braking entries and of fast corners in the run's block means.</summary>
/// <remarks>Windows are three blocks of 0.1 s: an entry is over in a second. They never overlap those of straights: those have no braking and less than 0.15 g across.</remarks>
internal sealed class BalanceWindows
{
    private const int BlocksInWindow = 3;

    private readonly Run run;
    private readonly BlockMeans blocks;
    private readonly BalanceOptions options;
    private readonly double offsetX;
    private readonly double offsetY;
    private readonly double[]? steer;
    private readonly bool[] struck;
    private readonly double blockS;

    public BalanceWindows(Run run, BlockMeans blocks, Standstills still, BalanceOptions options)
    {
        this.run = run;
        this.blocks = blocks;
        this.options = options;
        offsetX = still.AccelerationX;
        offsetY = still.AccelerationY;
        steer = BlockMeans.Mean(run.OnClock(ChannelRole.SteerAngle), blocks.Length, blocks.Count);
        blockS = blocks.Length * run.Clock.StepS;
        struck = Struck();
    }

    /// <summary>Windows of braking entries.</summary>
    public List<ConditionWindow> BrakingEntries()
    {
        List<ConditionWindow> found = [];
        int unit = 0;
        for (int k = 0; k < blocks.Count;)
        {
            if (!blocks.Braking[k])
            {
                k++;
                continue;
            }

            int end = k;
            while (end < blocks.Count && blocks.Braking[end])
            {
                end++;
            }

            int from = k + (int)Math.Ceiling((options.SettledAfterS / blockS) - 1e-9);
            int to = Math.Min(end, k + (int)Math.Floor((options.EntryEndsS / blockS) + 1e-9));
            bool any = false;
            for (int w = from; w + BlocksInWindow <= to; w += BlocksInWindow)
            {
                if (IsClean(w) && -LargestX(w) >= options.LeastBrakingMps2 && Range(blocks.AccelerationX!, w) <= options.LongitudinalChangeMps2 && LargestLateral(w) <= options.HighestLateralWhileBrakingMps2)
                {
                    found.Add(Window(w, unit));
                    any = true;
                }
            }

            unit += any ? 1 : 0;
            k = end;
        }

        return found;
    }

    /// <summary>Windows of fast corners.</summary>
    public List<ConditionWindow> FastCorners()
    {
        List<ConditionWindow> found = [];
        int unit = -1;
        int last = int.MinValue;
        for (int w = 0; w + BlocksInWindow <= blocks.Count;)
        {
            double first = blocks.AccelerationY![w] - offsetY;
            if (IsClean(w) && !Brakes(w) && LeastLateral(w, Math.Sign(first)) >= options.LeastLateralMps2 && Range(blocks.AccelerationY, w) <= options.LateralChangeMps2
                && Math.Max(LargestX(w), -LowestX(w)) <= options.HighestLongitudinalInCornerMps2)
            {
                // Windows less than two seconds apart and to one side belong to one visit.
                bool goes = unit >= 0 && w - last <= (int)(2 / blockS) && found[^1].IsLeft == first > 0;
                unit += goes ? 0 : 1;
                found.Add(Window(w, unit));
                last = w + BlocksInWindow;
                w += BlocksInWindow;
            }
            else
            {
                w++;
            }
        }

        return found;
    }

    private bool[] Struck()
    {
        bool[] marked = new bool[blocks.Count];
        for (int c = 0; c < 4; c++)
        {
            for (int k = 0; k < marked.Length; k++)
            {
                double mean = blocks.LoadN[c][k];
                double far = Math.Max(blocks.HighestLoadN[c][k] - mean, mean - blocks.LowestLoadN[c][k]);
                double axle = (blocks.LoadN[c][k] + blocks.LoadN[c ^ 1][k]) / 2;
                if (far > options.StrikeShare * Math.Abs(axle))
                {
                    marked.AsSpan(Math.Max(0, k - 1), Math.Min(3, marked.Length - Math.Max(0, k - 1))).Fill(true);
                }
            }
        }

        return marked;
    }

    private bool IsClean(int first)
    {
        for (int k = first; k < first + BlocksInWindow; k++)
        {
            double sum = blocks.Speed![k] + blocks.AccelerationX![k] + blocks.AccelerationY![k] + (blocks.AccelerationZ?[k] ?? 0)
                + blocks.LoadN[0][k] + blocks.LoadN[1][k] + blocks.LoadN[2][k] + blocks.LoadN[3][k];
            if (!double.IsFinite(sum) || struck[k] || !(blocks.Speed[k] >= options.LowestSpeedMps))
            {
                return false;
            }
        }

        return true;
    }

    private bool Brakes(int first) => blocks.Braking.AsSpan(first, BlocksInWindow).Contains(true);

    private double LargestX(int first) => Largest(blocks.AccelerationX!, first) - offsetX;

    private double LowestX(int first) => Lowest(blocks.AccelerationX!, first) - offsetX;

    private double LargestLateral(int first) => Math.Max(Largest(blocks.AccelerationY!, first) - offsetY, offsetY - Lowest(blocks.AccelerationY!, first));

    private double LeastLateral(int first, int side) => side > 0 ? Lowest(blocks.AccelerationY!, first) - offsetY : offsetY - Largest(blocks.AccelerationY!, first);

    private static double Largest(double[] values, int first) => Math.Max(values[first], Math.Max(values[first + 1], values[first + 2]));

    private static double Lowest(double[] values, int first) => Math.Min(values[first], Math.Min(values[first + 1], values[first + 2]));

    private static double Range(double[] values, int first) => Largest(values, first) - Lowest(values, first);

    private static double Mean(double[]? values, int first) =>
        values is null ? double.NaN : (values[first] + values[first + 1] + values[first + 2]) / BlocksInWindow;

    private ConditionWindow Window(int first, int unit)
    {
        int start = first * blocks.Length;
        double lateral = Mean(blocks.AccelerationY, first) - offsetY;
        RunWindow means = new()
        {
            StartIndex = start,
            EndIndex = start + (BlocksInWindow * blocks.Length),
            StartS = run.Clock.At(start),
            EndS = run.Clock.At(start) + (BlocksInWindow * blockS),
            Lap = run.Laps.At(start).Number,
            LoadN = [.. Enumerable.Range(0, 4).Select(c => Mean(blocks.LoadN[c], first))],
            SpeedMps = Mean(blocks.Speed, first),
            FlowSpeedMps = Mean(blocks.AirSpeed ?? blocks.Speed, first),
            FlowSpeedSquared = Mean(blocks.AirSpeedSquared ?? blocks.SpeedSquared, first),
            AccelerationX = Mean(blocks.AccelerationX, first),
            AccelerationZ = blocks.AccelerationZ is null ? StandardGravity.Mps2 : Mean(blocks.AccelerationZ, first),
            FrontHeightMm = Mean(blocks.HeightMm?.Front, first),
            RearHeightMm = Mean(blocks.HeightMm?.Rear, first),
            FuelKg = FuelOnBoard.At(run, start),
            DistanceM = run.LapDistanceM.IsEmpty ? double.NaN : run.LapDistanceM[start],
        };
        return new(unit, lateral > 0, means, lateral, Mean(steer, first));
    }
}
