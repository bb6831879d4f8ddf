using Telemetry.Car;

namespace Telemetry.CrossChecks;

/// <summary>What a sensor can respond to. Each is a change of a stated size, so that responses of different motions compare.</summary>
internal enum Motion
{
    /// <summary>From standing to the 95th percentile of speed squared, straight ahead.</summary>
    Speed = 0,

    /// <summary>1 g to the left.</summary>
    Lateral = 1,

    /// <summary>1 g of braking.</summary>
    Braking = 2,

    /// <summary>0.5 g of driving.</summary>
    Driving = 3,

    /// <summary>1 g more in the vertical specific force.</summary>
    Vertical = 4,
}

/// <summary>Responses of the eight sensors to the five motions, by regression over the running blocks; loads in N at the wheel, travels in m at the wheel.</summary>
/// <remarks>
/// Sum and difference of an axle are fitted, not its two sides: what is curved in a car is even in the sum and odd in the difference, so that an imperfect
/// model of one does not reach into the other. The scatter of both is nearly independent.
/// </remarks>
internal sealed class MotionResponses
{
    public const int Sensors = 8;

    public const int Motions = 5;

    /// <summary>Response of sensor s to motion m at [s, m]; NaN where unknown.</summary>
    public required double[,] Value { get; init; }

    /// <summary>Variance of half the sum of a pair (0 front cells, 1 rear cells, 2 front dampers, 3 rear dampers) at [pair, motion].</summary>
    public required double[,] SumVariance { get; init; }

    /// <summary>Variance of half the difference.</summary>
    public required double[,] DifferenceVariance { get; init; }

    /// <summary>Speed at which the response to speed is stated, m/s.</summary>
    public required double ReferenceSpeedMps { get; init; }

    /// <summary>True when the lateral motion is the accelerometer's; false when it is speed times yaw rate, or not known.</summary>
    public required bool LateralIsMeasured { get; init; }

    /// <summary>True when the longitudinal motion is the accelerometer's; false when it is the change of speed.</summary>
    public required bool LongitudinalIsMeasured { get; init; }

    /// <summary>Responses; null when too little of the run can be used.</summary>
    /// <param name="blocks">Block means.</param>
    /// <param name="car">Ratios.</param>
    /// <param name="standing">What the accelerometers read at standstill, m/s2; taken off, so that a tilt is no response to motion. NaN takes nothing off.</param>
    /// <param name="options">Lengths and limits.</param>
    public static MotionResponses? Of(CheckBlocks blocks, CarDefinition car, (double X, double Y) standing, CrossCheckOptions options)
    {
        double[]? lateral = Less(blocks.AccelerationY, standing.Y) ?? Product(blocks.Speed, blocks.YawRate);
        double[] longitudinal = Less(blocks.AccelerationX, standing.X) ?? blocks.SpeedSlope();
        int[] pairs = [.. Enumerable.Range(0, 4).Where(pair => blocks.Sensor[2 * pair] is not null && blocks.Sensor[(2 * pair) + 1] is not null)];
        int[] rows = Rows(blocks, lateral, longitudinal, pairs, options);
        if (rows.Length == 0 || pairs.Length == 0)
        {
            return null;
        }

        int perCluster = Math.Max(1, (int)Math.Round(options.ClusterS / blocks.BlockS));
        int[] cluster = [.. Enumerable.Range(0, blocks.Count).Select(k => k / perCluster)];
        if (rows.Select(k => cluster[k]).Distinct().Count() < options.FewestClusters)
        {
            return null;
        }

        double reference = Percentile95(rows, blocks.Speed);
        double[][] design = Design(blocks, lateral, longitudinal, rows, reference, out double lateralSpeed);
        double[][] responses = [.. pairs.SelectMany(pair => Modes(blocks, car, pair))];
        SharedRegression fit = SharedRegression.Of(design, responses, rows, cluster);
        int[] kept = Trim(fit, design, responses, rows, options.TrimAt);
        fit = SharedRegression.Of(design, responses, kept, cluster);
        return Collect(fit, pairs, lateralSpeed, Math.Sqrt(reference), blocks);
    }

