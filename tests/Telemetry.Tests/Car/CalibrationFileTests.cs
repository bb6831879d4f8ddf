using Telemetry.Car;

namespace Telemetry.Tests.Car;

public class CalibrationFileTests
{
    private const string Bench = """

        [[calibrations]]
        date = 2026-03-02
        valid_until = "2027-03-02"
        by = "bench 2"
        corner = "FL"
        cell = "LC-0412"
        applied_uncertainty = "0.05 %"
        applied = ["0 kN", "200 kg", "4 kN"]
        reading = ["18 N", "1.99 kN", "4.046 kN"]
        """;

    private static string With(string calibration) => CarText.Sample + calibration.ReplaceLineEndings("\n") + "\n";

    [Fact]
    public void A_bench_record_reads_with_its_day_written_either_way()
    {
        CalibrationRecord record = Assert.Single(CarFile.Parse(With(Bench), CarText.Name).Calibrations);
        Assert.Equal(new DateOnly(2026, 3, 2), record.Date);
        Assert.Equal(new DateOnly(2027, 3, 2), record.ValidUntil);
        Assert.Equal("bench 2", record.By);
        Assert.Equal(Corner.FrontLeft, record.Corner);
        Assert.Equal([0, 200 * 9.80665, 4000], record.AppliedN.FrontLeft);
        Assert.Equal([18, 1990, 4046], record.ReadingN.FrontLeft.Select(reading => Math.Round(reading, 9)));
        Assert.True(record.AppliedN.FrontRight.IsDefault);
        Assert.Equal(0.0005, record.AppliedUncertaintyShare, 12);
    }

    [Fact]
    public void A_car_on_its_scales_needs_all_four_wheels()
    {
        string[] wheels = ["fl", "fr", "rl", "rr"];
        string Lines(IEnumerable<string> which) => string.Concat(which.Select(code => $"scales_{code} = [\"150 kg\", \"200 kg\", \"150 kg\"]\nreading_{code} = [\"1.2 kN\", \"1.8 kN\", \"1.2 kN\"]\n"));
        CalibrationRecord record = Assert.Single(CarFile.Parse(With("\n[[calibrations]]\n" + Lines(wheels)), CarText.Name).Calibrations);
        Assert.Null(record.Corner);
        Assert.Equal(3, record.AppliedN.RearRight.Length);
        IReadOnlyList<InputFault> faults = CarText.Faults(With("\n[[calibrations]]\n" + Lines(wheels[..3])));
        Assert.Contains(faults, fault => fault.Where.Contains("calibrations[1].scales_rr", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("date = 2026-03-02", "date = \"March\"", "calibrations[1].date", "is not a day")]
    [InlineData("date = 2026-03-02", "date = 2028-01-01", "calibrations[1].valid_until", "before the date")]
    [InlineData("corner = \"FL\"", "corner = \"XX\"", "calibrations[1].corner", "none of")]
    [InlineData("\"200 kg\", \"4 kN\"]", "\"4 kN\"]", "calibrations[1].applied", "at least 3")]
    [InlineData("\"1.99 kN\", ", "", "calibrations[1].reading", "has 2 values while")]
    [InlineData("[\"0 kN\", \"200 kg\", \"4 kN\"]", "[\"4.00 kN\", \"4.01 kN\", \"4.02 kN\"]", "calibrations[1].applied", "hardly differ")]
    [InlineData("by = \"bench 2\"", "operator = \"bench 2\"", "calibrations[1].operator", "not a known name")]
    [InlineData("by = \"bench 2\"", "scales_fl = [\"1 kg\"]", "calibrations[1].scales_fl", "belongs to a car on its scales")]
    [InlineData("corner = \"FL\"\n", "", "calibrations[1].applied", "names no corner")]
    [InlineData("\"18 N\"", "\"18\"", "calibrations[1].reading", "has no unit")]
    public void Faults_are_told_with_field_and_line(string old, string change, string where, string found)
    {
        string text = With(Bench);
        Assert.Contains(old, text, StringComparison.Ordinal);
        IReadOnlyList<InputFault> faults = CarText.Faults(text.Replace(old, change, StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.Where.Contains(where, StringComparison.Ordinal) && fault.Where.Contains("line ", StringComparison.Ordinal) && fault.Found.Contains(found, StringComparison.Ordinal));
    }

    [Fact]
    public void A_record_of_another_cell_than_the_fitted_one_is_a_warning()
    {
        CarDefinition car = CarFile.Parse(With(Bench), CarText.Name);
        string name = car.Mapping(ChannelRole.PushrodLoadFL)!.Name;
        string text = With(Bench).Replace($"name = \"{name}\"", $"name = \"{name}\", serial = \"LC-0001\"", StringComparison.Ordinal);
        Assert.Contains(CarText.Warnings(text), warning => warning.Found.Contains("LC-0001", StringComparison.Ordinal));
    }
}
