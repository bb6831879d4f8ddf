using Telemetry.Car;

namespace Telemetry.Platform;

/// <summary>A knee that was found.</summary>
/// <param name="TravelM">Where, m.</param>
/// <param name="Coefficients">Offset, rate, damping, friction, and the coefficients of the parts beyond the knee.</param>
/// <param name="SquaredError">Sum of squared residuals, N2.</param>
internal sealed record Knee(double TravelM, double[] Coefficients, double SquaredError);

/// <summary>Segmented regression of force against travel: a straight line, damping and friction, and beyond a knee what a bump rubber adds.</summary>
/// <remarks>
/// S = s0 + c x + b v + f sgn(v) + rubber(x - knee). The knee is sought on a grid, since the sum of squares has corners in it (D. V. Hinkley, Biometrika 56
/// (1969) 495; from memory), and refined by a parabola. The rubber is the car file's curve times a free factor, or a line and a square where there is no curve.
/// </remarks>
internal sealed class KneeSearch
{
    private const int Fixed = 4;
    private const double FinePitchM = 0.0001;

    private readonly double[] travel;
    private readonly double[] force;
    private readonly double[] speed;
    private readonly int[] group;
    private readonly int groups;
    private readonly int parts;
    private readonly ThirdElement? curve;

    /// <param name="travel">Mean damper travel, m.</param>
    /// <param name="force">Force at the dampers, N.</param>
    /// <param name="speed">Speed of the travel, m/s.</param>
    /// <param name="group">Group of each row.</param>
    /// <param name="groups">Number of groups.</param>
    /// <param name="curve">The third element whose rubber curve is used, or null for a line and a square.</param>
    public KneeSearch(double[] travel, double[] force, double[] speed, int[] group, int groups, ThirdElement? curve)
    {
        this.travel = travel;
        this.force = force;
        this.speed = speed;
        this.group = group;
        this.groups = groups;
        this.curve = curve;
        parts = curve is null ? 2 : 1;
    }

    /// <summary>Columns beyond the knee.</summary>
    public int Parts => parts;

    /// <summary>Force of a column beyond the knee for a coefficient of 1.</summary>
    public double Part(int part, double beyondM) => beyondM <= 0 ? 0
        : curve is not null ? ThirdElements.RubberForce(curve, beyondM)
        : part == 0 ? 1e6 * beyondM : 1e9 * beyondM * beyondM;

    /// <summary>Force of the rubber by a knee's coefficients, N.</summary>
    public double Rubber(Knee knee, double travelM)
    {
        double sum = 0;
        for (int p = 0; p < parts; p++)
        {
            sum += knee.Coefficients[Fixed + p] * Part(p, travelM - knee.TravelM);
        }

        return sum;
    }

    /// <summary>The best knee of all rows and without each group.</summary>
    /// <returns>Null when the rows do not determine one.</returns>
    public (Knee All, Knee[] Without)? Find(double lowM, double highM)
    {
        if (!(highM - lowM > 4 * FinePitchM))
        {
            return null;
        }

        int coarse = 30;
        double[] grid = [.. Enumerable.Range(0, coarse + 1).Select(k => lowM + ((highM - lowM) * k / coarse))];
        double[][] sums = new double[grid.Length][];
        Workers.Run(grid.Length, k => sums[k] = Together(Sums(grid[k])));
        Knee? best = Best(grid, sums);
        if (best is null)
        {
            return null;
        }

        double pitch = (highM - lowM) / coarse;
        double reach = Math.Max(1.5 * pitch, 8 * FinePitchM);
        int count = (int)Math.Ceiling(reach / FinePitchM);
        double[] fine = [.. Enumerable.Range(-count, (2 * count) + 1).Select(k => best.TravelM + (k * FinePitchM)).Where(x => x >= lowM && x <= highM)];
        double[][][] byGroup = new double[fine.Length][][];
        Workers.Run(fine.Length, k => byGroup[k] = Sums(fine[k]));
        double[][] all = [.. byGroup.Select(Together)];
        if (Best(fine, all) is not { } found)
        {
            return null;
        }

        Knee[] without = new Knee[groups];
        for (int g = 0; g < groups; g++)
        {
            double[][] left = [.. all.Select((sum, k) => sum.Zip(byGroup[k][g], (a, b) => a - b).ToArray())];
            if (Best(fine, left) is not { } one)
            {
                return null;
            }

            without[g] = one;
        }

        return (found, without);
    }

