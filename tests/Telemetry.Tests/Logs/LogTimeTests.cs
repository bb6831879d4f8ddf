using System.Globalization;
using System.Text;
using System.Text.Json;
using CsCheck;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>Time: units, dates, grids, jitter, gaps, repeats. Values by hand unless a source is named.</summary>
public class LogTimeTests
{
    [Theory]
    [InlineData("time [ms]", "0", "10", "20")]
    [InlineData("time_ms", "0", "10", "20")]
    [InlineData("Time (s)", "0.00", "0.01", "0.02")]
    [InlineData("elapsed [us]", "0", "10000", "20000")]
    [InlineData("timestamp", "2024-03-01T10:00:00.000Z", "2024-03-01T10:00:00.010Z", "2024-03-01T10:00:00.020Z")]
    [InlineData("t", "2024-03-01 10:00:00,00", "2024-03-01 10:00:00,01", "2024-03-01 10:00:00,02")]
    [InlineData("TIME", "23:59:58.00", "23:59:58.01", "23:59:58.02")]
    public void Every_way_of_writing_time_gives_seconds(string name, string first, string second, string third)
    {
        RunLog log = LogText.Read($"{name};x\n{first};1\n{second};2\n{third};3\n");
        Assert.Equal(TimeBase.Even(0, 0.01, 3), log.Find("x")!.Time);
    }

    [Fact]
    public void A_dated_log_knows_when_it_began()
    {
        // ISO 8601-1: the offset is what was added to UTC.
        RunLog log = LogText.Read("time,x\n2024-03-01T10:00:00.5+02:00,1\n2024-03-01T10:00:01.5+02:00,2\n");
        Assert.Equal(new DateTimeOffset(2024, 3, 1, 8, 0, 0, 500, TimeSpan.Zero), log.StartedAtUtc);
        Assert.Equal(1, log.Find("x")!.Time.StepS);
    }

    [Fact]
    public void A_unit_that_is_no_unit_of_time_is_refused() =>
        Assert.Contains("'N' is no unit of time", LogText.Refused("time [N],x\n0,1\n1,2\n").Message, StringComparison.Ordinal);

    [Fact]
    public void A_log_without_a_time_column_is_refused_with_the_names_that_it_has()
    {
        InputError error = LogText.Refused("lap,speed\n1,80\n2,81\n");
        Assert.Contains("'lap', 'speed'", error.Message, StringComparison.Ordinal);
        Assert.Equal([80, 81], LogText.Read("lap,speed\n1,80\n2,81\n", new() { TimeColumn = "lap" }).Samples("speed"));
    }

    [Theory]
    [InlineData(128, 3)]
    [InlineData(1000, 3)]
    [InlineData(400, 4)]
    [InlineData(60, 3)]
    [InlineData(3, 2)]
    public void A_rounded_even_grid_is_found_and_its_rate_is_the_round_one(int rateHz, int decimals)
    {
        string format = "F" + decimals.ToString(CultureInfo.InvariantCulture);
        StringBuilder text = new("time [s],x\n");
        for (int i = 0; i < 5000; i++)
        {
            text.Append(((double)i / rateHz).ToString(format, CultureInfo.InvariantCulture)).Append(",1\n");
        }

        TimeBase time = LogText.Read(text.ToString()).Find("x")!.Time;
        Assert.True(time.IsEven);
        Assert.Equal(rateHz, time.RateHz, 9);
    }

    [Fact]
    public void An_even_grid_written_with_enough_digits_is_found_to_within_its_rounding() =>
        Gen.Select(Gen.Double[1e-4, 0.5], Gen.Double[-100, 1000], Gen.Int[2, 400], Gen.Int[4, 9]).Sample(
            (step, start, count, decimals) =>
            {
                if (step < 3 * Math.Pow(10, -decimals))
                {
                    return true;
                }

                StringBuilder text = new("time [s],x\n");
                string format = "F" + decimals.ToString(CultureInfo.InvariantCulture);
                for (int i = 0; i < count; i++)
                {
                    text.Append((start + (i * step)).ToString(format, CultureInfo.InvariantCulture)).Append(",1\n");
                }

                TimeBase time = LogText.Read(text.ToString()).Find("x")!.Time;
                double most = Math.Max(Math.Pow(10, -decimals), 1e-6 * step) * 1.001;
                return time.IsEven && Math.Abs(time.At(count - 1) - (start + ((count - 1) * step))) <= most;
            },
            seed: "0N0XIzNsQ0O2",
            iter: 300);

    [Fact]
    public void Steps_that_no_rounding_explains_are_kept_as_they_are_and_reported()
    {
        RunLog log = LogText.Read("time [s],x\n0.00,1\n0.10,2\n0.23,3\n0.30,4\n0.40,5\n");
        TimeBase time = log.Find("x")!.Time;
        Assert.Equal([0, 0.1, 0.23, 0.3, 0.4], time.TimesS.AsEnumerable());
        Assert.Equal(2, log.Finding(LogFindingKind.UnevenTime).Count);
    }

