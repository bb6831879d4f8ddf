using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Review;

namespace Telemetry.Tests.Ledger;

/// <summary>Which earlier readings a run is held against: those of the same car, setup and parts that lie before it.</summary>
public class EarlierReadingsTests
{
    private static readonly CarDefinition Car = CarFile.Parse(LedgerRuns.CarText, "car.toml");

    private static readonly string Part = LedgerRuns.PartsOfCar[0];

    [Fact]
    public void Runs_before_a_log_with_the_same_setup_are_its_history()
    {
        PartHistory history = Before(Run("a", 0, 100), Run("b", 1, 101), Run("c", 2, 102));
        Assert.Equal([100.0, 101.0, 102.0], history.Of(RunReadings.LoadPerTravel, "FL").Select(reading => reading.Value));
    }

    [Fact]
    public void A_run_that_started_later_and_the_log_itself_are_not_its_history()
    {
        ImmutableArray<LedgerEntry> entries = [Entry(1, Run("a", 0, 100)), Entry(2, Run("own", 1, 101)), Entry(3, Run("c", 2, 102))];
        PartHistory history = EarlierReadings.Before(entries, Texts(), Car, "own", null);
        Assert.Equal([100.0], history.Of(RunReadings.LoadPerTravel, "FL").Select(reading => reading.Value));
        PartHistory between = EarlierReadings.Before([entries[0], entries[2]], Texts(), Car, "new", LedgerRuns.FirstStart.AddMinutes(1));
        Assert.Equal([100.0], between.Of(RunReadings.LoadPerTravel, "FL").Select(reading => reading.Value));
    }

    [Fact]
    public void A_run_that_was_struck_out_is_no_history()
    {
        LedgerEntry strike = LedgerRuns.Mark(EntryKind.Correct, Part, 5, 2) with { Part = null, Corrects = 1, Text = "wrong log" };
        Assert.Empty(EarlierReadings.Before([Entry(1, Run("a", 0, 100)), strike], Texts(), Car, "new", null).Readings);
    }

    [Fact]
    public void Another_car_gives_no_readings_of_corners_and_keeps_those_of_a_part()
    {
        PartHistory history = Before(Run("a", 0, 100) with { Car = "another car" });
        Assert.Empty(history.Of(RunReadings.LoadPerTravel, "FL"));
        Assert.Single(history.Of("peak_compression", Part));
    }

    [Theory]
    [InlineData("spring_rate")]
    [InlineData("anti_roll_bar_rate")]
    public void Another_setup_of_the_axle_begins_a_new_history(string key)
    {
        // The first such rate of the file belongs to the front axle: the front loses its history, the rear keeps it.
        string[] lines = LedgerRuns.CarText.Split('\n');
        int at = Array.FindIndex(lines, line => line.StartsWith(key, StringComparison.Ordinal));
        lines[at] = $"{key} = \"333 N/mm\"";
        CarDefinition other = CarFile.Parse(string.Join('\n', lines), "car.toml");
        RunFigures run = Run("a", 0, 100) with { Readings = [new(RunReadings.LoadPerTravel, "FL", 1, 1, "N/m"), new(RunReadings.LoadPerTravel, "RL", 2, 1, "N/m")] };
        Assert.Equal(["RL"], EarlierReadings.Before([Entry(1, run)], Texts(), other, "new", null).Readings.Select(past => past.Reading.Subject));
    }

    [Fact]
    public void Another_part_at_the_corner_begins_a_new_history_there_only()
    {
        CarDefinition other = Car with { Components = [.. Car.Components.Select(part => part.Corner == Corner.FrontLeft ? part with { Id = part.Id + "-new" } : part)] };
        RunFigures run = Run("a", 0, 100) with { Readings = [new(RunReadings.LoadPerTravel, "FL", 1, 1, "N/m"), new(RunReadings.LoadPerTravel, "FR", 2, 1, "N/m")] };
        Assert.Equal(["FR"], EarlierReadings.Before([Entry(1, run)], Texts(), other, "new", null).Readings.Select(past => past.Reading.Subject));
    }

    [Fact]
    public void A_run_whose_car_file_is_not_kept_is_no_history_of_a_corner() =>
        Assert.Empty(EarlierReadings.Before([Entry(1, Run("a", 0, 100))], new Dictionary<string, string>(), Car, "new", null).Of(RunReadings.LoadPerTravel, "FL"));

    [Fact]
    public void Readings_come_back_from_the_database_as_they_went_in()
    {
        string folder = Directory.CreateTempSubdirectory("readings").FullName;
        try
        {
            RunFigures run = Run("a", 0, 100);
            run = run with { Readings = run.Readings.Add(new("zero", "RR", 0.1, double.NaN, "N")) };
            LedgerDatabase database = LedgerDatabase.Open(LedgerAddress.Read(Path.Combine(folder, "parts.db")), LedgerRuns.Now);
            database.Record(run, LedgerRuns.CarText, LedgerRuns.Now);
            Assert.Equal(run.Readings, database.Read().Entries[0].Run!.Readings);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static PartHistory Before(params RunFigures[] runs) =>
        EarlierReadings.Before([.. runs.Select((run, i) => Entry(i + 1, run))], Texts(), Car, "new", null);

    private static LedgerEntry Entry(long number, RunFigures run) => LedgerRuns.Entry(number, run);

    private static RunFigures Run(string hash, int minute, double value) => LedgerRuns.At(minute, LedgerRuns.Run(hash, LedgerRuns.Part(Part, 1e-4))) with
    {
        Car = Car.Name,
        Readings = [new(RunReadings.LoadPerTravel, "FL", value, 1, "N/m"), new("peak_compression", Part, 5000, 10, "N")],
    };

    private static Dictionary<string, string> Texts() => new() { [LedgerRuns.CarHash] = LedgerRuns.CarText };
}
