using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Tests.Health;

/// <summary>
/// Channel health on real load cells: two under a test bridge at 100 Hz (Data/real_logs/SOURCE.md). What a person says of them from the file:
/// time stamps of the reference state step by 9, 10 and 11 ms and its second cell is a 1 Hz reading held for 100 samples
/// (expected.json: longest run of equal samples 100); the load test is even, and both of its cells live.
/// </summary>
public class RealCellTests
{
    [Fact]
    public void The_held_reading_and_the_uneven_clock_of_the_reference_state_are_found()
    {
        HealthFinding[] findings = Check("force_reference_state.csv", "FRC-01", "FRC-02");
        HealthFinding slow = Assert.Single(findings, finding => finding.Kind == "slow_reading");
        Assert.Equal("FRC-02", slow.Channel);
        Assert.Contains("1 Hz", slow.Message, StringComparison.Ordinal);

        // 839, 1320 and 840 steps of 9, 10 and 11 ms: the steps scatter by sqrt(1679 / 2999) = 0.748 ms, the stamps by that over sqrt(2) = 0.529 ms.
        HealthFinding jitter = Assert.Single(findings, finding => finding.Kind == "clock_jitter");
        Assert.Contains("0.529 ms", jitter.Message, StringComparison.Ordinal);
        Assert.DoesNotContain(findings, finding => finding.Channel == "FRC-01" && finding.Kind is not "slow_logging");
        Assert.DoesNotContain(findings, finding => finding.Kind is "stuck" or "hold" or "dropout" or "spike" or "clipping");
    }

    [Fact]
    public void Two_live_cells_on_an_even_clock_have_no_finding_but_their_slow_rate()
    {
        HealthFinding[] findings = Check("force_load_test.csv", "FRC-01", "FRC-02");
        Assert.True(findings.Length == 1 && findings[0].Kind == "slow_logging", string.Join(" ", findings.Select(finding => $"{finding.Channel} {finding.Kind}: {finding.Message}")));
    }

    // A car needs four cells: each stands for two corners under a second name. Findings on the copies say the same and are left out.
    private static HealthFinding[] Check(string file, string one, string other)
    {
        RunLog log = LogReader.Read(Repository.Data("real_logs", file), LogOptions.Default);
        LoggedChannel first = log.Find(one)! with { Unit = "kN" };
        LoggedChannel second = log.Find(other)! with { Unit = "kN" };
        CarDefinition plain = TestCars.Plain();
        CarDefinition car = plain with
        {
            Channels =
            [
                new ChannelMapping { Role = ChannelRole.PushrodLoadFL, Name = one },
                new ChannelMapping { Role = ChannelRole.PushrodLoadFR, Name = other },
                new ChannelMapping { Role = ChannelRole.PushrodLoadRL, Name = "copy of " + one },
                new ChannelMapping { Role = ChannelRole.PushrodLoadRR, Name = "copy of " + other },
            ],
        };
        RunLog four = log with { Channels = [first, second, first with { Name = "copy of " + one }, second with { Name = "copy of " + other }] };
        return
        [
            .. HealthCheck.From(RunAssembly.From(four, car), HealthOptions.Default).Findings
                .Where(finding => finding.Severity != HealthVerdict.Good && finding.Kind is not ("missing" or "time_uneven") && !finding.Channel.StartsWith("copy of", StringComparison.Ordinal)),
        ];
    }
}
