using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.Zero;

namespace Telemetry.Tests.Zero;

public class BorrowedZeroTests
{
    private static readonly TimeBase Time = TimeBase.Even(0, 0.01, 3000);

    private static readonly DateTimeOffset Noon = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);

    private static Run Moving(CarDefinition? car = null) => RunAssembly.From(
        TestCars.Log(
        [
            .. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", Time, _ => 2000)),
            TestCars.Channel("v", "m/s", Time, _ => 40),
        ]),
        car ?? TestCars.Plain());

    private static ZeroRun Entry(string name, double hoursBefore, double zeroN, double gain = 1, CarDefinition? car = null) => new(
        name,
        "hash of " + name,
        "plain",
        Noon.AddHours(-hoursBefore),
        [.. Corners.All.Select(corner => new CellZero(CellZero.KeyOf(car ?? TestCars.Plain(), corner), corner.Code(), ZeroSource.GroundCornerWeights, zeroN, zeroN, 10, 4, gain, 300, null))]);

    private static ZeroHistory History(params ZeroRun[] runs) => runs.Aggregate(ZeroHistory.Empty, (history, run) => history.With(run));

    private static ZeroOptions Options(params ZeroRun[] runs) => ZeroOptions.Default with { History = History(runs), TakenAtUtc = Noon, LogHash = "this" };

    [Fact]
    public void A_run_without_a_standstill_takes_the_zero_nearest_in_time_and_says_so()
    {
        ZeroedLoads loads = ZeroOffsets.From(Moving(), Options(Entry("morning", 4, 100), Entry("last", 1.5, 130), Entry("late", -6, 500)));
        Assert.Null(loads.WithheldBecause);
        Assert.Equal(ZeroSource.Borrowed, loads.Zeros.FrontLeft.Source);
        Assert.Equal(1870, loads.PushrodLoadN.FrontLeft[100], 9);
        Assert.Equal("last", loads.Zeros.FrontLeft.Borrowed!.Run);
        Assert.Equal(1.5, loads.Zeros.FrontLeft.Borrowed!.AgeH);
        HealthFinding finding = Assert.Single(loads.Findings, finding => finding.Kind == "zero_borrowed");
        Assert.Equal(HealthVerdict.Doubtful, finding.Severity);
        Assert.Contains("1.5 h before", finding.Message, StringComparison.Ordinal);
        Assert.DoesNotContain(loads.Findings, finding => finding.Kind == "zero_missing");
    }

    [Fact]
    public void Its_interval_grows_with_age_and_with_the_scatter_from_run_to_run()
    {
        double Doubt(params ZeroRun[] runs) => ZeroOffsets.From(Moving(), Options(runs)).Zeros.FrontLeft.StandardUncertaintyN;
        double fresh = Doubt(Entry("a", 3, 100), Entry("b", 2, 110), Entry("c", 1, 100));
        double old = Doubt(Entry("a", 22, 100), Entry("b", 21, 110), Entry("c", 20, 100));
        double wild = Doubt(Entry("a", 3, 100), Entry("b", 2, 500), Entry("c", 1, 100));

        // 40 kN of range: 20 N an hour, so 19 hours more are 380 N.
        Assert.Equal(Math.Sqrt((old * old) - (fresh * fresh)), Math.Sqrt((400 * 400) - (20 * 20)), 1.0);
        Assert.True(wild > 400, $"{wild} N for zeros that differ by 400 N");
    }

    [Fact]
    public void The_scatter_of_ten_runs_is_the_root_mean_square_of_their_changes_widened_by_t()
    {
        // Zeros 0 and 40 N in turn in all four cells: every change is 40 N. Degrees of freedom of a mean square successive difference: 2 * 81 / 26 = 6.23 a cell, 24.92 in all;
        // t(0.975, 24.92) = 2.0599 by interpolation of the usual tables (25: 2.0595, 24: 2.0639), over 1.95996.
        ZeroRun[] runs = [.. Enumerable.Range(0, 10).Select(i => Entry($"r{i}", 20 - i, 40 * (i % 2)))];
        double found = ZeroOffsets.From(Moving(), Options(runs)).Zeros.FrontLeft.Budget.BetweenRunsN;
        Assert.Equal(40 * 2.0599 / 1.95996, found, 0.01);
    }

    [Fact]
    public void A_run_does_not_borrow_from_itself_nor_from_another_cell()
    {
        CarDefinition serial = TestCars.Plain() with { Channels = [.. TestCars.Plain().Channels.Select(mapping => mapping.Role <= ChannelRole.PushrodLoadRR ? mapping with { Serial = "new " + mapping.Name } : mapping)] };
        Assert.NotNull(ZeroOffsets.From(Moving(serial), Options(Entry("a", 1, 100))).WithheldBecause);
        Assert.NotNull(ZeroOffsets.From(Moving(), Options(Entry("a", 1, 100)) with { LogHash = "hash of a" }).WithheldBecause);
    }

    [Fact]
    public void A_zero_taken_under_another_gain_is_brought_to_this_one()
    {
        // The cell read 110 N without load; with gain 1.1 that was 100 N of load, without a calibration it is 110.
        ZeroedLoads loads = ZeroOffsets.From(Moving(), Options(Entry("a", 1, 100, gain: 1.1)));
        Assert.Equal(110, loads.Zeros.FrontLeft.StartN, 9);
    }

    [Fact]
    public void Without_dates_the_age_is_told_to_be_unknown_and_a_day_is_assumed()
    {
        ZeroedLoads loads = ZeroOffsets.From(Moving(), Options(Entry("a", 1, 100)) with { TakenAtUtc = null });
        Assert.Null(loads.Zeros.FrontLeft.Borrowed!.AgeH);
        Assert.Equal(24 * 20, loads.Zeros.FrontLeft.Budget.AgeN, 6);
        Assert.Contains(loads.Findings, finding => finding.Message.Contains("unknown age", StringComparison.Ordinal));
    }

    [Fact]
    public void Only_a_zero_of_its_own_goes_into_the_file_and_a_log_counts_once()
    {
        Assert.Null(ZeroRun.Of(ZeroOffsets.From(Moving(), Options(Entry("a", 1, 100))), "this"));
        ZeroHistory twice = History(Entry("a", 1, 100), Entry("a", 1, 100));
        Assert.Single(twice.Runs);
    }

    [Fact]
    public void A_zero_that_left_its_earlier_runs_is_reported_and_one_among_them_is_not()
    {
        const double Static = 120 * TestCars.G / 0.8;
        Run Standing(double zeroN) => RunAssembly.From(
            TestCars.Log(
            [
                TestCars.Channel("P FL", "N", Time, _ => Static + zeroN),
                .. new[] { "P FR", "P RL", "P RR" }.Select(name => TestCars.Channel(name, "N", Time, _ => Static + 100)),
                TestCars.Channel("v", "m/s", Time, t => t is < 8 or > 22 ? 0 : 40),
            ]),
            TestCars.Plain());
        ZeroOptions options = Options(Entry("a", 4, 100), Entry("b", 3, 112), Entry("c", 2, 95), Entry("d", 1, 104));
        Assert.DoesNotContain(ZeroOffsets.From(Standing(115), options).Findings, finding => finding.Kind == "zero_shifted");
        HealthFinding finding = Assert.Single(ZeroOffsets.From(Standing(300), options).Findings, finding => finding.Kind == "zero_shifted");
        Assert.Equal("P FL", finding.Channel);
        Assert.Contains("+196 N", finding.Message, StringComparison.Ordinal);
    }
}
