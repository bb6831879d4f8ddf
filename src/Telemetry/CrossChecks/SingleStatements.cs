using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.CrossChecks;

/// <summary>What the log makes of the single statements, with the standard deviation that each may have.</summary>
internal sealed class SingleStatements
{
    public const int Count = 17;

    /// <summary>Measured; NaN where the statement cannot be made.</summary>
    public double[] Measured { get; } = NaNs();

    /// <summary>Standard deviation, scatter and allowance together.</summary>
    public double[] Deviation { get; } = NaNs();

    /// <summary>What healthy sensors give.</summary>
    public static double Expected(int statement) => (Single)statement switch
    {
        Single.LongitudinalPerSpeedChange or Single.LateralPerTurning or Single.LapLength or Single.Position or Single.WheelSpeed or Single.LapDistance => 1,
        _ => 0,
    };

    public static SingleStatements Of(WheelLoadSet wheels, CheckBlocks blocks, CrossCheckOptions options)
    {
        SingleStatements all = new();
        all.Zeros(wheels, options);
        all.Standing(wheels, options);
        if (blocks.Count > 2)
        {
            int[] running = [.. Enumerable.Range(0, blocks.Count).Where(k => blocks.Speed[k] > options.RunningMps)];
            all.Movement(blocks, running, options);
            all.Ratio(Single.WheelSpeed, blocks.WheelSpeed, blocks.Speed, running, options.WheelSpeedShare);
            all.Laps(wheels.Run, blocks, options);
            all.Positions(wheels.Run, blocks, running, options);
        }

        return all;
    }

    private void Set(Single statement, double measured, double deviation)
    {
        if (double.IsFinite(measured) && deviation > 0 && double.IsFinite(deviation))
        {
            Measured[(int)statement] = measured;
            Deviation[(int)statement] = deviation;
        }
    }

    private void Zeros(WheelLoadSet wheels, CrossCheckOptions options)
    {
        if (wheels.Pushrods.WithheldBecause is not null || wheels.Pushrods.Windows.IsEmpty || wheels.Pushrods.Windows[0].OnStands)
        {
            return;
        }

        foreach ((Corner corner, CornerZero zero) in wheels.Pushrods.Zeros.Each())
        {
            double balance = wheels.Run.Car.Mapping(ChannelRoles.PushrodLoad(corner))?.Range is (double low, double high)
                ? options.ZeroBalanceShare * Math.Max(Math.Abs(low), Math.Abs(high))
                : options.ZeroOfStaticShare * Math.Abs(StaticN(wheels, corner));
            Set(Single.ZeroFL + (int)corner, zero.StartN, double.Hypot(balance, zero.StandardUncertaintyN));
        }
    }

    /// <summary>Pushrod load at the first standstill by the setup sheet, N.</summary>
    public static double StaticN(WheelLoadSet wheels, Corner corner)
    {
        ImmutableArray<StandstillWindow> windows = wheels.Pushrods.Windows;
        double fuel = FuelOnBoard.At(wheels.Run, windows.IsEmpty ? 0 : windows[0].StartIndex);
        return StaticLoad.OnGround(wheels.Run.Car, corner, fuel, ZeroOptions.Default).LoadN;
    }

    private void Standing(WheelLoadSet wheels, CrossCheckOptions options)
    {
        foreach ((Single statement, ChannelRole role, double level) in new[]
        {
            (Single.StandingLongitudinal, ChannelRole.AccelerationX, 0),
            (Single.StandingLateral, ChannelRole.AccelerationY, 0),
            (Single.StandingVertical, ChannelRole.AccelerationZ, StandardGravity.Mps2),
        })
        {
            SampleSource samples = wheels.Run.OnClock(role);
            if (samples.IsEmpty)
            {
                continue;
            }

            double sum = 0;
            int count = 0;
            foreach (StandstillWindow window in wheels.Pushrods.Windows)
            {
                double middle = BlockMedian.Of(samples, window.StartIndex, window.EndIndex, Math.Max(1, (int)Math.Round(0.5 / wheels.Run.Clock.StepS))).Middle;
                if (double.IsFinite(middle))
                {
                    sum += middle - level;
                    count++;
                }
            }

            Set(statement, sum / count, options.AccelerationOffsetMps2);
        }
    }

