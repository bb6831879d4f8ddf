using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Simulation;

namespace Telemetry.Tests.Simulation;

/// <summary>The committed sample runs are what the simulator makes today.</summary>
/// <remarks>After a wanted change set the environment variable TELEMETRY_WRITE_SAMPLE_RUNS to 1, run these tests, and commit what they wrote.</remarks>
public class SampleRunsTests
{
    private const long LargestBytes = 8_000_000;

    private static readonly Dictionary<string, Lazy<SimulatedRun>> Runs = new[] { "baseline", "wing", "rough" }
        .ToDictionary(name => name, name => new Lazy<SimulatedRun>(() => Simulate(name)));

    [Theory]
    [InlineData("baseline")]
    [InlineData("wing")]
    [InlineData("rough")]
    public void The_simulator_still_makes_the_committed_run(string name)
    {
        SimulatedRun run = Runs[name].Value;
        Assert.Equal(File.ReadAllText(Path.Combine(Folder(name), RunFolder.TruthName)).ReplaceLineEndings("\n"), TruthFile.ToJson(run.Truth));
        RunLog committed = LogReader.Read(Path.Combine(Folder(name), RunFolder.LogName), LogOptions.Default);
        Assert.Equal(run.Log.Channels.Select(c => (c.Name, c.Unit)), committed.Channels.Select(c => (c.Name, c.Unit)));
        foreach (LoggedChannel channel in run.Log.Channels)
        {
            LoggedChannel read = committed.Find(channel.Name)!;
            Assert.Equal(channel.Time.Count, read.Time.Count);
            Assert.Equal(channel.Time.StepS, read.Time.StepS, 1e-12);
            SampleSource made = channel.Samples;
            SampleSource kept = read.Samples;
            for (int i = 0; i < made.Length; i++)
            {
                Assert.True(made[i].Equals(kept[i]), $"{channel.Name}, sample {i}: made {made[i]}, kept {kept[i]}.");
            }
        }
    }

    [Theory]
    [InlineData("baseline")]
    [InlineData("wing")]
    [InlineData("rough")]
    public void A_committed_log_is_small(string name)
    {
        _ = Runs[name].Value;
        Assert.InRange(new FileInfo(Path.Combine(Folder(name), RunFolder.LogName)).Length, 1, LargestBytes);
    }

    [Fact]
    public void The_rough_run_breaks_a_pushrod_limit_on_one_lap_only_and_within_the_cells_range()
    {
        CarDefinition car = CarFile.Read(Path.Combine(Folder("rough"), "car.toml"));
        SimulationTruth truth = Runs["rough"].Value.Truth;
        StrikeTruth[] over = [.. truth.Strikes.Where(s => s.PeakPushrodN * Part(car, s).LimitFactor > Part(car, s).CompressionLimitN)];
        Assert.NotEmpty(over);
        Assert.All(over, s => Assert.Equal(4, s.Lap));
        Assert.All(over, s => Assert.True(s.PeakPushrodN < car.Mapping(ChannelRoles.PushrodLoad(Corners.FromCode(s.Corner)!.Value))!.Range!.Value.High));
        Assert.All(Runs["baseline"].Value.Truth.Strikes, s => Assert.True(s.PeakPushrodN * Part(car, s).LimitFactor < Part(car, s).CompressionLimitN));
    }

    [Fact]
    public void The_rough_runs_zero_drifts_and_the_baselines_hardly_does()
    {
        SimulationTruth rough = Runs["rough"].Value.Truth;
        SimulationTruth baseline = Runs["baseline"].Value.Truth;
        Assert.True(Math.Abs(rough.ZeroEndN.FrontRight - rough.ZeroN.FrontRight) > 100);
        Assert.True(Math.Abs(baseline.ZeroEndN.FrontRight - baseline.ZeroN.FrontRight) < 10);
    }

    [Fact]
    public void The_other_wing_moves_load_to_the_rear()
    {
        AeroTruth before = Runs["baseline"].Value.Truth.AeroBySpeed.First(a => a.SpeedKmh == 250);
        AeroTruth after = Runs["wing"].Value.Truth.AeroBySpeed.First(a => a.SpeedKmh == 250);
        Assert.True(after.RearClaM2 > before.RearClaM2 + 0.1);
        Assert.True(after.FrontClaM2 < before.FrontClaM2);
    }

    private static ComponentDefinition Part(CarDefinition car, StrikeTruth strike) =>
        car.Components.First(c => c.Id.StartsWith("PR-" + strike.Corner, StringComparison.Ordinal));

    private static string Folder(string name) => Path.Combine(Repository.Root, "sample-runs", name);

    private static SimulatedRun Simulate(string name)
    {
        string path = Path.Combine(Folder(name), "scenario.toml");
        if (Environment.GetEnvironmentVariable("TELEMETRY_WRITE_SAMPLE_RUNS") == "1")
        {
            return RunFolder.Write(path);
        }

        Scenario scenario = ScenarioFile.Read(path);
        return Simulator.Run(scenario, ScenarioFile.ReadCar(scenario));
    }
}
