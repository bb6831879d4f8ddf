namespace Telemetry.CrossChecks;

/// <summary>Maximum likelihood of everything that was measured, given which faults there are.</summary>
/// <remarks>
/// Measured responses are normal about L(g) A p with covariance L(g) D L(g)' + V: A the healthy car, p its free numbers, L what the faults do with sizes g,
/// D the allowances, V the scatter of both sides of an axle. Given g all is linear in p, so Gauss-Newton steps in p and g together with the covariance of
/// the last g, halved while the criterion grows. The criterion is minus twice the log likelihood, with the logarithm of the covariance's determinant.
/// </remarks>
internal sealed class FaultFit
{
    private const int Free = ResponseModel.FreeNumbers;
    private const int Values = MotionResponses.Sensors * MotionResponses.Motions;
    private const int Steps = 25;
    private const double Converged = 1e-4;

    // Responses that a fault frees keep a thousandth of their weight in standard deviations: nothing, and the equations stay solvable.
    private const double FreedDeviation = 1e3;

    private readonly ResponseModel model;
    private readonly SingleStatements single;
    private readonly double[][] columns;
    private readonly double[] measured = new double[Values];

    public FaultFit(ResponseModel model, SingleStatements single)
    {
        this.model = model;
        this.single = single;
        columns = [.. Enumerable.Range(0, Free).Select(free =>
        {
            double[] column = new double[Values];
            model.Column(free, column);
            return column;
        })];
        for (int i = 0; i < Values; i++)
        {
            measured[i] = model.Responses.Value[i / MotionResponses.Motions, i % MotionResponses.Motions];
        }

        // Twenty of the bonds only keep the equations solvable; the twist's four are real.
        ResponseCount = measured.Count(double.IsFinite);
        Statements = ResponseCount + single.Measured.Count(double.IsFinite) + model.Bonds.Count - 20;
        DegreesOfFreedom = Statements - Enumerable.Range(0, Free).Count(model.IsMeasured);
    }

    /// <summary>Statements that were compared: responses, single statements, and what binds the free numbers (without the weak bond that each has).</summary>
    public int Statements { get; }

    /// <summary>Statements less the free numbers that the log determines.</summary>
    public int DegreesOfFreedom { get; }

    /// <summary>Responses among them.</summary>
    public int ResponseCount { get; }

    /// <summary>The answer of a fit.</summary>
    /// <param name="Criterion">Minus twice the log likelihood, up to a constant that is the same for all faults.</param>
    /// <param name="ChiSquare">Sum of squared standardised deviations.</param>
    /// <param name="FreeNumbers">The healthy car's numbers.</param>
    /// <param name="Sizes">Sizes of the faults.</param>
    /// <param name="SizeDeviations">Their standard uncertainties.</param>
    public sealed record Answer(double Criterion, double ChiSquare, double[] FreeNumbers, double[] Sizes, double[] SizeDeviations);

    /// <summary>The best sizes of some faults, from where each begins, in a number of steps at most.</summary>
    public Answer Best(IReadOnlyList<SensorFault> faults, double[] start, int most = Steps)
    {
        double[] sizes = [.. start];
        Answer best = At(faults, sizes, out double[] step);
        for (int k = 0; k < most && faults.Any(fault => fault.HasSize); k++)
        {
            Answer? next = null;
            double[] nextStep = step;
            double[] tried = sizes;
            for (double share = 1; share > 0.01 && next is null; share /= 2)
            {
                tried = [.. sizes.Select((size, i) => size + (share * step[i]))];
                Answer answer = At(faults, tried, out nextStep);
                next = answer.Criterion < best.Criterion ? answer : null;
            }

            if (next is null)
            {
                break;
            }

            bool isDone = best.Criterion - next.Criterion < Converged;
            (best, sizes, step) = (next, tried, nextStep);
            if (isDone)
            {
                break;
            }
        }

        return best;
    }

    /// <summary>Responses as they would be read with given free numbers and faults.</summary>
    public static double[] Read(ResponseModel model, IReadOnlyList<SensorFault> faults, double[] sizes, double[] free)
    {
        double[] response = new double[Values];
        double[] column = new double[Values];
        for (int j = 0; j < Free; j++)
        {
            model.Column(j, column);
            for (int i = 0; i < Values; i++)
            {
                response[i] += free[j] * column[i];
            }
        }

        Apply(faults, sizes, response);
        return response;
    }

    /// <summary>Single statements as they would be read.</summary>
    public static double[] ReadSingle(IReadOnlyList<SensorFault> faults, double[] sizes)
    {
        double[] statements = [.. Enumerable.Range(0, SingleStatements.Count).Select(SingleStatements.Expected)];
        for (int f = 0; f < faults.Count; f++)
        {
            faults[f].ApplySingle(statements, sizes[f]);
        }

        return statements;
    }

    private static void Apply(IReadOnlyList<SensorFault> faults, double[] sizes, Span<double> response)
    {
        for (int f = 0; f < faults.Count; f++)
        {
            faults[f].Apply(response, sizes[f]);
        }
    }

