using CsCheck;
using Telemetry.Platform;

namespace Telemetry.Tests.Platform;

public class DamperVelocityTests
{
    [Fact]
    public void A_straight_line_gives_its_slope_exactly()
    {
        double[] travel = [.. Enumerable.Range(0, 100).Select(i => 0.002 * i * 0.001)];
        double[] velocity = DamperVelocity.Of(travel, 0.001, 0.010);
        Assert.Equal(0.002, velocity[50], 15);
        Assert.True(double.IsNaN(velocity[4]));
        Assert.Equal(0.002, velocity[5], 15);
    }

    [Fact]
    public void Weights_are_those_of_the_published_first_derivative_table()
    {
        // Savitzky and Golay 1964, table of first derivatives, quadratic, 5 points: -2 -1 0 1 2 over 10 (from memory; scipy.signal.savgol_coeffs gives the same).
        double[] impulse = new double[11];
        impulse[5] = 1;
        double[] velocity = DamperVelocity.Of(impulse, 1, 4);
        Assert.Equal([0.2, 0.1, 0, -0.1, -0.2], velocity[3..8]);
    }

    [Fact]
    public void A_missing_sample_leaves_no_velocity_near_it()
    {
        double[] travel = new double[50];
        travel[25] = double.NaN;
        double[] velocity = DamperVelocity.Of(travel, 0.001, 0.004);
        Assert.True(double.IsNaN(velocity[24]) && double.IsNaN(velocity[27]) && velocity[28] == 0);
    }

    /// <summary>Samples are worked out side by side; each is the sum that stands in the paper, to the last bit, whatever its place and length.</summary>
    [Fact]
    public void Every_sample_is_its_own_sum() =>
        Gen.Select(Gen.Frequency((40, Gen.Double[-0.05, 0.05]), (1, Gen.Const(double.NaN))).Array[1, 60], Gen.Int[1, 6]).Sample(
            (travel, half) =>
            {
                double[] velocity = DamperVelocity.Of(travel, 0.001, 2 * half * 0.001);
                double scale = 1 / (Enumerable.Range(1, half).Sum(k => 2.0 * k * k) * 0.001);
                for (int i = 0; i < travel.Length; i++)
                {
                    double sum = i < half || i >= travel.Length - half ? double.NaN : 0;
                    for (int k = 1; k <= half && !double.IsNaN(sum); k++)
                    {
                        sum += k * (travel[i + k] - travel[i - k]);
                    }

                    Assert.Equal(sum * scale, velocity[i]);
                }
            },
            seed: "0000oQ1mVd32",
            iter: 2000,
            threads: 1);
}
