using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Review;

namespace Telemetry.Tests;

/// <summary>The tutorial of the library is this code, word for word.</summary>
public class TutorialTests
{
    private static readonly string Here = Path.Combine(Repository.Root, "tests", "Telemetry.Tests", "TutorialTests.cs");

    [Fact]
    public void The_tutorials_code_runs_and_names_what_needs_a_person()
    {
        List<string> said = Run(Path.Combine(Repository.Root, "sample-runs", "rough", "car.toml"), Path.Combine(Repository.Root, "sample-runs", "rough", "log.parquet"));
        Assert.Contains("log: Doubtful", said);
        Assert.Contains(said, line => line.StartsWith("280 km/h: ", StringComparison.Ordinal));
        Assert.Contains(said, line => line.StartsWith("lap 4, RR: ", StringComparison.Ordinal));
        Assert.Contains(said, line => line.StartsWith("PR-RR-008: Retire", StringComparison.Ordinal));
    }

    [Fact]
    public void The_text_shows_the_code_that_runs_here()
    {
        string[] text = File.ReadAllLines(Path.Combine(Repository.Root, "src", "Telemetry", "README.md"));
        int start = Array.IndexOf(text, "```csharp") + 1;
        string[] shown = text[start..Array.IndexOf(text, "```", start)];
        string[] code = File.ReadAllLines(Here);
        int from = Array.FindIndex(code, line => line.Trim() == "// tutorial:") + 1;
        int to = Array.FindIndex(code, from, line => line.Trim() == "// end of the tutorial");
        string[] ran = [.. code[from..to].Select(line => line.Length >= 8 ? line[8..] : "").SkipLast(1)];
        Assert.Equal(
            ran.Select(line => line.Replace("(carPath)", "(\"sample-runs/rough/car.toml\")", StringComparison.Ordinal).Replace("(logPath,", "(\"sample-runs/rough/log.parquet\",", StringComparison.Ordinal)),
            shown);
    }

    private static List<string> Run(string carPath, string logPath)
    {
        // tutorial:
        CarDefinition car = CarFile.Read(carPath);
        RunLog log = LogReader.Read(logPath, car.Log);
        RunReview review = RunAnalysis.Review(log, car, ReviewOptions.Default);

        List<string> lines = [$"log: {review.Health.Verdict}"];
        if (review.Aero.AtReference is { } aero)
        {
            lines.Add(FormattableString.Invariant(
                $"{aero.SpeedMps * 3.6:0} km/h: {aero.TotalLoadN.Value:0} N ({aero.TotalLoadN.Low95:0} to {aero.TotalLoadN.High95:0})"));
        }
        else
        {
            lines.Add($"aero load withheld: {review.Aero.WithheldBecause}");
        }

        foreach (KerbStrike strike in review.Kerbs.Strikes.Where(strike => strike.ExceedsLimit))
        {
            lines.Add(FormattableString.Invariant(
                $"lap {strike.Lap}, {strike.Corner.Code()}: {strike.PeakLoadN:0} N, margin {strike.MarginOfSafety:0.00} on {strike.WorstComponent}"));
        }

        foreach (ComponentResult part in review.Fatigue.Components)
        {
            lines.Add(FormattableString.Invariant($"{part.Component.Id}: {part.Verdict}, {part.LifeUsedPct:0.000} % of its life used"));
        }

        // end of the tutorial
        return lines;
    }
}
