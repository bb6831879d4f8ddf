using System.Collections.Immutable;
using Telemetry.Fatigue;
using Telemetry.Output.Tables;

namespace Telemetry.Tests.Output;

public class ReviewTablesTests
{
    private static ResultTable Table(string name) => ReviewTables.From(SampleReviews.Full).Single(table => table.Name == name);

    private static double[] Column(ResultTable table, string name) =>
        [.. table.Rows.Select(row => row[table.Columns.IndexOf(table.Columns.Single(c => c.Name == name))].Number)];

    private static string[] Texts(ResultTable table, string name) =>
        [.. table.Rows.Select(row => row[table.Columns.IndexOf(table.Columns.Single(c => c.Name == name))].Text!)];

    [Fact]
    public void The_tables_are_those_of_the_contract() => Assert.Equal(
        ["aero_by_speed", "aero_budget", "kerb_strikes", "cycles", "exceedance", "components", "laps", "health", "repairs", "repair_effects", "cross_checks", "damage_charges", "life_sensitivity",
            "kerbs", "other_events", "inspection", "readings", "static_checks", "ride_height_map", "aero_balance", "platform"],
        ReviewTables.From(SampleReviews.Full).Select(table => table.Name));

    [Fact]
    public void Every_row_is_as_long_as_the_header() => Assert.All(
        [.. ReviewTables.From(SampleReviews.Full), .. ReviewTables.From(SampleReviews.Withheld(new()))],
        table => Assert.All(table.Rows, row => Assert.Equal(table.Columns.Length, row.Length)));

    [Fact]
    public void Speeds_are_in_kilometres_an_hour() => Assert.Equal(
        SampleReviews.Full.Aero.Curve[0].SpeedMps * 3.6, Column(Table("aero_by_speed"), "air speed")[0], 9);

    [Fact]
    public void Every_cycle_is_in_the_matrix_once()
    {
        ResultTable cycles = Table("cycles");
        string[] ids = Texts(cycles, "component");
        double[] counts = Column(cycles, "cycles");
        Assert.All(SampleReviews.Full.Fatigue.Components, part => Assert.Equal(
            part.Cycles.Weight.Sum(), ids.Zip(counts).Where(row => row.First == part.Component.Id).Sum(row => row.Second), 6));
    }

    [Fact]
    public void A_cycle_lies_in_the_bin_of_its_range_and_mean()
    {
        // By hand: range 5000 N makes bins of 100 N (5000 / 50); 1000 to 6000 has mean 3500.
        ResultTable table = CycleTables.Cycles(One(([1000.0, 0.0], [6000.0, 250.0], [1.0, 0.5])));
        Assert.Equal([5000.0, 200.0], Column(table, "range from"));
        Assert.Equal([5100.0, 300.0], Column(table, "range to"));
        Assert.Equal([3500.0, 100.0], Column(table, "mean from"));
        Assert.Equal([1.0, 0.5], Column(table, "cycles"));
    }

    [Fact]
    public void Exceedance_rises_to_the_number_of_cycles_as_the_range_falls()
    {
        ResultTable table = CycleTables.Exceedance(One(([0.0, 0.0, 0.0], [500.0, 250.0, 250.0], [1.0, 1.0, 0.5])));
        double[] counts = Column(table, "cycles");
        Assert.Equal(1.0, counts[0]);
        Assert.Equal(2.5, counts[^1]);
        Assert.Equal(counts.Order(), counts);
        Assert.Equal(0.0, Column(table, "range at least")[^1]);
    }

    [Fact]
    public void A_component_without_cycles_has_no_rows() =>
        Assert.Empty(CycleTables.Cycles(One(([], [], []))).Rows);

    [Fact]
    public void A_lap_shows_the_damage_of_each_component()
    {
        ResultTable laps = Table("laps");
        ComponentResult part = SampleReviews.Full.Fatigue.Components[0];
        Assert.Equal(part.DamageByLap, Column(laps, "damage " + part.Component.Id));
    }

    [Fact]
    public void A_lap_shows_its_own_largest_load()
    {
        ResultTable laps = Table("laps");
        var lap = SampleReviews.Full.Run.Laps.Laps[1];
        double largest = SampleReviews.Full.Wheels.Pushrods.PushrodLoadN.FrontRight.Between(lap.StartIndex, lap.EndIndex).ToArray().Max();
        Assert.Equal(largest, Column(laps, "largest pushrod load FR")[1]);
    }

    private static FatigueResult One((double[] From, double[] To, double[] Weight) cycles)
    {
        ComponentResult part = SampleReviews.Full.Fatigue.Components[0];
        return new()
        {
            Components = [part with { Cycles = new([.. cycles.From], [.. cycles.To], [.. new int[cycles.From.Length]], [.. new int[cycles.From.Length]], [.. cycles.Weight]) }],
            WithheldBecause = null,
        };
    }
}