    private static MotionResponses Collect(SharedRegression fit, int[] pairs, double lateralSpeed, double referenceMps, CheckBlocks blocks)
    {
        double[,] value = new double[Sensors, Motions];
        double[,] sums = new double[4, Motions];
        double[,] differences = new double[4, Motions];
        for (int pair = 0; pair < 4; pair++)
        {
            int place = Array.IndexOf(pairs, pair);
            for (int m = 0; m < Motions; m++)
            {
                if (place < 0)
                {
                    value[2 * pair, m] = value[(2 * pair) + 1, m] = double.NaN;
                    continue;
                }

                (double sum, sums[pair, m]) = Response(fit, 2 * place, (Motion)m, lateralSpeed);
                (double difference, differences[pair, m]) = Response(fit, (2 * place) + 1, (Motion)m, lateralSpeed);
                bool isKnown = double.IsFinite(sums[pair, m]) && double.IsFinite(differences[pair, m]);
                value[2 * pair, m] = isKnown ? sum - difference : double.NaN;
                value[(2 * pair) + 1, m] = isKnown ? sum + difference : double.NaN;
            }
        }

        ForgetVertical(value, sums);
        return new()
        {
            Value = value,
            SumVariance = sums,
            DifferenceVariance = differences,
            ReferenceSpeedMps = referenceMps,
            LateralIsMeasured = blocks.AccelerationY is not null,
            LongitudinalIsMeasured = blocks.AccelerationX is not null,
        };
    }

    /// <summary>
    /// On a smooth level road the vertical accelerometer shows its noise and little else, and a regressor of noise has a coefficient near nothing (attenuation: W. Fuller,
    /// Measurement Error Models (1987), section 1.1). Its answer counts only where the cells' sum tells it to a tenth.
    /// </summary>
    private static void ForgetVertical(double[,] value, double[,] sums)
    {
        const int M = (int)Motion.Vertical;
        double sum = value[0, M] + value[1, M] + value[2, M] + value[3, M];
        double deviation = 2 * Math.Sqrt(sums[0, M] + sums[1, M]);
        if (!(Math.Abs(sum) > 10 * deviation))
        {
            for (int s = 0; s < Sensors; s++)
            {
                value[s, M] = double.NaN;
            }
        }
    }

    private static (double Value, double Variance) Response(SharedRegression fit, int response, Motion motion, double lateralSpeed) => motion switch
    {
        Motion.Speed => fit.Combination(response, (1, 1), (2, 1)),
        Motion.Lateral => fit.Combination(response, (6, 1), (7, lateralSpeed)),
        Motion.Braking => fit.Combination(response, (3, -1)),
        Motion.Driving => fit.Combination(response, (4, 0.5)),
        _ => fit.Combination(response, (5, 1)),
    };

    /// <summary>Constant, q, q^2, braking, driving, vertical, lateral, lateral times q, lateral squared, time; q is speed squared over the reference, accelerations in g.</summary>
    private static double[][] Design(CheckBlocks blocks, double[]? lateral, double[] longitudinal, int[] rows, double referenceSquared, out double lateralSpeed)
    {
        int count = blocks.Count;
        double[][] design = [.. Enumerable.Range(0, 10).Select(_ => new double[count])];
        double vertical = blocks.AccelerationZ is null ? 0 : rows.Average(k => blocks.AccelerationZ[k]);
        double weighted = 0;
        double weights = 0;
        foreach (int k in rows)
        {
            double q = blocks.Speed[k] * blocks.Speed[k] / referenceSquared;
            double ax = longitudinal[k] / StandardGravity.Mps2;
            double ay = lateral is null ? 0 : lateral[k] / StandardGravity.Mps2;
            design[0][k] = 1;
            design[1][k] = q;
            design[2][k] = q * q;
            design[3][k] = Math.Min(0, ax);
            design[4][k] = Math.Max(0, ax);
            design[5][k] = blocks.AccelerationZ is null ? 0 : (blocks.AccelerationZ[k] - vertical) / StandardGravity.Mps2;
            design[6][k] = ay;
            design[7][k] = ay * q;
            design[8][k] = ay * ay;
            design[9][k] = ((double)k / count) - 0.5;
            weighted += ay * ay * q;
            weights += ay * ay;
        }

        lateralSpeed = weights > 0 ? weighted / weights : 0;
        return design;
    }

