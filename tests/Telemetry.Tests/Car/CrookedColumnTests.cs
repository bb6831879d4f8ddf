using Telemetry.Car;

namespace Telemetry.Tests.Car;

/// <summary>The crooked column against its own definition and its limits.</summary>
public class CrookedColumnTests
{
    private static readonly StrutDefinition Strut = new(0.5, 0.018, 0.0012, 205e9, 460e6);

    [Fact]
    public void A_straight_strut_reaches_the_smaller_of_euler_and_yield()
    {
        // The equation's roots without crookedness are Pe and Py themselves.
        double area = Math.PI / 4 * ((0.018 * 0.018) - (0.0156 * 0.0156));
        double gyration = Math.Sqrt(((0.018 * 0.018) + (0.0156 * 0.0156)) / 16);
        double euler = Math.PI * Math.PI * 205e9 * area * gyration * gyration / (0.5 * 0.5);
        Assert.Equal(1, CrookedColumn.FirstYieldN(Strut with { CrookednessM = 0 }) / Math.Min(euler, area * 460e6), 1e-9);
        StrutDefinition shorter = Strut with { LengthM = 0.1, CrookednessM = 0 };
        Assert.Equal(1, CrookedColumn.FirstYieldN(shorter) / (area * 460e6), 1e-9);
    }

    [Fact]
    public void At_that_load_the_edge_stress_is_the_yield_strength()
    {
        // By the definition: P/A + P e c / (I (1 - P/Pe)) with e grown by the load.
        const double bow = 0.0008;
        double load = CrookedColumn.FirstYieldN(Strut with { CrookednessM = bow });
        double area = Math.PI / 4 * ((0.018 * 0.018) - (0.0156 * 0.0156));
        double second = Math.PI / 64 * (Math.Pow(0.018, 4) - Math.Pow(0.0156, 4));
        double euler = Math.PI * Math.PI * 205e9 * second / 0.25;
        double stress = (load / area) + (load * bow * 0.009 / (second * (1 - (load / euler))));
        Assert.Equal(1, stress / 460e6, 1e-9);
    }

    [Fact]
    public void A_larger_bow_carries_less_and_the_usual_one_is_a_thousandth()
    {
        double usual = CrookedColumn.FirstYieldN(Strut);
        Assert.Equal(usual, CrookedColumn.FirstYieldN(Strut with { CrookednessM = 0.0005 }), 1e-6);
        Assert.True(CrookedColumn.FirstYieldN(Strut with { CrookednessM = 0.001 }) < usual);
        Assert.True(usual < ColumnAllowable.Of(Strut).LoadN);
    }
}
