using Telemetry.Cli;
using Telemetry.Tests.Logs;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

public class CutVerbTests
{
    [Fact]
    public void A_long_log_becomes_a_file_for_each_run()
    {
        using TemporaryFolder folder = new();
        string path = folder.Write("race.csv", LongLog.Text(stops: 2, stopS: 30));
        DateTime recorded = new(2026, 3, 28, 15, 0, 0, DateTimeKind.Utc);
        File.SetLastWriteTimeUtc(path, recorded);
        CommandRun run = CommandRun.Of("cut", path, "--car", CommandRun.CarPath, "--out", folder["stints"]);
        Assert.True(run.Code == ExitCode.Done, run.Error);
        Assert.Equal(["race-01.csv", "race-02.csv", "race-03.csv"], Directory.EnumerateFiles(folder["stints"]).Select(file => Path.GetFileName(file)!).Order(StringComparer.Ordinal));
        Assert.Contains("cut into 3 runs", run.Out, StringComparison.Ordinal);
        Assert.Contains("race-02.csv  0:01:15 to 0:02:15 from the log's start, up to 180 km/h", run.Out, StringComparison.Ordinal);

        // The log is 210 s long and cut at 75 s and 135 s: a day puts runs without dates in order by these times.
        DateTime[] times = [.. new[] { 1, 2, 3 }.Select(k => File.GetLastWriteTimeUtc(folder["stints", $"race-0{k}.csv"]))];
        Assert.Equal(recorded, times[2]);
        Assert.InRange((recorded - times[1]).TotalSeconds, 74.5, 75.5);
        Assert.InRange((recorded - times[0]).TotalSeconds, 134.5, 135.5);
    }

    [Fact]
    public void Runs_that_are_there_are_replaced_only_on_demand()
    {
        using TemporaryFolder folder = new();
        string path = folder.Write("race.csv", LongLog.Text(stops: 1, stopS: 30));
        Assert.Equal(ExitCode.Done, CommandRun.Of("cut", path, "--car", CommandRun.CarPath).Code);
        string first = folder["race-runs", "race-01.csv"];
        File.WriteAllText(first, "kept");
        CommandRun again = CommandRun.Of("cut", path, "--car", CommandRun.CarPath);
        Assert.Equal(ExitCode.NotWritten, again.Code);
        Assert.Contains("already there", again.Error, StringComparison.Ordinal);
        Assert.Equal("kept", File.ReadAllText(first));
        Assert.Equal(ExitCode.Done, CommandRun.Of("cut", path, "--car", CommandRun.CarPath, "--force").Code);
        Assert.NotEqual("kept", File.ReadAllText(first));
    }

    [Fact]
    public void A_log_without_a_stop_says_so()
    {
        using TemporaryFolder folder = new();
        CommandRun run = CommandRun.Of("cut", folder.Write("race.csv", LongLog.Text(stops: 2, stopS: 10)), "--car", CommandRun.CarPath);
        Assert.Equal(ExitCode.BadInput, run.Code);
        Assert.Contains("between stretches driven at 72 km/h or more the car never stands for 20 s", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(folder["race-runs"]));
    }
}
