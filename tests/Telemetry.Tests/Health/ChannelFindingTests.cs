using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Review;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.Health;

/// <summary>What single findings say and which samples they name, on a simulated run with a fault at a known place.</summary>
public class ChannelFindingTests
{
    private static BenchRun Clean => HealthBench.Lean(BenchRuns.Of(0));

    private static string LoadFL => Clean.Name(ChannelRole.PushrodLoadFL);

    private static HealthFinding Only(RunLog log, string kind, string channel) =>
        Assert.Single(HealthBench.Check(Clean, log).Findings, finding => finding.Kind == kind && finding.Channel == channel);

    [Fact]
    public void A_held_stretch_names_its_samples_and_its_role()
    {
        HealthFinding hold = Only(InjectedFaults.Stuck(Clean.Log, LoadFL, 60, 0.05), "hold", LoadFL);
        SampleSpan span = Assert.Single(hold.Spans);

        // Sample 60000 is read, and repeated 50 times; by chance the one before may be equal too.
        Assert.InRange(span.First, 59_999, 60_000);
        Assert.InRange(span.End, 60_051, 60_052);
        Assert.Equal(ChannelRole.PushrodLoadFL, hold.Role);
        Assert.Equal(60, hold.StartS, 0.002);
    }

    [Fact]
    public void Every_spike_and_every_dropout_is_a_span()
    {
        HealthFinding spikes = Only(InjectedFaults.Spikes(Clean.Log, LoadFL, 7, 2000, 1, 3), "spike", LoadFL);
        Assert.Equal(7, spikes.Spans.Length);
        Assert.All(spikes.Spans, span => Assert.Equal(1, span.Count));
        HealthFinding drops = Only(InjectedFaults.DropsTo(Clean.Log, LoadFL, 0, 4, 0.03, 3), "dropout", LoadFL);
        Assert.Equal(4, drops.Spans.Length);
        Assert.All(drops.Spans, span => Assert.Equal(30, span.Count));
    }

    [Fact]
    public void A_gap_has_all_its_stretches()
    {
        HealthFinding gap = Only(InjectedFaults.Gaps(Clean.Log, LoadFL, 5, 0.1, 4), "gap", LoadFL);
        Assert.Equal(5, gap.Spans.Length);
        Assert.Equal(500, gap.Spans.Sum(span => span.Count));
    }

    [Fact]
    public void A_channel_with_more_stretches_than_a_person_can_look_at_is_named_whole()
    {
        // Every sixth sample missing: 25 000 gaps.
        RunLog log = InjectedFaults.Change(Clean.Log, LoadFL, (x, _) =>
        {
            for (int i = 0; i < x.Length; i += 6)
            {
                x[i] = double.NaN;
            }
        });
        HealthFinding gap = Only(log, "gap", LoadFL);
        Assert.Empty(gap.Spans);
        Assert.True(double.IsNaN(gap.StartS));
    }

    [Theory]
    [InlineData(0.010)]
    [InlineData(0.012)]
    [InlineData(0.020)]
    [InlineData(0.040)]
    public void A_half_sine_of_ten_milliseconds_or_more_is_never_a_spike(double lengthS)
    {
        // 10 to 40 ms: kerb strikes, common practice, no source. Heights up to the range of the cell, at every phase between two samples.
        RunLog log = InjectedFaults.Change(Clean.Log, LoadFL, (x, rate) =>
        {
            for (int strike = 0; strike < 200; strike++)
            {
                double start = 30 + (0.4 * strike) + (strike / 200.0 / rate);
                double height = 1000 + (80 * strike);
                for (int i = (int)Math.Ceiling(start * rate); i < (start + lengthS) * rate; i++)
                {
                    x[i] += height * Math.Sin(Math.PI * ((i / rate) - start) / lengthS);
                }
            }
        });
        Assert.DoesNotContain(HealthBench.Check(Clean, log).Findings, finding => finding.Kind is "spike" or "dropout");
    }

    [Theory]
    [InlineData(200)]
    [InlineData(500)]
    public void A_ten_millisecond_strike_is_no_spike_at_a_lower_rate_either(int rateHz)
    {
        BenchRun run = HealthBench.Lean(BenchRuns.Of(rateHz == 200 ? 3 : 6));
        Assert.Equal(rateHz, run.RateHz);
        string name = run.Name(ChannelRole.PushrodLoadFL);
        RunLog log = InjectedFaults.Change(run.Log, name, (x, rate) =>
        {
            for (int strike = 0; strike < 100; strike++)
            {
                double start = 30 + (0.8 * strike) + (strike / 100.0 / rate);
                for (int i = (int)Math.Ceiling(start * rate); i < (start + 0.01) * rate; i++)
                {
                    x[i] += 8000 * Math.Sin(Math.PI * ((i / rate) - start) / 0.01);
                }
            }
        });
        Assert.DoesNotContain(HealthBench.Check(run, log).Findings, finding => finding.Kind is "spike" or "dropout");
    }

