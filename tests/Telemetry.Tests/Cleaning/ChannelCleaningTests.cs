using CsCheck;
using Telemetry.Car;
using Telemetry.Cleaning;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Tests.Cleaning;

public class ChannelCleaningTests
{
    private const int Count = 2000;

    private static readonly TimeBase Time = TimeBase.Even(0, 0.001, Count);

    private static Run RunWith(Func<double, double> loadFL) => RunAssembly.From(
        TestCars.Log(
        [
            TestCars.Channel("P FL", "N", Time, loadFL),
            .. new[] { "P FR", "P RL", "P RR" }.Select(name => TestCars.Channel(name, "N", Time, t => 100 + t)),
            TestCars.Channel("v", "m/s", Time, t => 40),
        ]),
        TestCars.Plain());

    private static RunHealth Spikes(params SampleSpan[] spans) => RunHealth.Of(
    [
        new HealthFinding("P FL", "spike", HealthVerdict.Doubtful, 0, 1, "Spikes.", "It touches the loads.", "Check the connector.") { Role = ChannelRole.PushrodLoadFL, Spans = [.. spans] },
    ]);

    private static double[] FL(Run run) => run.OnClock(ChannelRole.PushrodLoadFL).ToArray();

    private static int At(double t) => (int)Math.Round(t * 1000);

    [Fact]
    public void By_default_nothing_is_repaired_and_what_could_be_is_told()
    {
        Run run = RunWith(t => At(t) == 500 ? 9000 : At(t) is >= 700 and < 720 ? double.NaN : 100);
        CleanedRun cleaned = ChannelCleaning.From(run, Spikes(new SampleSpan(500, 1)), CleaningOptions.Default);
        Assert.Same(run, cleaned.Run);
        Assert.Empty(cleaned.Done);
        Assert.Equal([(RepairedFault.Spike, 1, 500), (RepairedFault.Gap, 20, 700)], cleaned.Left.Select(repair => (repair.Fault, repair.Samples, repair.Spans[0].First)));
    }

    [Fact]
    public void A_spike_is_replaced_by_the_line_between_its_neighbours_and_the_raw_channel_stays()
    {
        Run run = RunWith(t => At(t) is 500 or 501 ? 9000 : At(t));
        CleanedRun cleaned = ChannelCleaning.From(run, Spikes(new SampleSpan(500, 1), new SampleSpan(501, 1)), new CleaningOptions { RemoveSpikes = true });
        Assert.Equal([499, 500, 501, 502], FL(cleaned.Run)[499..503], (a, b) => Math.Abs(a - b) < 1e-9);
        Assert.Equal(9000, FL(cleaned.AsLogged)[500]);
        Repair repair = Assert.Single(cleaned.Done);
        Assert.Equal([new SampleSpan(500, 2)], repair.Spans);
        Repaired step = Assert.Single(cleaned.Run.Find(ChannelRole.PushrodLoadFL)!.Steps.OfType<Repaired>());
        Assert.Equal(RepairedFault.Spike, step.Fault);
        Assert.Equal(FL(run)[..499], FL(cleaned.Run)[..499]);
    }

    [Fact]
    public void Only_gaps_up_to_the_wanted_length_are_bridged_the_length_itself_among_them()
    {
        Run run = RunWith(t => At(t) is (>= 300 and < 310) or (>= 700 and < 711) ? double.NaN : At(t));
        CleanedRun cleaned = ChannelCleaning.From(run, RunHealth.Of([]), new CleaningOptions { BridgeGapsS = 0.010 });
        Assert.Equal(305, FL(cleaned.Run)[305], 9);
        Assert.True(double.IsNaN(FL(cleaned.Run)[705]));
        Assert.Equal([new SampleSpan(300, 10)], Assert.Single(cleaned.Done).Spans);
        Assert.Equal([new SampleSpan(700, 11)], Assert.Single(cleaned.Left).Spans);
    }

    [Fact]
    public void Where_a_neighbour_is_missing_a_spike_is_left_out_and_never_guessed()
    {
        Run run = RunWith(t => At(t) == 500 ? double.NaN : At(t) == 501 ? 9000 : At(t));
        CleanedRun cleaned = ChannelCleaning.From(run, Spikes(new SampleSpan(501, 1)), new CleaningOptions { RemoveSpikes = true });
        Assert.True(double.IsNaN(FL(cleaned.Run)[501]));
        Assert.Equal(SampleQuality.Missing, SampleQualities.Of(cleaned, Spikes(new SampleSpan(501, 1)), ChannelRole.PushrodLoadFL)[501]);
    }