    /// <summary>Half the sum and half the difference, right minus left, of a pair, at the wheel by the ratios at the static position.</summary>
    /// <remarks>The ratios are taken as constant here so that a load cell's response does not hang on a damper; what they change with travel is alike on both sides.</remarks>
    private static double[][] Modes(CheckBlocks blocks, CarDefinition car, int pair)
    {
        Axle axle = pair % 2 == 0 ? Axle.Front : Axle.Rear;
        double factor = pair < 2 ? car.Suspension[axle].InstallationRatio.At(0) : 1 / car.Suspension[axle].DamperRatio.At(0);
        double[] left = blocks.Sensor[2 * pair]!;
        double[] right = blocks.Sensor[(2 * pair) + 1]!;
        double[] sum = new double[left.Length];
        double[] difference = new double[left.Length];
        for (int k = 0; k < left.Length; k++)
        {
            sum[k] = factor * (right[k] + left[k]) / 2;
            difference[k] = factor * (right[k] - left[k]) / 2;
        }

        return [sum, difference];
    }

    private static int[] Rows(CheckBlocks blocks, double[]? lateral, double[] longitudinal, int[] pairs, CrossCheckOptions options)
    {
        List<int> rows = new(blocks.Count);
        for (int k = 0; k < blocks.Count; k++)
        {
            double all = blocks.Speed[k] + longitudinal[k] + (lateral?[k] ?? 0) + (blocks.AccelerationZ?[k] ?? 0);
            foreach (int pair in pairs)
            {
                all += blocks.Sensor[2 * pair]![k] + blocks.Sensor[(2 * pair) + 1]![k];
            }

            if (blocks.Speed[k] > options.RunningMps && double.IsFinite(all))
            {
                rows.Add(k);
            }
        }

        return [.. rows];
    }

    /// <summary>Rows without a kerb in them: none of the responses leaves the fit by more than a number of robust deviations.</summary>
    private static int[] Trim(SharedRegression fit, double[][] design, double[][] responses, int[] rows, double at)
    {
        bool[] drop = new bool[rows.Length];
        double[] residual = new double[rows.Length];
        for (int r = 0; r < responses.Length; r++)
        {
            for (int n = 0; n < rows.Length; n++)
            {
                residual[n] = Math.Abs(fit.Residual(design, responses[r], r, rows[n]));
            }

            double[] sorted = [.. residual];
            Array.Sort(sorted);
            double limit = at * OrderStatistics.NormalConsistency * sorted[sorted.Length / 2];
            for (int n = 0; n < rows.Length; n++)
            {
                drop[n] |= limit > 0 && residual[n] > limit;
            }
        }

        int[] kept = [.. rows.Where((_, n) => !drop[n])];

        // A channel that leaves its own fit most of the time is no kerb; then everything stays.
        return kept.Length > rows.Length / 2 ? kept : rows;
    }

    private static double[]? Less(double[]? values, double offset) =>
        values is null || !double.IsFinite(offset) ? values : [.. values.Select(value => value - offset)];

    private static double Percentile95(int[] rows, double[] speed)
    {
        double[] squares = [.. rows.Select(k => speed[k] * speed[k])];
        Array.Sort(squares);
        return squares[(int)(0.95 * (squares.Length - 1))];
    }

    private static double[]? Product(double[] speed, double[]? yaw) => yaw is null ? null : [.. speed.Zip(yaw, (v, r) => v * r)];
}