    [Fact]
    public void Gaps_in_an_even_grid_are_gaps_and_no_jitter()
    {
        // 60 Hz in milliseconds: steps of 16 and 17 ms are rounding; rows 100 to 149 and 300 are missing.
        StringBuilder text = new("time [s],x\n");
        for (int i = 0; i < 600; i++)
        {
            if (i is (< 100 or >= 150) and not 300)
            {
                text.Append(FormattableString.Invariant($"{i / 60.0:F3},{i}\n"));
            }
        }

        RunLog log = LogText.Read(text.ToString());
        LogFinding gap = log.Finding(LogFindingKind.TimeGap);
        Assert.Equal((2, 1.65), (gap.Count, gap.FirstS));
        Assert.DoesNotContain(log.Findings, finding => finding.Kind == LogFindingKind.UnevenTime);
        Assert.False(log.Find("x")!.Time.IsEven);
    }

    [Fact]
    public void Repeated_and_backward_times_are_left_out_and_told_with_their_rows()
    {
        StringBuilder text = new("time [s],x\n");
        for (int i = 0; i < 40; i++)
        {
            text.Append(FormattableString.Invariant($"{(i == 5 ? 4 : i == 20 ? 3 : i)},{i}\n"));
        }

        RunLog log = LogText.Read(text.ToString());
        Assert.Equal("run.csv, row 7, column 'time'", log.Finding(LogFindingKind.RepeatedTime).Where);
        Assert.Equal("run.csv, row 22, column 'time'", log.Finding(LogFindingKind.BackwardTime).Where);
        Assert.Equal(38, log.Samples("x").Length);
        Assert.DoesNotContain(5.0, log.Samples("x"));
    }

    [Fact]
    public void A_clock_that_starts_again_is_refused_where_it_does()
    {
        string half = string.Concat(Enumerable.Range(0, 50).Select(i => $"{i},1\n"));
        InputError error = LogText.Refused("time [s],x\n" + half + half);
        Assert.Equal("run.csv, row 52, column 'time'", error.Faults[0].Where);
    }

    [Fact]
    public void One_row_has_a_time_but_no_rate()
    {
        TimeBase time = LogText.Read("time [s],x\n5,1\n").Find("x")!.Time;
        Assert.Equal((1, 5.0), (time.Count, time.LastS));
        Assert.True(double.IsNaN(time.StepS));
    }

    [Theory]
    [InlineData("force_reference_state", 0)]
    [InlineData("force_load_test", 2)]
    public void A_real_logger_is_read_with_its_jitter_and_its_values(string name, int first)
    {
        // Figures counted from the same files by an independent script: Data/real_logs/expected.json.
        using JsonDocument json = JsonDocument.Parse(File.ReadAllText(Repository.Data("real_logs", "expected.json")));
        RunLog log = LogReader.Read(Repository.Data("real_logs", name + ".csv"), LogOptions.Default);
        for (int i = first; i < first + 2; i++)
        {
            JsonElement expected = json.RootElement[i];
            LoggedChannel channel = log.Find(expected.GetProperty("channel").GetString()!)!;
            Assert.Equal("kN", channel.Unit);
            Assert.Equal(expected.GetProperty("samples").GetInt32(), channel.Samples.Length);
            Assert.Equal(expected.GetProperty("minimum_kn").GetDouble(), channel.Samples.Min());
            Assert.Equal(expected.GetProperty("maximum_kn").GetDouble(), channel.Samples.Max());
            Assert.Equal(expected.GetProperty("mean_kn").GetDouble(), channel.Samples.Average(), 9);
            Assert.Equal(expected.GetProperty("distinct_values").GetInt32(), channel.Samples.Distinct().Count());
            Assert.Equal(DateTime.Parse(expected.GetProperty("first_time").GetString()!, CultureInfo.InvariantCulture), log.StartedAtUtc!.Value.UtcDateTime);
            Dictionary<string, int> steps = expected.GetProperty("steps_ms").EnumerateObject().ToDictionary(p => p.Name, p => p.Value.GetInt32());
            Dictionary<string, int> found = Enumerable.Range(1, channel.Time.Count - 1)
                .CountBy(k => Math.Round((channel.Time.At(k) - channel.Time.At(k - 1)) * 1000).ToString(CultureInfo.InvariantCulture)).ToDictionary();
            Assert.Equal(steps.OrderBy(p => p.Key), found.OrderBy(p => p.Key));
            int jitter = steps.Where(p => p.Key != "10").Sum(p => p.Value);
            Assert.Equal(jitter, log.Findings.Where(f => f.Kind == LogFindingKind.UnevenTime).Sum(f => f.Count));
            Assert.Equal(jitter == 0, channel.Time.IsEven);
        }
    }
}