    [Fact]
    public void A_clock_that_runs_fast_says_by_how_much()
    {
        HealthFinding drift = Assert.Single(
            HealthBench.Check(Clean, InjectedFaults.Drifting(Clean.Log, Clean.Name(ChannelRole.Speed), 2e-3)).Findings, finding => finding.Kind == "clock_drift");
        string millionths = drift.Message[..drift.Message.IndexOf(" parts in a million", StringComparison.Ordinal)];
        Assert.Equal(2000, double.Parse(millionths[(millionths.LastIndexOf(' ') + 1)..], System.Globalization.CultureInfo.InvariantCulture), 200.0);
    }

    [Theory]
    [InlineData(40.37)]
    [InlineData(71.9991)]
    [InlineData(9.5)]
    public void A_log_that_breaks_off_raises_no_gap_on_its_slow_channels(double atS)
    {
        BenchRun run = BenchRuns.Of(0);
        RunHealth health = HealthBench.Check(run, InjectedFaults.CutOff(run.Log, atS));
        Assert.DoesNotContain(health.Findings, finding => finding.Kind == "gap");
    }

    [Fact]
    public void Without_a_standstill_the_missing_zero_stands_first()
    {
        BenchRun run = BenchRuns.Of(0);
        RunReview review = RunAnalysis.Review(InjectedFaults.Cut(run.Log, 40, 70), run.Car, new ReviewOptions());
        Assert.Equal("zero_missing", review.Health.Findings[0].Kind);
        Assert.Single(review.Health.Findings, finding => finding.Kind == "travel_missing");
    }

    [Fact]
    public void A_slow_log_says_how_much_of_a_peak_it_can_hide()
    {
        // 1 - cos(pi dt / 2T) for dt = 10 ms and T = 10 ms: all of it. The advised rate for 2 %: pi / (2 * 0.010 * acos(0.98)) = 784 Hz, so 800.
        TimeBase time = TimeBase.Even(0, 0.01, 3000);
        RunLog log = TestCars.Log([.. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", time, t => 500 + (100 * Math.Sin(40 * t) * Math.Sin(t))))]);
        HealthFinding slow = Assert.Single(HealthCheck.From(RunAssembly.From(log, TestCars.Plain()), HealthOptions.Default).Findings, finding => finding.Kind == "slow_logging");
        Assert.Contains("100 %", slow.Message, StringComparison.Ordinal);
        Assert.Contains("800 Hz", slow.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void Strikes_logged_too_slowly_are_lower_bounds_and_ask_for_a_rate()
    {
        BenchRun run = BenchRuns.Of(3);
        ZeroedLoads zeroed = ZeroOffsets.From(RunAssembly.From(run.Log, run.Car), ZeroOptions.Default);
        KerbResult kerbs = KerbStrikes.From(WheelLoadFormation.From(zeroed, WheelLoadOptions.Default), KerbOptions.Default);
        Assert.NotEmpty(kerbs.Strikes);
        foreach (KerbStrike strike in kerbs.Strikes)
        {
            Assert.Equal(strike.WorstUnderReadShare > 0.03 || strike.IsUnderRead, strike.IsUnderRead);
            Assert.True(strike.IsLowerBound || !strike.IsUnderRead);
        }

        bool any = kerbs.Strikes.Any(strike => strike.IsUnderRead);
        Assert.Equal(any ? 1 : 0, kerbs.Findings.Length);
        Assert.All(kerbs.Findings, finding => Assert.Contains("Hz or more", finding.Remedy, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(0.001, 0.010, double.NaN, false)] // 1.2 % hidden
    [InlineData(0.002, 0.010, double.NaN, true)] // 4.9 %
    [InlineData(0.001, 0.010, 0.005, true)] // 1.2 % hidden, half a percent of margin
    [InlineData(0.001, 0.010, -0.1, false)] // past the limit anyway
    public void A_hidden_share_matters_when_it_is_large_or_a_limit_lies_within_it(double stepS, double pulseS, double margin, bool matters) =>
        Assert.Equal(matters, UnderRead.Matters(UnderRead.Worst(stepS, pulseS), margin, KerbOptions.Default.UnderReadMatters));

    [Theory]
    [InlineData(0.010, 0.02, 800)] // pi / (2 * 0.010 * acos(0.98)) = 783.9
    [InlineData(0.010, 0.01, 1200)] // pi / (2 * 0.010 * acos(0.99)) = 1109.8
    [InlineData(0.025, 0.02, 400)] // 313.6
    public void The_advised_rate_keeps_its_promise(double pulseS, double share, double expectedHz)
    {
        double rate = UnderRead.RateFor(pulseS, share);
        Assert.Equal(expectedHz, rate);
        Assert.True(UnderRead.Worst(1 / rate, pulseS) <= share);
    }
}
