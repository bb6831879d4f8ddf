using Telemetry.Simulation;

namespace Telemetry.Tests.Simulation;

public class ScenarioFileTests
{
    private static string Baseline => Path.Combine(Repository.Root, "sample-runs", "baseline", "scenario.toml");

    [Fact]
    public void The_baseline_reads_in_si_units()
    {
        Scenario scenario = ScenarioFile.Read(Baseline);
        Assert.Equal("baseline", scenario.Name);
        Assert.Equal(390_000, scenario.Driver.PowerW);
        Assert.Equal(294.15, scenario.Weather.TemperatureK, 1e-9);
        Assert.Equal(-6, scenario.Aero.Front.PerFrontM, 1e-9);
        Assert.Equal(-80, scenario.Aero.Front.PerFrontSquaredM, 1e-9);
        Assert.Equal(360.0, scenario.Circuit.Segments.Sum(s => s.TurnRad) * 180 / Math.PI, 1e-9);
        Assert.Equal("Quillmere", scenario.Circuit.Name);
    }

    [Fact]
    public void All_faults_of_a_scenario_are_told_together_with_line_and_remedy()
    {
        string text = File.ReadAllText(Baseline)
            .Replace("seed = 20417", "sede = 20417", StringComparison.Ordinal)
            .Replace("\"390 kW\"", "\"390\"", StringComparison.Ordinal)
            .Replace("side = \"left\"", "side = \"port\"", StringComparison.Ordinal)
            .Replace("drag_area = \"1.02 m2\"", "", StringComparison.Ordinal);
        InputError error = Broken(text);
        Assert.Contains(error.Faults, f => f.Where.Contains("sede", StringComparison.Ordinal) && f.Remedy.Contains("\"seed\"", StringComparison.Ordinal));
        Assert.Contains(error.Faults, f => f.Where.Contains("driver.power", StringComparison.Ordinal) && f.Remedy.Contains("kW", StringComparison.Ordinal));
        Assert.Contains(error.Faults, f => f.Where.Contains("kerbs[2].side", StringComparison.Ordinal) && f.Found.Contains("left, right", StringComparison.Ordinal));
        Assert.Contains(error.Faults, f => f.Where.Contains("aero.drag_area", StringComparison.Ordinal) && f.Found.Contains("missing", StringComparison.Ordinal));
        Assert.All(error.Faults, f => Assert.Contains("line ", f.Where, StringComparison.Ordinal));
    }

    [Fact]
    public void A_missing_file_is_an_input_error() =>
        Assert.Throws<InputError>(() => ScenarioFile.Read(Path.Combine(Path.GetTempPath(), "no-such-scenario.toml")));

    [Fact]
    public void A_circuit_that_does_not_close_is_refused()
    {
        string folder = Directory.CreateTempSubdirectory("circuit").FullName;
        string circuit = File.ReadAllText(Path.Combine(Repository.Root, "sample-runs", "circuit.toml"));
        File.WriteAllText(Path.Combine(folder, "circuit.toml"), circuit.Replace("\"110 deg\"", "\"90 deg\"", StringComparison.Ordinal));
        InputError error = Assert.Throws<InputError>(() => CircuitFile.Read(Path.Combine(folder, "circuit.toml")));
        Directory.Delete(folder, true);
        Assert.Contains("320 degrees", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_wheel_past_its_ratio_table_stops_the_run_and_says_when()
    {
        Scenario wild = InventedCar.Scenario with
        {
            Laps = 1,
            Kerbs = [new KerbDefinition { Name = "wall", DistanceM = 900, LengthM = 1.2, HeightM = 0.4, IsLeft = true }],
        };
        InputError error = Assert.Throws<InputError>(() => Simulator.Run(wild, InventedCar.Car));
        Assert.Contains("ratio table", error.Message, StringComparison.Ordinal);
        Assert.Contains("time 3", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void The_truth_survives_its_file()
    {
        SimulationTruth truth = Simulator.Run(InventedCar.Scenario with { Laps = 1, StandstillBeforeS = 12, StandstillAfterS = 1 }, InventedCar.Car).Truth;
        string path = Path.Combine(Directory.CreateTempSubdirectory("truth").FullName, "truth.json");
        TruthFile.Write(truth, path);
        string text = File.ReadAllText(path);
        Assert.Equal(text, TruthFile.ToJson(TruthFile.Read(path)));
        foreach (string key in new[] { "aero_by_speed", "speed_kmh", "front_load_n", "rear_load_n", "front_cla_m2", "rear_cla_m2", "strikes", "corner", "lap", "distance_m", "peak_pushrod_n", "peaks", "compression_n", "tension_n", "zero_n", "\"FL\"", "wind", "speed_mps", "from_deg" })
        {
            Assert.Contains(key, text, StringComparison.Ordinal);
        }

        File.WriteAllText(path, "{ \"name\": 3 }");
        Assert.Throws<InputError>(() => TruthFile.Read(path));
        Directory.Delete(Path.GetDirectoryName(path)!, true);
    }

    private static InputError Broken(string text)
    {
        string folder = Directory.CreateTempSubdirectory("scenario").FullName;
        string path = Path.Combine(folder, "scenario.toml");
        File.WriteAllText(path, text);
        InputError error = Assert.Throws<InputError>(() => ScenarioFile.Read(path));
        Directory.Delete(folder, true);
        return error;
    }
}
