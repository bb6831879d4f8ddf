using Telemetry.Output;
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
            Result(folder, "baseline", summary => summary),
            Result(folder, "new wing", summary => summary with { Aero = summary.Aero with { Rear = new(new(2.30, 2.25, 2.35), summary.Aero.Rear.LoadN) } }));
        Assert.Equal(0, run.Code);
        Snapshot.Match("Cli", "compare", run.Out);
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