    /// <summary>Accelerometers against the change of speed and the turning of the car, by regression of each on both.</summary>
    private void Movement(CheckBlocks blocks, int[] running, CrossCheckOptions options)
    {
        double[] slope = blocks.SpeedSlope();
        double[]? turning = null;
        if (blocks.YawRate is { } yaw)
        {
            // A gyroscope's zero is its reading while the car stands; running blocks only, so that the constant takes it where it never stands.
            double zero = OrderStatistics.Median([.. yaw.Where((value, k) => double.IsFinite(value) && Math.Abs(blocks.Speed[k]) < 0.3)]);
            turning = [.. blocks.Speed.Zip(yaw, (v, r) => v * (r - (double.IsFinite(zero) ? zero : 0)))];
        }

        Fit(blocks.AccelerationX, Single.LongitudinalPerSpeedChange, Single.LongitudinalPerTurning, null);
        Fit(blocks.AccelerationY, Single.LateralPerSpeedChange, Single.LateralPerTurning, Single.StraightLateral);

        void Fit(double[]? acceleration, Single onSlope, Single onTurning, Single? constant)
        {
            if (acceleration is null)
            {
                return;
            }

            // The change of speed from block to block is the mean over three blocks, the middle one twice.
            double[] smooth = Smooth(acceleration);
            double[] turn = turning is null ? new double[smooth.Length] : Smooth(turning);
            int[] rows = [.. running.Where(k => double.IsFinite(smooth[k] + slope[k] + turn[k]))];
            int perCluster = Math.Max(1, (int)Math.Round(options.ClusterS / blocks.BlockS));
            int[] cluster = [.. Enumerable.Range(0, blocks.Count).Select(k => k / perCluster)];
            if (rows.Select(k => cluster[k]).Distinct().Count() < options.FewestClusters)
            {
                return;
            }

            double[] ones = new double[smooth.Length];
            Array.Fill(ones, 1);
            SharedRegression fit = SharedRegression.Of([ones, slope, turn], [smooth], rows, cluster);
            Take(onSlope, 1, options.AccelerationGainShare);
            if (turning is not null)
            {
                Take(onTurning, 2, options.AccelerationGainShare);
                if (constant is { } still)
                {
                    Take(still, 0, options.AccelerationOffsetMps2);
                }
            }

            void Take(Single statement, int column, double allowance)
            {
                (double value, double variance) = fit.Combination(0, (column, 1));
                Set(statement, value, Math.Sqrt(variance + (allowance * allowance)));
            }
        }
    }

    private void Ratio(Single statement, double[]? above, double[] below, int[] rows, double allowance)
    {
        if (above is not null)
        {
            double[] ratios = [.. rows.Where(k => below[k] > 0 && double.IsFinite(above[k])).Select(k => above[k] / below[k])];
            Set(statement, OrderStatistics.Median(ratios), allowance);
        }
    }

