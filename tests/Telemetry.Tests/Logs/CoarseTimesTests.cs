using System.Globalization;
using System.Text;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>Times that went through single precision: IEEE 754 binary32 has 24 binary digits, so that from 16,384 s on neighbours lie 1/512 s apart.</summary>
public class CoarseTimesTests
{
    private static RunLog Read(int count, double startS, double stepS, Func<double, string> write, Func<int, double>? jitterS = null)
    {
        StringBuilder text = new("time [s],x\n");
        for (int i = 0; i < count; i++)
        {
            text.Append(write(startS + (i * stepS) + (jitterS?.Invoke(i) ?? 0))).Append(CultureInfo.InvariantCulture, $",{i}\n");
        }

        return LogText.Read(text.ToString());
    }

    private static string Shortest(double time) => ((float)time).ToString("R", CultureInfo.InvariantCulture);

    private static string SixDecimals(double time) => ((float)time).ToString("F6", CultureInfo.InvariantCulture);

    [Theory]
    [InlineData(0, 0.001)]
    [InlineData(0, 0.01)]
    [InlineData(5000, 0.001)]
    [InlineData(5000, 0.0078125)]
    [InlineData(20000, 0.005)]
    [InlineData(3.7, 0.002)]
    public void An_even_grid_printed_in_single_precision_is_even_and_not_called_uneven(double startS, double stepS)
    {
        foreach (Func<double, string> write in (Func<double, string>[])[Shortest, SixDecimals])
        {
            RunLog log = Read(4000, startS, stepS, write);
            TimeBase time = log.Find("x")!.Time;
            Assert.True(time.IsEven);
            Assert.Equal(4000, time.Count);
            Assert.Equal(stepS, time.StepS, 5e-7);
            Assert.DoesNotContain(log.Findings, finding => finding.Kind is LogFindingKind.UnevenTime or LogFindingKind.RepeatedTime or LogFindingKind.TimeGap or LogFindingKind.CoarseTime);
        }
    }

    [Fact]
    public void Rounding_that_a_step_feels_is_told()
    {
        // At 20,000 s neighbours lie 1/512 = 0.00195 s apart: 0.39 of a step of 5 ms.
        LogFinding note = Assert.Single(Read(4000, 20000, 0.005, Shortest).Findings);
        Assert.Contains("0.39 of a step", note.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Samples_that_share_a_time_are_kept_on_the_grid_that_explains_them_and_the_log_is_doubtful()
    {
        // At 40,000 s neighbours lie 1/256 = 0.0039 s apart: four samples of 1 kHz share each time.
        RunLog log = Read(8000, 40000, 0.001, Shortest);
        Assert.Equal(8000, log.Find("x")!.Time.Count);
        Assert.Equal(0.001, log.Find("x")!.Time.StepS, 1e-6);
        Assert.Equal(LogFindingKind.CoarseTime, Assert.Single(log.Findings).Kind);
    }

    [Fact]
    public void Jitter_beyond_the_rounding_stays_uneven()
    {
        RunLog log = Read(2000, 20000, 0.01, Shortest, i => i % 7 == 3 ? 0.006 : 0);
        Assert.Contains(log.Findings, finding => finding.Kind == LogFindingKind.UnevenTime);
        Assert.Contains(log.Findings, finding => finding.Kind == LogFindingKind.CoarseTime);
        Assert.False(log.Find("x")!.Time.IsEven);
    }

    [Fact]
    public void Jitter_in_times_of_full_precision_is_never_laid_to_single_precision()
    {
        RunLog log = Read(2000, 20000, 0.01, time => time.ToString("F3", CultureInfo.InvariantCulture), i => i % 7 == 3 ? 0.003 : 0);
        Assert.Equal([LogFindingKind.UnevenTime], log.Findings.Select(finding => finding.Kind));
    }

    [Fact]
    public void Rows_that_repeat_a_time_of_full_precision_are_still_left_out()
    {
        RunLog log = Read(2000, 40000, 0.001, time => (Math.Floor(time * 250) / 250).ToString("F3", CultureInfo.InvariantCulture));
        Assert.Equal(1500, log.Finding(LogFindingKind.RepeatedTime).Count);
    }
}
