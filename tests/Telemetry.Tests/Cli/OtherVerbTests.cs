using Telemetry.Cli;
using Telemetry.Output;
using Telemetry.Tests.Comparison;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

public class OtherVerbTests
{
    private static string Result(TemporaryFolder folder, string name, Func<Summary, Summary> change)
    {
        Summary summary = SummaryFile.From(SampleReviews.Full);
        folder.Write(name + "/summary.json", System.Text.Encoding.UTF8.GetString(SummaryFile.ToJson(change(summary with { Run = summary.Run with { Name = name } }))));
        return folder[name];
    }

    [Fact]
    public void A_comparison_reads_as_kept()
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.Of(
            "compare",
            Result(folder, "baseline", summary => summary with { Aero = summary.Aero with { Evidence = null } }),
            Result(folder, "new wing", summary => summary with { Aero = summary.Aero with { Evidence = null, Rear = new(new(2.30, 2.25, 2.35), summary.Aero.Rear.LoadN) } }));
        Assert.Equal(0, run.Code);
        Snapshot.Match("Cli", "compare", run.Out);
    }

    [Fact]
    public void A_paired_comparison_reads_as_kept_and_writes_its_files()
    {
        using TemporaryFolder folder = new();
        var runs = new ModelWorld { GustMps = 0.2 }.Draw(new Random(77), 0, 0.02, 0);
        string[] paths = [.. runs.Select((run, r) => Result(folder, run.Name, summary => summary with
        {
            Aero = summary.Aero with
            {
                ReferenceSpeedKmh = 270,
                Air = new(ModelWorld.Density, 0.0036 * ModelWorld.Density, "log", false),
                Budget = [.. run.Budget.Select(line => new SummaryBudgetLine(line.Name, line.FrontLoadN, line.RearLoadN, line.TotalLoadN, true, ""))],
                Wind = summary.Aero.Wind with { HeadingIsTrue = true },
                Evidence = EvidenceInSummary.Of(run),
            },
        }))];
        CommandRun run = CommandRun.Of(["compare", .. paths, "--setups", "A,B,A", "--out", folder["compared"]]);
        Assert.Equal(0, run.Code);
        Snapshot.Match("Cli", "compare_paired", run.Out);
        Assert.Equal(
            [
                "compared_aero_load.png", "compared_aero_load.svg", "compared_kerbs.png", "compared_kerbs.svg", "compared_parts.png", "compared_parts.svg", "compared_platform.png", "compared_platform.svg",
                "comparison.html", "comparison.json", "differences.csv", "differences.png", "differences.svg",
            ],
            Directory.EnumerateFiles(folder["compared"]).Select(path => Path.GetFileName(path)!).Order(StringComparer.Ordinal));
        using var json = System.Text.Json.JsonDocument.Parse(CommandRun.Of(["compare", .. paths, "--setups", "A,B,A", "--json"]).Out);
        Assert.Equal(7, json.RootElement.GetProperty("differences")[0].GetProperty("quantities").GetArrayLength());
    }

    [Fact]
    public void What_is_written_of_a_run_is_what_was_asked_for()
    {
        using TemporaryFolder folder = new();
        List<ResultOptions> asked = [];
        string log = folder.Write("run.csv", "time [s],x\n");
        Pipeline pipeline = CommandRun.Known(SampleReviews.Full) with { WriteResults = (_, _, options) => asked.Add(options) };
        CommandRun.With(pipeline, "analyse", log, "--car", CommandRun.CarPath, "--out", folder["a"], "--quiet");
        CommandRun.With(pipeline, "analyse", log, "--car", CommandRun.CarPath, "--out", folder["b"], "--quiet", "--no-plots", "--strike-histories");
        Assert.Equal([ResultOptions.Default, new() { WithPlots = false, WithStrikeHistories = true }], asked);
    }

    [Fact]
    public void Three_runs_of_one_setup_ask_for_labels()
    {
        using TemporaryFolder folder = new();
        string[] paths = [.. new ModelWorld().Draw(new Random(78), 0, 0, 0).Select(run => Result(folder, run.Name, summary => summary with { Aero = summary.Aero with { Evidence = EvidenceInSummary.Of(run) } }))];
        CommandRun run = CommandRun.Of(["compare", .. paths]);
        Assert.Equal(3, run.Code);
        Assert.Contains("--setups", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_wished_balance_and_a_store_of_shims_read_as_kept()
    {
        CommandRun run = CommandRun.Of("shims", "--car", CommandRun.CarPath, "--balance", "0.3 %", "--balance-per-front", "-0.6 ± 0.1", "--held", "0.1 mm x 8, 0.5 mm x 4");
        Assert.Equal(0, run.Code);
        Snapshot.Match("Cli", "shims_balance", run.Out);
        Assert.Equal(2, CommandRun.Of("shims", "--car", CommandRun.CarPath, "--balance", "0.3 %").Code);
        Assert.Equal(2, CommandRun.Of("shims", "--car", CommandRun.CarPath, "--front", "1 mm", "--held", "eight").Code);
    }

    [Fact]
    public void Runs_of_different_cars_are_not_compared()
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.Of(
            "compare",
            Result(folder, "one", summary => summary),
            Result(folder, "two", summary => summary with { Car = summary.Car with { Basis = [new("wheelbase", "9 m")] } }));
        Assert.Equal(3, run.Code);
        Assert.Contains("wheelbase", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_without_a_summary_is_not_compared()
    {
        using TemporaryFolder folder = new();
        Directory.CreateDirectory(folder["empty"]);
        Assert.Equal(3, CommandRun.Of("compare", folder["empty"], folder["empty"]).Code);
    }

    [Fact]
    public void Shims_read_as_kept()
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.Of("shims", "--car", CommandRun.CarPath, "--front", "-1.5 mm", "--rake", "0.05 deg", "--result", Result(folder, "run7", summary => summary));
        Assert.Equal(0, run.Code);
        Snapshot.Match("Cli", "shims", run.Out);
    }

    [Fact]
    public void A_car_file_with_faults_is_explained_on_the_answer_stream()
    {
        using TemporaryFolder folder = new();
        string car = folder.Write("car.toml", "name = \"x\"\n[geometry]\nwheelbase = \"2.95\"\n");
        CommandRun run = CommandRun.Of("check", "--car", car);
        Assert.Equal(3, run.Code);
        Assert.Contains("wheelbase", run.Out, StringComparison.Ordinal);
        Assert.Empty(run.Error);
    }

    [Fact]
    public void A_usable_car_file_is_told_answer_by_answer()
    {
        CommandRun run = CommandRun.Of("check", "--car", CommandRun.CarPath);
        Assert.Equal(0, run.Code);
        Assert.Contains("aero load in still air: yes", run.Out, StringComparison.Ordinal);
    }
}
