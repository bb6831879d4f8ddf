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
}