    private Answer At(IReadOnlyList<SensorFault> faults, double[] sizes, out double[] step)
    {
        int free = Free + faults.Count;
        NormalEquations equations = new(free);
        double[][] read = [.. columns.Select(column =>
        {
            double[] seen = [.. column];
            Apply(faults, sizes, seen);
            return seen;
        })];

        double[] allowance = [.. model.Allowance];
        for (int f = 0; f < faults.Count; f++)
        {
            if (faults[f].MovesAllowance)
            {
                faults[f].Apply(allowance, sizes[f]);
            }
        }

        PairWeights weights = PairWeights.Of(model.Responses, allowance, faults.Any(fault => fault.FreesResponses) ? FreedDeviation : 1);

        // First the free numbers for these sizes, with the sizes held.
        Responses(equations, weights, read);
        Bonds(equations);
        double[] numbers = equations.Solve(Free, out _);

        double[][] slope = Slopes(faults, sizes, numbers);
        double[][] singleSlope = SingleSlopes(faults, sizes);
        double[] atSizes = ReadSingle(faults, sizes);
        double chiSquare = weights.ChiSquare(measured, Sum(read, numbers)) + BondChiSquare(numbers) + SingleChiSquare(atSizes, faults);
        double criterion = chiSquare + weights.LogDeterminant;

        // Then free numbers and sizes together, linear about this point.
        NormalEquations joint = new(free);
        Responses(joint, weights, [.. read, .. slope]);
        Bonds(joint);
        Singles(joint, singleSlope, atSizes, faults);
        for (int f = 0; f < faults.Count; f++)
        {
            joint.Hold(Free + f, faults[f].HasSize ? 1e-9 : 1e9);
        }

        double[] whole = joint.Solve(free, out double[] deviations);
        step = [.. faults.Select((fault, f) => fault.HasSize ? whole[Free + f] : 0)];
        return new(criterion, chiSquare, numbers, sizes, deviations[Free..]);
    }

    private void Responses(NormalEquations equations, PairWeights weights, double[][] read)
    {
        double[] row = new double[read.Length];
        weights.EachRow(measured, (first, firstWeight, second, secondWeight, target) =>
        {
            for (int j = 0; j < read.Length; j++)
            {
                row[j] = (firstWeight * read[j][first]) + (secondWeight * read[j][second]);
            }

            equations.Add(row, target);
        });
    }

    private void Bonds(NormalEquations equations)
    {
        double[] row = new double[Free];
        foreach ((double[] bond, double target, double deviation) in model.Bonds)
        {
            for (int j = 0; j < Free; j++)
            {
                row[j] = bond[j] / deviation;
            }

            equations.Add(row, target / deviation);
        }
    }

    private void Singles(NormalEquations equations, double[][] slopes, double[] at, IReadOnlyList<SensorFault> faults)
    {
        double[] row = new double[Free + slopes.Length];
        for (int i = 0; i < SingleStatements.Count; i++)
        {
            if (double.IsFinite(single.Measured[i]) && !(i == (int)Single.LapLongitudinal && faults.Any(fault => fault.FreesResponses)))
            {
                for (int f = 0; f < slopes.Length; f++)
                {
                    row[Free + f] = slopes[f][i] / single.Deviation[i];
                }

                equations.Add(row, (single.Measured[i] - at[i]) / single.Deviation[i]);
            }
        }
    }

    private double[][] Slopes(IReadOnlyList<SensorFault> faults, double[] sizes, double[] numbers)
    {
        double[] at = Read(model, faults, sizes, numbers);
        return [.. faults.Select((fault, f) =>
        {
            double[] slope = new double[Values];
            if (fault.HasSize)
            {
                double[] moved = [.. sizes];
                double h = 1e-6 * Math.Max(1, Math.Abs(sizes[f]));
                moved[f] += h;
                double[] there = Read(model, faults, moved, numbers);
                for (int i = 0; i < Values; i++)
                {
                    slope[i] = (there[i] - at[i]) / h;
                }
            }

            return slope;
        })];
    }

    private static double[][] SingleSlopes(IReadOnlyList<SensorFault> faults, double[] sizes)
    {
        double[] at = ReadSingle(faults, sizes);
        return [.. faults.Select((fault, f) =>
        {
            if (!fault.HasSize)
            {
                return new double[SingleStatements.Count];
            }

            double[] moved = [.. sizes];
            double h = 1e-6 * Math.Max(1, Math.Abs(sizes[f]));
            moved[f] += h;
            return [.. ReadSingle(faults, moved).Select((there, i) => (there - at[i]) / h)];
        })];
    }

    private double BondChiSquare(double[] numbers)
    {
        double sum = 0;
        foreach ((double[] bond, double target, double deviation) in model.Bonds)
        {
            double value = -target;
            for (int j = 0; j < Free; j++)
            {
                value += bond[j] * numbers[j];
            }

            sum += value / deviation * (value / deviation);
        }

        return sum;
    }

    private double SingleChiSquare(double[] at, IReadOnlyList<SensorFault> faults)
    {
        double sum = 0;
        for (int i = 0; i < SingleStatements.Count; i++)
        {
            // The work over a lap is worked out with the longitudinal axis; with the axes exchanged it is anything.
            if (i == (int)Single.LapLongitudinal && faults.Any(fault => fault.FreesResponses))
            {
                continue;
            }

            double deviation = (single.Measured[i] - at[i]) / single.Deviation[i];
            sum += double.IsFinite(deviation) ? deviation * deviation : 0;
        }

        return sum;
    }

    private static double[] Sum(double[][] read, double[] numbers)
    {
        double[] sum = new double[Values];
        for (int j = 0; j < Free; j++)
        {
            for (int i = 0; i < Values; i++)
            {
                sum[i] += numbers[j] * read[j][i];
            }
        }

        return sum;
    }
}