    private Knee? Best(double[] grid, double[][] sums)
    {
        double[] errors = new double[grid.Length];
        double[]?[] coefficients = new double[]?[grid.Length];
        int best = -1;
        for (int k = 0; k < grid.Length; k++)
        {
            (coefficients[k], errors[k]) = Solve(sums[k]);
            if (coefficients[k] is { } c && c[Fixed] > 0 && (best < 0 || errors[k] < errors[best]))
            {
                best = k;
            }
        }

        if (best < 0)
        {
            return null;
        }

        double at = grid[best];
        if (best > 0 && best < grid.Length - 1 && coefficients[best - 1] is not null && coefficients[best + 1] is not null)
        {
            double bend = errors[best - 1] - (2 * errors[best]) + errors[best + 1];
            at += bend > 0 ? Math.Clamp((errors[best - 1] - errors[best + 1]) / (2 * bend), -0.5, 0.5) * (grid[best] - grid[best - 1]) : 0;
        }

        return new(at, coefficients[best]!, errors[best]);
    }

    /// <summary>Upper triangle of the sums of products of columns and response, row by row, of each group.</summary>
    private double[][] Sums(double kneeM)
    {
        int width = Fixed + parts + 1;
        double[][] sums = new double[groups][];
        for (int g = 0; g < groups; g++)
        {
            sums[g] = new double[width * width];
        }

        Span<double> row = stackalloc double[width];
        for (int i = 0; i < travel.Length; i++)
        {
            row[0] = 1;
            row[1] = 100 * travel[i];
            row[2] = 10 * speed[i];
            row[3] = Math.Abs(speed[i]) > 0.0005 ? Math.Sign(speed[i]) : 0;
            for (int p = 0; p < parts; p++)
            {
                row[Fixed + p] = Part(p, travel[i] - kneeM) / 1000;
            }

            row[width - 1] = force[i];
            double[] sum = sums[group[i]];
            for (int a = 0; a < width; a++)
            {
                double left = row[a];
                for (int b = a; b < width; b++)
                {
                    sum[(a * width) + b] += left * row[b];
                }
            }
        }

        return sums;
    }

    private static double[] Together(double[][] groups)
    {
        double[] total = new double[groups[0].Length];
        foreach (double[] one in groups)
        {
            for (int k = 0; k < total.Length; k++)
            {
                total[k] += one[k];
            }
        }

        return total;
    }

    /// <summary>Solves the normal equations (Cholesky); coefficients for columns of unit size, and the squared error.</summary>
    private (double[]? Coefficients, double SquaredError) Solve(double[] sums)
    {
        int n = Fixed + parts;
        int width = n + 1;
        double[,] root = new double[width, width];
        for (int j = 0; j < width; j++)
        {
            for (int i = j; i < width; i++)
            {
                double sum = sums[(j * width) + i];
                for (int k = 0; k < j; k++)
                {
                    sum -= root[i, k] * root[j, k];
                }

                if (i == j)
                {
                    if (j == n)
                    {
                        root[j, j] = Math.Max(0, sum);
                        continue;
                    }

                    if (!(sum > 1e-9 * Math.Max(sums[(j * width) + j], 1e-300)))
                    {
                        return (null, double.PositiveInfinity);
                    }

                    root[j, j] = Math.Sqrt(sum);
                }
                else
                {
                    root[i, j] = sum / root[j, j];
                }
            }
        }

        double[] c = new double[n];
        for (int j = n - 1; j >= 0; j--)
        {
            double sum = root[n, j];
            for (int k = j + 1; k < n; k++)
            {
                sum -= root[k, j] * c[k];
            }

            c[j] = sum / root[j, j];
        }

        c[1] *= 100;
        c[2] *= 10;
        for (int p = 0; p < parts; p++)
        {
            c[Fixed + p] /= 1000;
        }

        return (c, root[n, n]);
    }
}
