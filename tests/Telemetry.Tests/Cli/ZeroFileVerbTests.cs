using Telemetry.Ledger;
using Telemetry.Tests.Output;
using Telemetry.Zero;

namespace Telemetry.Tests.Cli;

/// <summary>The zero file and the calibrations at the command line.</summary>
public class ZeroFileVerbTests
{
    private static string Csv(TemporaryFolder folder, string name, bool stands, double zeroN)
    {
        System.Text.StringBuilder text = new("t [s],P FL [N],P FR [N],P RL [N],P RR [N],v [m/s]\n");
        for (int i = 0; i < 4000; i++)
        {
            double t = i * 0.01;
            bool still = stands && t is < 8 or > 34;
            double load = 1500 + zeroN + (still ? 0 : 200 * Math.Sin(9 * t));
            text.Append(FormattableString.Invariant($"{t:0.00},{load:0.0},{load:0.0},{load:0.0},{load:0.0},{(stands && still ? 0 : 40)}\n"));
        }

        return folder.Write(name, text.ToString());
    }

    private static string Car(TemporaryFolder folder, string more = "") => folder.Write("car.toml", """
        name = "test car"
        [geometry]
        wheelbase = "3 m"
        track_front = "1.6 m"
        track_rear = "1.5 m"
        sprung_cg_behind_front_axle = "1.5 m"
        cg_height = "0.3 m"
        [mass]
        without_fuel = "600 kg"
        unsprung_front = "60 kg"
        unsprung_rear = "60 kg"
        fuel_at_start = "0 kg"
        [suspension.front]
        installation_ratio = 0.8
        damper_ratio = 1.0
        [suspension.rear]
        installation_ratio = 0.8
        damper_ratio = 1.0
        [channels]
        pushrod_load_fl = { name = "P FL", range = ["-20 kN", "20 kN"] }
        pushrod_load_fr = { name = "P FR", range = ["-20 kN", "20 kN"] }
        pushrod_load_rl = { name = "P RL", range = ["-20 kN", "20 kN"] }
        pushrod_load_rr = { name = "P RR", range = ["-20 kN", "20 kN"] }
        speed = "v"
        [[components]]
        id = "PR-1"
        description = "pushrod"
        corner = "FL"
        compression_limit = "20 kN"
        """ + more);

    [Fact]
    public void A_run_without_a_standstill_borrows_from_the_one_before_and_is_not_handed_on()
    {
        using TemporaryFolder folder = new();
        string car = Car(folder);
        string zeros = folder["zeros.jsonl"];
        CommandRun first = CommandRun.Of("analyse", Csv(folder, "one.csv", true, 60), "--car", car, "--out", folder["one"], "--zeros", zeros, "--date", "2026-03-14T09:00", "--no-plots", "--quiet");
        Assert.True(first.Code == 0, first.Error);
        ZeroRun entry = Assert.Single(ZeroFile.Read(zeros).Runs);
        Assert.Equal(new DateTimeOffset(2026, 3, 14, 9, 0, 0, TimeSpan.Zero), entry.TakenAtUtc);
        byte[] kept = File.ReadAllBytes(zeros);
        CommandRun second = CommandRun.Of("analyse", Csv(folder, "two.csv", false, 60), "--car", car, "--out", folder["two"], "--zeros", zeros, "--date", "2026-03-14T11:00", "--no-plots", "--quiet");
        Assert.True(second.Code == 0, second.Error);
        Assert.Equal(kept, File.ReadAllBytes(zeros));
        string summary = File.ReadAllText(folder["two", "summary.json"]);
        Assert.Contains("\"borrowed_from\": \"one\"", summary, StringComparison.Ordinal);
        Assert.Contains("\"borrowed_age_h\": 2", summary, StringComparison.Ordinal);
        Assert.Contains("zero_borrowed", summary, StringComparison.Ordinal);

        // The same log again leaves the file as it is.
        CommandRun.Of("analyse", folder["one.csv"], "--car", car, "--out", folder["one"], "--zeros", zeros, "--date", "2026-03-14T09:00", "--no-plots", "--quiet");
        Assert.Equal(kept, File.ReadAllBytes(zeros));
    }

    [Fact]
    public void A_zero_file_that_is_none_stops_the_run_before_any_result_and_stays_as_it_is()
    {
        using TemporaryFolder folder = new();
        string zeros = folder.Write("zeros.jsonl", "something else\n");
        CommandRun run = CommandRun.Of("analyse", Csv(folder, "one.csv", true, 60), "--car", Car(folder), "--out", folder["one"], "--zeros", zeros, "--no-plots", "--quiet");
        Assert.Equal(3, run.Code);
        Assert.Contains("zeros.jsonl, line 1", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(folder["one"]));
        Assert.Equal("something else\n", File.ReadAllText(zeros));
    }

    [Fact]
    public void Check_shows_the_trend_of_each_cell_and_the_calibrations()
    {
        using TemporaryFolder folder = new();
        string car = Car(folder, """

            [[calibrations]]
            date = 2026-03-02
            valid_until = 2026-04-02
            by = "bench 2"
            corner = "FL"
            applied = ["0 kN", "5 kN", "10 kN", "5 kN", "0 kN"]
            reading = ["0 N", "5.02 kN", "10.00 kN", "5.03 kN", "4 N"]
            """);
        ZeroHistory history = ZeroHistory.Empty;
        for (int k = 0; k < 6; k++)
        {
            double zero = k < 3 ? 10 + k : 150 - k;
            history = history.With(new ZeroRun($"run {k + 1}", $"hash {k}", "test car", new DateTimeOffset(2026, 3, 14, 8 + k, 0, 0, TimeSpan.Zero), [new CellZero("test car / P FL", "FL", ZeroSource.GroundCornerWeights, zero, zero, 12, 6, 1, 300.15, null)]));
        }

        string zeros = folder["zeros.jsonl"];
        ZeroFile.Write(zeros, history);
        CommandRun run = CommandRun.Of("check", "--car", car, "--zeros", zeros, "--date", "2026-06-01");
        Assert.True(run.Code == 0, run.Error);
        string shown = run.Out[run.Out.IndexOf("Calibrations of the load cells", StringComparison.Ordinal)..];
        Snapshot.Match("Cli", "check_zeros", shown.Replace(folder.Root + Path.DirectorySeparatorChar, "", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("14.3.2026")]
    [InlineData("yesterday")]
    [InlineData("2026-02-30")]
    public void A_date_that_is_none_is_wrong_usage(string date)
    {
        CommandRun run = CommandRun.Of("check", "--car", CommandRun.CarPath, "--date", date);
        Assert.Equal(2, run.Code);
        Assert.Contains("is no day", run.Error, StringComparison.Ordinal);
    }
}
