using System.Collections.Immutable;
using Telemetry.Runs;

namespace Telemetry.Aero;

/// <summary>Cuts the run into windows and says of each whether it is quasi-steady (equation E6).</summary>
/// <remarks>
/// A plain mean over a window is its own low-pass, of zero phase and with its first zero at 1 / window (2 Hz for 0.5 s), below the heave
/// frequency of a race car. A filter before it would only smear the neighbours of a window, and with them a brake or a kerb, into it.
/// </remarks>
internal static class QuasiSteadyGate
{
    public static RunWindow[] Windows(Run run, BlockMeans blocks, AeroOptions options, double offsetX, double offsetY)
    {
        int count = blocks.Count / BlockMeans.PerWindow;
        int length = blocks.Length * BlockMeans.PerWindow;
        double[]? flow = blocks.AirSpeed ?? blocks.Speed;
        double[]? flowSquared = blocks.AirSpeedSquared ?? blocks.SpeedSquared;
        double[]? lateral = Lateral(blocks, offsetY);
        RunWindow[] windows = new RunWindow[count];
        for (int w = 0; w < count; w++)
        {
            int start = w * length;
            double ax = blocks.AccelerationX is null
                ? SlopeOfSpeed(blocks, w, run.Clock.StepS)
                : BlockMeans.Window(blocks.AccelerationX, w);
            RunWindow window = new()
            {
                StartIndex = start,
                EndIndex = start + length,
                StartS = run.Clock.At(start),
                EndS = run.Clock.At(start + length - 1) + run.Clock.StepS,
                Lap = run.Laps.At(start).Number,
                LoadN = [.. Enumerable.Range(0, 4).Select(c => BlockMeans.Window(blocks.LoadN[c], w))],
                SpeedMps = BlockMeans.Window(blocks.Speed, w),
                FlowSpeedMps = BlockMeans.Window(flow, w),
                FlowSpeedSquared = BlockMeans.Window(flowSquared, w),
                AccelerationX = ax,
                AccelerationZ = blocks.AccelerationZ is null ? StandardGravity.Mps2 : BlockMeans.Window(blocks.AccelerationZ, w),
                FrontHeightMm = BlockMeans.Window(blocks.HeightMm?.Front, w),
                RearHeightMm = BlockMeans.Window(blocks.HeightMm?.Rear, w),
                StationWind = StationWind.At(run, start + (length / 2)),
                FuelKg = FuelOnBoard.At(run, start + (length / 2)),
                DistanceM = run.LapDistanceM.IsEmpty ? double.NaN : run.LapDistanceM[start],
            };
            Judge(window, w, blocks, lateral, offsetX, options);
            windows[w] = window;
        }

        RejectDisturbed(windows, blocks, run.Clock.StepS, options);
        return windows;
    }

    /// <summary>Gates in the order in which a driver meets them; the first that fails is the reason.</summary>
    private static void Judge(RunWindow window, int index, BlockMeans blocks, double[]? lateral, double offsetX, AeroOptions options)
    {
        int first = index * BlockMeans.PerWindow;
        ReadOnlySpan<bool> braking = blocks.Braking.AsSpan(first, BlockMeans.PerWindow);
        if (!double.IsFinite(window.SpeedMps))
        {
            window.Reject("gap in speed", endsStraight: false);
        }
        else if (window.SpeedMps <= options.LowestSpeedMps)
        {
            window.Reject("speed", endsStraight: true);
        }
        else if (braking.Contains(true))
        {
            window.Reject("braking", endsStraight: true);
        }
        else if (lateral is not null && Beyond(lateral.AsSpan(first, BlockMeans.PerWindow), options.HighestLateralMps2))
        {
            window.Reject("lateral acceleration", endsStraight: true);
        }
        else if (Math.Abs(window.AccelerationX - offsetX) >= options.HighestLongitudinalMps2)
        {
            window.Reject("longitudinal acceleration", endsStraight: false);
        }
        else if (!window.LoadN.All(double.IsFinite))
        {
            window.Reject("gap in a load", endsStraight: false);
        }
        else if (!double.IsFinite(window.FlowSpeedSquared)
            || !double.IsFinite(window.AccelerationX)
            || !double.IsFinite(window.AccelerationZ)
            || (lateral is not null && lateral.AsSpan(first, BlockMeans.PerWindow).ContainsAnyExceptInRange(double.MinValue, double.MaxValue)))
        {
            window.Reject("gap in speed or acceleration", endsStraight: false);
        }
        else if (blocks.HeightMm is not null && !double.IsFinite(window.FrontHeightMm + window.RearHeightMm))
        {
            window.Reject("gap in ride height", endsStraight: false);
        }
        else if (Overlaps(window, options.DisturbedS))
        {
            window.Reject("left out on request", endsStraight: false);
        }
    }

