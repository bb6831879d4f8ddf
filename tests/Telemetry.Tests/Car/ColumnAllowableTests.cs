using System.Globalization;
using System.Text.Json;
using Telemetry.Car;

namespace Telemetry.Tests.Car;

public class ColumnAllowableTests
{
    // Data/columns/SOURCE.md: computed with mpmath, to all digits of a double.
    private const double Relative = 1e-12;

    private static readonly JsonElement Cases = JsonDocument.Parse(File.ReadAllText(Repository.Data("columns", "worked_examples.json"))).RootElement.GetProperty("cases");

    private static JsonElement Case(string name) => Cases.EnumerateArray().Single(c => c.GetProperty("name").GetString() == name);

    public static TheoryData<string> Tubes => new(File.ReadLines(Repository.Data("columns", "tubes.csv")).Skip(1).Where(l => l.Length > 0));

    [Theory]
    [MemberData(nameof(Tubes))]
    public void Tubes_buckle_at_the_tabulated_load(string row)
    {
        string[] cells = row.Split(',');
        double[] value = [.. cells.Select(c => double.TryParse(c, NumberStyles.Float, CultureInfo.InvariantCulture, out double v) ? v : double.NaN)];
        ColumnAllowable column = ColumnAllowable.Of(new StrutDefinition(value[4], value[2], value[3], value[0], value[1], value[5]));
        Assert.Equal(1, column.Slenderness / value[8], Relative);
        Assert.Equal(1, column.TransitionSlenderness / value[9], Relative);
        Assert.Equal(cells[12], column.Formula.ToString().ToLowerInvariant());
        Assert.Equal(1, column.LoadN / value[13], Relative);
    }

    [Theory]
    [InlineData("aluminium_6061_bar_200_in", ColumnFormula.Euler)]
    [InlineData("aluminium_6061_bar_5_in", ColumnFormula.Johnson)]
    public void A_flat_bar_of_an_open_mechanics_library_buckles_as_published(string name, ColumnFormula formula)
    {
        // The formulas hold in any consistent units; here inch and pound-force.
        JsonElement bar = Case(name);
        double Get(string key) => bar.GetProperty(key).GetDouble();
        ColumnAllowable column = ColumnAllowable.Of(Get("area"), Get("second_moment"), Get("length"), Get("modulus"), Get("yield_strength"));
        Assert.Equal(formula, column.Formula);
        Assert.Equal(1, column.LoadN / Get("critical_load"), Relative);
        Assert.Equal(1, column.TransitionSlenderness / Get("transition_slenderness"), Relative);
    }

    [Fact]
    public void The_handbook_round_column_needs_its_published_diameter()
    {
        // Shigley's Mechanical Engineering Design, Example 4-17 (from memory, see SOURCE.md): 37.48 mm carries 22 kN four times.
        JsonElement column = Case("round_pinned_column_size");
        double diameter = column.GetProperty("published_diameter_mm").GetDouble() / 1000;
        double needed = column.GetProperty("load_n").GetDouble() * column.GetProperty("design_factor").GetDouble();
        ColumnAllowable solid = ColumnAllowable.Of(new StrutDefinition(1.5, diameter, diameter / 2, 207e9, 500e6));
        Assert.Equal(ColumnFormula.Euler, solid.Formula);
        Assert.Equal(1, solid.LoadN / needed, 6e-4); // the published diameter has four digits: 4 * 0.005 / 37.48
        Assert.Equal(column.GetProperty("published_transition_slenderness").GetDouble(), solid.TransitionSlenderness, 0.05);
    }

    [Fact]
    public void The_two_formulas_meet_at_half_the_yield_strength()
    {
        // Definition of the transition: both curves give Sy/2 there, with one tangent.
        StrutDefinition strut = new(1, 0.02, 0.0015, 205e9, 460e6);
        double gyration = Math.Sqrt(((0.02 * 0.02) + (0.017 * 0.017)) / 16);
        double transition = Math.Sqrt(2 * Math.PI * Math.PI * 205e9 / 460e6);
        double area = Math.PI / 4 * ((0.02 * 0.02) - (0.017 * 0.017));
        foreach (double side in new[] { 1 - 1e-9, 1 + 1e-9 })
        {
            ColumnAllowable column = ColumnAllowable.Of(strut with { LengthM = transition * gyration * side });
            Assert.Equal(1, column.LoadN / (area * 460e6 / 2), 1e-7);
        }
    }

    [Fact]
    public void A_longer_strut_carries_less_and_a_fixed_end_carries_more()
    {
        StrutDefinition strut = new(0.4, 0.016, 0.0012, 205e9, 460e6);
        double load = ColumnAllowable.Of(strut).LoadN;
        Assert.True(ColumnAllowable.Of(strut with { LengthM = 0.5 }).LoadN < load);
        Assert.True(ColumnAllowable.Of(strut with { EndFixity = 0.7 }).LoadN > load);
        Assert.True(ColumnAllowable.Of(strut with { WallM = 0.0015 }).LoadN > load);
    }

    [Fact]
    public void A_wall_thicker_than_half_the_tube_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => ColumnAllowable.Of(new StrutDefinition(0.4, 0.016, 0.009, 205e9, 460e6)));

    [Fact]
    public void A_length_of_zero_or_nan_is_refused()
    {
        StrutDefinition strut = new(0, 0.016, 0.0012, 205e9, 460e6);
        Assert.Throws<ArgumentOutOfRangeException>(() => ColumnAllowable.Of(strut));
        Assert.Throws<ArgumentOutOfRangeException>(() => ColumnAllowable.Of(strut with { LengthM = double.NaN }));
    }
}
