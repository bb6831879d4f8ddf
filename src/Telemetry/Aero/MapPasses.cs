using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Double;

namespace Telemetry.Aero;

/// <summary>Sums over the windows of each pass that the fit of a map needs.</summary>
internal static class MapPasses
{
    /// <summary>Normal equations of each pass under independent noise and one head wind for the pass; the score is that of the response as it is.</summary>
    /// <remarks>
    /// With rows in units of their scatter and z their change with head wind, the covariance of a pass is I + g^2 z z', whose inverse is
    /// I - z z' g^2 / (1 + g^2 z'z) (Sherman and Morrison, Ann. Math. Statist. 21 (1950) 124).
    /// </remarks>
    public static ClusterSums Sums(
        IReadOnlyList<MapRow> rows, HeightPair[] heights, MapSurface surface, double[] hold, double frontScale, double rearScale, double gustMps, double[] theta, int passes, Func<int, bool, double> response)
    {
        const int half = MapSurface.PerAxle;
        ClusterSums sums = new(2 * half, passes);
        Vector<double>[] across = [.. Enumerable.Range(0, passes).Select(_ => DenseVector.Create(2 * half, 0))];
        double[] acrossResponse = new double[passes];
        double[] ofWind = new double[passes];
        double[] design = new double[2 * half];
        double[] factors = new double[half];
        for (int i = 0; i < rows.Count; i++)
        {
            MapRow row = rows[i];
            surface.Factors(heights[i], factors);
            for (int axle = 0; axle < 2; axle++)
            {
                double weight = Math.Sqrt(hold[(2 * i) + axle]) / (axle == 0 ? frontScale : rearScale);
                Array.Clear(design);
                double area = 0;
                for (int k = 0; k < half; k++)
                {
                    design[(axle * half) + k] = weight * row.PressurePa * factors[k];
                    area += theta[(axle * half) + k] * factors[k];
                }

                double y = weight * response(i, axle == 0);
                double z = weight * row.PressurePa * area * row.PerWind;
                sums.Add(row.Pass, design, 1, y);
                ofWind[row.Pass] += z * z;
                acrossResponse[row.Pass] += z * y;
                for (int k = 0; k < half; k++)
                {
                    across[row.Pass][(axle * half) + k] += z * design[(axle * half) + k];
                }
            }
        }

        for (int g = 0; g < passes; g++)
        {
            double share = gustMps * gustMps / (1 + (gustMps * gustMps * ofWind[g]));
            sums.Curvature[g] -= share * across[g].OuterProduct(across[g]);
            sums.Score[g] -= share * acrossResponse[g] * across[g];
        }

        return sums;
    }

    /// <summary>Head wind of each pass that its residuals ask for, m/s, and the residuals that it leaves, N.</summary>
    public static double[] Winds(
        IReadOnlyList<MapRow> rows, HeightPair[] heights, MapSurface surface, double frontScale, double rearScale, int passes, double[] front, double[] rear, out double variance, out double noise)
    {
        double[] top = new double[passes];
        double[] bottom = new double[passes];
        double[] frontZ = new double[rows.Count];
        double[] rearZ = new double[rows.Count];
        for (int i = 0; i < rows.Count; i++)
        {
            MapRow row = rows[i];
            (double f, double r) = surface.Value(heights[i]);
            front[i] = row.FrontN - (row.PressurePa * f);
            rear[i] = row.RearN - (row.PressurePa * r);
            frontZ[i] = row.PressurePa * f * row.PerWind;
            rearZ[i] = row.PressurePa * r * row.PerWind;
            top[row.Pass] += (front[i] * frontZ[i] / (frontScale * frontScale)) + (rear[i] * rearZ[i] / (rearScale * rearScale));
            bottom[row.Pass] += (frontZ[i] * frontZ[i] / (frontScale * frontScale)) + (rearZ[i] * rearZ[i] / (rearScale * rearScale));
        }

        double[] wind = [.. top.Zip(bottom, (t, b) => b > 0 ? t / b : 0)];
        for (int i = 0; i < rows.Count; i++)
        {
            front[i] -= wind[rows[i].Pass] * frontZ[i];
            rear[i] -= wind[rows[i].Pass] * rearZ[i];
        }

        variance = wind.Average(w => w * w);
        noise = bottom.Where(b => b > 0).Select(b => 1 / b).DefaultIfEmpty(0).Average();
        return wind;
    }

    /// <summary>Squared whitened error of each pass under the fit of all the others, up to a constant of the pass.</summary>
    public static double[] LeftOut(ClusterSums sums, Vector<double> precision)
    {
        double[] errors = new double[sums.Clusters];
        foreach ((int g, Vector<double> without) in Without(sums, precision))
        {
            errors[g] = (without * (sums.Curvature[g] * without)) - (2 * (without * sums.Score[g]));
        }

        return errors;
    }

    /// <summary>Root mean square relative error of the total load at left-out passes.</summary>
    public static double LeftOutShare(IReadOnlyList<MapRow> rows, HeightPair[] heights, MapSurface surface, ClusterSums sums, Vector<double> precision)
    {
        Vector<double>[] without = new Vector<double>[sums.Clusters];
        foreach ((int g, Vector<double> theta) in Without(sums, precision))
        {
            without[g] = theta;
        }

        double squares = 0;
        for (int i = 0; i < rows.Count; i++)
        {
            (double f, double r) = (surface with { Theta = [.. without[rows[i].Pass]] }).Value(heights[i]);
            double total = rows[i].FrontN + rows[i].RearN;
            double error = (total / (rows[i].PressurePa * (f + r))) - 1;
            squares += error * error;
        }

        return Math.Sqrt(squares / rows.Count);
    }

    private static IEnumerable<(int Pass, Vector<double> Theta)> Without(ClusterSums sums, Vector<double> precision)
    {
        Matrix<double> total = DenseMatrix.Create(precision.Count, precision.Count, (i, j) => i == j ? precision[i] : 0);
        Vector<double> pull = DenseVector.Create(precision.Count, 0);
        for (int g = 0; g < sums.Clusters; g++)
        {
            total += sums.Curvature[g];
            pull += sums.Score[g];
        }

        for (int g = 0; g < sums.Clusters; g++)
        {
            yield return (g, (total - sums.Curvature[g]).Solve(pull - sums.Score[g]));
        }
    }
}