    [Fact]
    public void A_gap_at_the_start_or_the_end_is_never_bridged()
    {
        Run run = RunWith(t => At(t) is < 3 or >= 1997 ? double.NaN : 7);
        CleanedRun cleaned = ChannelCleaning.From(run, RunHealth.Of([]), new CleaningOptions { BridgeGapsS = 0.5 });
        Assert.Empty(cleaned.Done);
        Assert.Empty(cleaned.Left);
    }

    [Fact]
    public void Each_sample_has_a_quality()
    {
        Run run = RunWith(t => At(t) is 500 ? 9000 : At(t) is 900 ? double.NaN : At(t) is 950 ? double.NaN : 100);
        RunHealth health = RunHealth.Of(
        [
            .. Spikes(new SampleSpan(500, 1)).Findings,
            new HealthFinding("P FL", "range_limit", HealthVerdict.Doubtful, 0, 1, "Limit.", "Peaks.", "Range.") { Role = ChannelRole.PushrodLoadFL, Spans = [new SampleSpan(100, 5), new SampleSpan(950, 1)] },
            new HealthFinding("P FL", "note", HealthVerdict.Good, 0, 1, "Note.", "None.", "None.") { Role = ChannelRole.PushrodLoadFL, Spans = [new SampleSpan(0, 50)] },
        ]);
        SampleQuality[] kept = SampleQualities.Of(ChannelCleaning.From(run, health, CleaningOptions.Default), health, ChannelRole.PushrodLoadFL);
        Assert.Equal(6, kept.Count(quality => quality == SampleQuality.Doubtful));
        Assert.Equal([900, 950], Enumerable.Range(0, Count).Where(i => kept[i] == SampleQuality.Missing));
        SampleQuality[] repaired = SampleQualities.Of(ChannelCleaning.From(run, health, new CleaningOptions { RemoveSpikes = true, BridgeGapsS = 0.001 }), health, ChannelRole.PushrodLoadFL);
        Assert.Equal([500, 900, 950], Enumerable.Range(0, Count).Where(i => repaired[i] == SampleQuality.Repaired));
        Assert.All(SampleQualities.Of(ChannelCleaning.From(run, health, CleaningOptions.Default), health, ChannelRole.PushrodLoadFR), quality => Assert.Equal(SampleQuality.Good, quality));
        Assert.Empty(SampleQualities.Of(ChannelCleaning.From(run, health, CleaningOptions.Default), health, ChannelRole.Brake));
    }

    [Fact]
    public void A_whole_channel_finding_makes_every_sample_doubtful()
    {
        Run run = RunWith(t => 100);
        RunHealth health = RunHealth.Of([new HealthFinding("P FL", "filtered_in_logger", HealthVerdict.Doubtful, double.NaN, double.NaN, "Filtered.", "Peaks.", "Log it raw.") { Role = ChannelRole.PushrodLoadFL }]);
        Assert.All(SampleQualities.Of(ChannelCleaning.From(run, health, CleaningOptions.Default), health, ChannelRole.PushrodLoadFL), quality => Assert.Equal(SampleQuality.Doubtful, quality));
    }

    [Fact]
    public void A_repair_moves_no_sample_but_those_that_it_names() =>
        Gen.Select(Gen.Int[1, Count - 10], Gen.Int[1, 8], Gen.Double[-1e4, 1e4]).Sample(
            (first, count, height) =>
            {
                Run run = RunWith(t => At(t) >= first && At(t) < first + count ? height : Math.Sin(t));
                CleanedRun cleaned = ChannelCleaning.From(run, Spikes(new SampleSpan(first, count)), new CleaningOptions { RemoveSpikes = true });
                double[] before = FL(run), after = FL(cleaned.Run);
                for (int i = 0; i < Count; i++)
                {
                    bool isNamed = i >= first && i < first + count;
                    double low = Math.Min(before[first - 1], before[first + count]), high = Math.Max(before[first - 1], before[first + count]);
                    if (isNamed ? !(after[i] >= low - 1e-12 && after[i] <= high + 1e-12) : after[i] != before[i])
                    {
                        return false;
                    }
                }

                return true;
            },
            seed: "0000KOIkZbA5",
            iter: 60);

    [Fact]
    public void A_gap_too_long_to_bridge_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => ChannelCleaning.From(RunWith(t => 1), RunHealth.Of([]), new CleaningOptions { BridgeGapsS = 2 }));
}