    /// <summary>Turns away windows with a strike in them or close to them.</summary>
    /// <remarks>
    /// A strike is a full-rate load that leaves the mean of its window by several times what is usual on this run's straights. It is judged on the
    /// load alone, block by block, so that this stage needs no answer of a later one.
    /// </remarks>
    private static void RejectDisturbed(RunWindow[] windows, BlockMeans blocks, double stepS, AeroOptions options)
    {
        int used = windows.Length * BlockMeans.PerWindow;
        bool[] strike = new bool[used];
        for (int c = 0; c < 4; c++)
        {
            double[] largest = new double[used];
            List<double> usual = [];
            for (int w = 0; w < windows.Length; w++)
            {
                double mean = windows[w].LoadN[c];
                for (int k = w * BlockMeans.PerWindow; k < (w + 1) * BlockMeans.PerWindow; k++)
                {
                    largest[k] = Math.Max(blocks.HighestLoadN[c][k] - mean, mean - blocks.LowestLoadN[c][k]);
                    if (windows[w].RejectedBecause is null)
                    {
                        usual.Add(largest[k]);
                    }
                }
            }

            double limit = options.DisturbanceFactor * OrderStatistics.Median([.. usual]);
            for (int k = 0; k < used && limit > 0; k++)
            {
                strike[k] |= largest[k] > limit;
            }
        }

        int margin = (int)Math.Ceiling((options.DisturbanceMarginS / (blocks.Length * stepS)) - 1e-9);
        for (int w = 0; w < windows.Length; w++)
        {
            int from = Math.Max(0, (w * BlockMeans.PerWindow) - margin);
            int to = Math.Min(used, ((w + 1) * BlockMeans.PerWindow) + margin);
            if (windows[w].RejectedBecause is null && strike.AsSpan(from, to - from).Contains(true))
            {
                windows[w].Reject("strike", endsStraight: false);
            }
        }
    }

    private static double[]? Lateral(BlockMeans blocks, double offsetY)
    {
        if (blocks.AccelerationY is { } measured)
        {
            return [.. measured.Select(a => a - offsetY)];
        }

        return blocks.YawRate is { } yaw && blocks.Speed is { } speed ? [.. yaw.Zip(speed, (r, v) => r * v)] : null;
    }

    private static double SlopeOfSpeed(BlockMeans blocks, int window, double stepS)
    {
        if (blocks.Speed is null)
        {
            return double.NaN;
        }

        int first = window * BlockMeans.PerWindow;
        return (blocks.Speed[first + BlockMeans.PerWindow - 1] - blocks.Speed[first]) / ((BlockMeans.PerWindow - 1) * blocks.Length * stepS);
    }

    private static bool Beyond(ReadOnlySpan<double> values, double limit)
    {
        foreach (double value in values)
        {
            if (Math.Abs(value) >= limit)
            {
                return true;
            }
        }

        return false;
    }

    private static bool Overlaps(RunWindow window, ImmutableArray<TimeSpanS> spans)
    {
        foreach (TimeSpanS span in spans)
        {
            if (span.StartS < window.EndS && span.EndS > window.StartS)
            {
                return true;
            }
        }

        return false;
    }
}