    /// <summary>Way per lap, and the work of the longitudinal acceleration over a lap: along a closed way hills cancel, and the change of speed is known.</summary>
    private void Laps(Run run, CheckBlocks blocks, CrossCheckOptions options)
    {
        List<double> lengths = [];
        List<double> offsets = [];
        foreach (Lap lap in run.Laps.Laps.Where(lap => lap.IsComplete))
        {
            if (run.Car.LapLengthM is { } nominal && double.IsFinite(lap.LengthM))
            {
                lengths.Add(Travelled(run, lap.StartIndex, lap.EndIndex) / nominal);
            }

            if (blocks.AccelerationX is { } ax)
            {
                double work = 0;
                double way = 0;
                int first = (lap.StartIndex + blocks.Length - 1) / blocks.Length;
                int last = Math.Min(blocks.Count, lap.EndIndex / blocks.Length);
                for (int k = first; k < last; k++)
                {
                    work += ax[k] * blocks.Speed[k] * blocks.BlockS;
                    way += blocks.Speed[k] * blocks.BlockS;
                }

                if (last > first + 10)
                {
                    offsets.Add((work - (((blocks.Speed[last - 1] * blocks.Speed[last - 1]) - (blocks.Speed[first] * blocks.Speed[first])) / 2)) / way);
                }
            }
        }

        // A logger often makes the distance of the speed; then the two agree whatever the speed does, and that is no evidence.
        double[] distances = [.. run.Laps.Laps.Where(lap => lap.IsComplete).Select(lap => OverLapDistance(run, lap))];
        if (distances.Any(ratio => Math.Abs(ratio - 1) > options.SameDistanceShare))
        {
            SetMean(Single.LapDistance, [.. distances], options.LapLengthShare);
        }

        SetMean(Single.LapLength, lengths, options.LapLengthShare);
        SetMean(Single.LapLongitudinal, offsets, options.AccelerationOffsetMps2);
    }

    /// <summary>Integrated speed over the lap-distance channel between a tenth and nine tenths of a lap's time; NaN without the channel.</summary>
    private static double OverLapDistance(Run run, Lap lap)
    {
        SampleSource distance = run.OnClock(ChannelRole.LapDistance);
        if (distance.IsEmpty)
        {
            return double.NaN;
        }

        int from = lap.StartIndex + ((lap.EndIndex - lap.StartIndex) / 10);
        int to = lap.EndIndex - ((lap.EndIndex - lap.StartIndex) / 10);
        return Travelled(run, from, to) / (distance[to] - distance[from]);
    }

    private static double Travelled(Run run, int from, int to)
    {
        ReadOnlySpan<double> speed = run.OnClock(ChannelRole.Speed).Between(from, to);
        double sum = 0;
        foreach (double value in speed)
        {
            sum += value;
        }

        return sum * run.Clock.StepS;
    }

    /// <summary>Way along the positions in steps of a second, long against their noise and short against a bend.</summary>
    private void Positions(Run run, CheckBlocks blocks, int[] running, CrossCheckOptions options)
    {
        SampleSource east = run.OnClock(ChannelRole.PositionEast);
        SampleSource north = run.OnClock(ChannelRole.PositionNorth);
        if (east.IsEmpty || north.IsEmpty)
        {
            return;
        }

        int span = Math.Max(1, (int)Math.Round(1 / blocks.BlockS));
        double way = 0;
        double driven = 0;
        foreach (int k in running)
        {
            if (k % span != 0 || k + span >= blocks.Count)
            {
                continue;
            }

            int from = k * blocks.Length;
            int to = (k + span) * blocks.Length;
            double piece = double.Hypot(east[to] - east[from], north[to] - north[from]);
            double sum = 0;
            for (int j = k; j < k + span; j++)
            {
                sum += blocks.Speed[j] * blocks.BlockS;
            }

            if (double.IsFinite(piece + sum))
            {
                way += piece;
                driven += sum;
            }
        }

        if (way > 500)
        {
            Set(Single.Position, driven / way, options.PositionShare);
        }
    }

    private void SetMean(Single statement, List<double> values, double allowance)
    {
        double[] finite = [.. values.Where(double.IsFinite)];
        if (finite.Length == 0)
        {
            return;
        }

        double mean = finite.Average();
        double variance = finite.Length > 1 ? finite.Sum(value => (value - mean) * (value - mean)) / (finite.Length - 1) / finite.Length : 0;
        Set(statement, mean, Math.Sqrt(variance + (allowance * allowance)));
    }

    private static double[] Smooth(double[] values)
    {
        double[] smooth = new double[values.Length];
        Array.Fill(smooth, double.NaN);
        for (int k = 1; k < values.Length - 1; k++)
        {
            smooth[k] = (values[k - 1] + (2 * values[k]) + values[k + 1]) / 4;
        }

        return smooth;
    }

    private static double[] NaNs()
    {
        double[] values = new double[Count];
        Array.Fill(values, double.NaN);
        return values;
    }
}
