using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Platform;

/// <summary>Quasi-static blocks of 0.1 s: the aero stage's means, with travel beside them, each channel read once.</summary>
internal sealed class PlatformBlocks
{
    /// <summary>Speed of the axle's mean damper travel below which a block is quasi-static, m/s: damping is then below a tenth of a spring's force over its travel.</summary>
    private const double HighestTravelSpeedMps = 0.02;

    private PlatformBlocks(Run run, BlockMeans means)
    {
        Run = run;
        Means = means;
    }

    public Run Run { get; }

    public BlockMeans Means { get; }

    /// <summary>Damper travel from static of each corner, m; null without all four.</summary>
    public required double[][]? DamperM { get; init; }

    /// <summary>Wheel travel from static of each corner, m; null without all four.</summary>
    public required double[][]? WheelM { get; init; }

    /// <summary>Indices of the blocks in which the car runs, no load is missing or struck, and the platform hardly moves.</summary>
    public required int[] Quiet { get; init; }

    /// <summary>Group of each quiet block, from 0: its lap, or one of eight equal stretches where there are fewer than four laps.</summary>
    public required int[] Group { get; init; }

    /// <summary>Number of groups.</summary>
    public required int Groups { get; init; }

    /// <summary>Time between block middles, s.</summary>
    public double StepS => Means.Length * Run.Clock.StepS;

    public static PlatformBlocks? Of(WheelLoadSet wheels, AeroResult aero, PlatformOptions options)
    {
        if (aero.Blocks is not { Speed: { } speed } means)
        {
            return null;
        }

        Run run = wheels.Run;
        double[]?[] damper = new double[]?[4];
        double[]?[] wheel = new double[]?[4];
        Workers.Run(8, k =>
        {
            Corner corner = (Corner)(k % 4);
            if (k < 4)
            {
                damper[k] = BlockMeans.Mean(wheels.Pushrods.DamperTravelM[corner], means.Length, means.Count);
            }
            else
            {
                wheel[k - 4] = BlockMeans.Mean(wheels.WheelTravelM[corner], means.Length, means.Count);
            }
        });
        bool hasDamper = damper.All(d => d is not null);
        double stepS = means.Length * run.Clock.StepS;
        List<int> quiet = [];
        for (int k = 1; k < means.Count - 1; k++)
        {
            if (speed[k] > options.RunningMps && IsSteady(means, k) && (!hasDamper || (IsSlow(damper[0]!, damper[1]!, k, stepS) && IsSlow(damper[2]!, damper[3]!, k, stepS))))
            {
                quiet.Add(k);
            }
        }

        int[] laps = [.. quiet.Select(k => run.Laps.At(k * means.Length).Number)];
        int[] known = [.. laps.Distinct()];
        bool byLap = known.Length >= 4;
        int groups = byLap ? known.Length : Math.Min(8, quiet.Count);
        int[] group = [.. laps.Select((lap, i) => byLap ? Array.IndexOf(known, lap) : (int)((long)i * groups / Math.Max(1, quiet.Count)))];
        return new(run, means)
        {
            DamperM = hasDamper ? [.. damper.Select(d => d!)] : null,
            WheelM = wheel.All(w => w is not null) ? [.. wheel.Select(w => w!)] : null,
            Quiet = [.. quiet],
            Group = group,
            Groups = groups,
        };
    }

    private static bool IsSlow(double[] left, double[] right, int k, double stepS) =>
        Math.Abs(left[k + 1] + right[k + 1] - left[k - 1] - right[k - 1]) / (4 * stepS) < HighestTravelSpeedMps;

    /// <summary>No load further from its mean than the mean of its axle: no strike and no wheel in the air.</summary>
    private static bool IsSteady(BlockMeans means, int k)
    {
        for (int c = 0; c < 4; c++)
        {
            double mean = means.LoadN[c][k];
            double axle = (mean + means.LoadN[c ^ 1][k]) / 2;
            if (!(Math.Max(means.HighestLoadN[c][k] - mean, mean - means.LowestLoadN[c][k]) < axle))
            {
                return false;
            }
        }

        return true;
    }
}
