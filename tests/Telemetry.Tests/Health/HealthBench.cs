using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Tests.Health;

/// <summary>A fault of a stated size, and the kinds of finding that count as seeing it.</summary>
/// <param name="Name">The fault.</param>
/// <param name="Size">Its size, in words.</param>
/// <param name="Kinds">Kinds that are right.</param>
/// <param name="Inject">Puts it into a run's log and tells the channel that a finding must name ("log" for none).</param>
/// <param name="LeastShare">Share of runs in which it must be seen.</param>
internal sealed record BenchFault(string Name, string Size, string[] Kinds, Func<BenchRun, (RunLog Log, string Channel)> Inject, double LeastShare);

/// <summary>How often the detectors speak on clean runs, and how often they see an injected fault.</summary>
internal static class HealthBench
{
    /// <summary>Findings of channel health on a run with another log.</summary>
    public static RunHealth Check(BenchRun run, RunLog log) => HealthCheck.From(RunAssembly.From(log, run.Car), HealthOptions.Default);

    /// <summary>Findings of a clean run that are false. At 50 Hz the simulated logger has no filter, so the hub's motion really is folded back, and the rate really is too low.</summary>
    public static IEnumerable<HealthFinding> FalseAlarms(BenchRun run) =>
        Check(run, run.Log).Findings.Where(finding => run.RateHz > 50 || finding.Kind is not ("aliasing" or "slow_logging"));

    /// <summary>The run with a car that maps only what the faults are put into and what the detectors ask beside it: many times as quick.</summary>
    public static BenchRun Lean(BenchRun run) => run with
    {
        Car = run.Car with { Channels = [.. run.Car.Channels.Where(mapping => mapping.Role is <= ChannelRole.DamperTravelRR or ChannelRole.Speed or ChannelRole.AccelerationX)] },
    };

    /// <summary>True when the fault is seen on the channel it is in, or on the log as a whole.</summary>
    public static bool Sees(BenchRun run, BenchFault fault)
    {
        (RunLog log, string channel) = fault.Inject(run);
        return Check(run, log).Findings.Any(finding => fault.Kinds.Contains(finding.Kind) && (finding.Channel == channel || finding.Channel == "log"));
    }

    /// <summary>All faults of the table.</summary>
    public static BenchFault[] Faults { get; } =
    [
        Load("no number at all", "whole run", ["dead"], 1, (run, name) => InjectedFaults.Dead(run.Log, name)),
        Load("stuck", "0.6 s", ["stuck"], 1, (run, name) => InjectedFaults.Stuck(run.Log, name, 50 + (run.Seed % 60), 0.6)),
        Travel("stuck", "2 s", ["stuck"], 1, (run, name) => InjectedFaults.Stuck(run.Log, name, 50 + (run.Seed % 60), 2)),
        Load("last value held", "1 x 20 ms", ["hold"], 0.95, (run, name) => InjectedFaults.Holds(run.Log, name, 1, 0.02, run.Seed)),
        Load("last value held", "1 x 50 ms", ["hold"], 0.95, (run, name) => InjectedFaults.Holds(run.Log, name, 1, 0.05, run.Seed)),
        Travel("last value held", "10 x 50 ms", ["hold"], 0.95, (run, name) => InjectedFaults.Holds(run.Log, name, 10, 0.05, run.Seed)),
        Load("slow reading at a fast rate", "100 Hz at 1000 Hz", ["slow_reading"], 1, (run, name) => InjectedFaults.SlowReading(run.Log, name, 10)),
        Travel("slow reading at a fast rate", "500 Hz at 1000 Hz", ["slow_reading"], 1, (run, name) => InjectedFaults.SlowReading(run.Log, name, 2)),
        Load("hard clipping", "at the 99 % quantile", ["clipping"], 0.95, (run, name) => InjectedFaults.Clipped(run.Log, name, -1e9, Math.Round(Quantile(run, name, 0.99)))),
        Load("hard clipping", "at the 99.9 % quantile", ["clipping"], 0.95, (run, name) => InjectedFaults.Clipped(run.Log, name, -1e9, Math.Round(Quantile(run, name, 0.999)))),
        Load("hard clipping", "at 90 % of the peak", ["clipping"], 0.55, (run, name) => InjectedFaults.Clipped(run.Log, name, -1e9, Math.Round(0.9 * Quantile(run, name, 1)))),
        Load("soft clipping", "knee at 90 %, limit 10 % above", ["soft_clipping", "clipping"], 0.55, (run, name) => Soft(run, name, 0.9, 1.1)),
        Load("soft clipping", "knee at 99 %, limit 30 % above", ["soft_clipping", "clipping"], 0, (run, name) => Soft(run, name, 0.99, 1.3)),
        Load("spike", "one sample of 200 N", ["spike", "dropout"], 0.95, (run, name) => InjectedFaults.Spikes(run.Log, name, 1, 200, 1, run.Seed)),
        Load("spike", "one sample of 1 kN", ["spike", "dropout"], 0.95, (run, name) => InjectedFaults.Spikes(run.Log, name, 1, 1000, 1, run.Seed)),
        Load("spike", "three samples of 1 kN", ["spike", "dropout"], 0.95, (run, name) => InjectedFaults.Spikes(run.Log, name, 1, 1000, 3, run.Seed)),
        Travel("spike", "one sample of 1 mm", ["spike", "dropout"], 0.95, (run, name) => InjectedFaults.Spikes(run.Log, name, 1, 1, 1, run.Seed)),
        Of(ChannelRole.Speed, "spike", "one sample of 20 km/h", ["spike", "dropout"], 0.95, (run, name) => InjectedFaults.Spikes(run.Log, name, 1, 20, 1, run.Seed)),
        Load("gaps", "5 x 100 ms", ["gap"], 1, (run, name) => InjectedFaults.Gaps(run.Log, name, 5, 0.1, run.Seed)),
        Load("drop to 0", "1 x 2 ms", ["dropout", "spike"], 0.95, (run, name) => InjectedFaults.DropsTo(run.Log, name, 0, 1, 0.002, run.Seed)),
        Load("drop to 0", "1 x 50 ms", ["dropout"], 0.95, (run, name) => InjectedFaults.DropsTo(run.Log, name, 0, 1, 0.05, run.Seed)),
        Of(ChannelRole.Speed, "drop to 0", "1 x 0.1 s", ["dropout", "spike"], 0.95, (run, name) => InjectedFaults.DropsTo(run.Log, name, 0, 1, 0.1, run.Seed)),
        Load("coarse steps", "20 N", ["coarse_steps"], 0, (run, name) => InjectedFaults.Coarse(run.Log, name, 20)),
        Load("coarse steps", "50 N", ["coarse_steps"], 0.9, (run, name) => InjectedFaults.Coarse(run.Log, name, 50)),
        Load("coarse steps", "100 N", ["coarse_steps"], 0.95, (run, name) => InjectedFaults.Coarse(run.Log, name, 100)),
        Travel("coarse steps", "0.5 mm", ["coarse_steps"], 0.95, (run, name) => InjectedFaults.Coarse(run.Log, name, 0.5)),
        Load("noise", "20 N", ["noise"], 0.5, (run, name) => InjectedFaults.Noise(run.Log, name, 20, 1, run.Seed)),
        Load("noise", "60 N", ["noise"], 0.95, (run, name) => InjectedFaults.Noise(run.Log, name, 60, 1, run.Seed)),
        Travel("noise", "0.3 mm", ["noise"], 0.95, (run, name) => InjectedFaults.Noise(run.Log, name, 0.3, 1.0 / 64, run.Seed)),
        Load("vibration folded back", "50 N", ["aliasing"], 0.95, (run, name) => InjectedFaults.Aliased(run.Log, name, 50, 8, 130, 1, run.Seed)),
        Load("vibration folded back", "100 N", ["aliasing"], 0.95, (run, name) => InjectedFaults.Aliased(run.Log, name, 100, 8, 130, 1, run.Seed)),
        Load("low-pass in the logger", "8 Hz", ["low_passed"], 0.95, (run, name) => InjectedFaults.LowPassed(run.Log, name, 8, 1)),
        Load("low-pass in the logger", "20 Hz", ["low_passed"], 0.9, (run, name) => InjectedFaults.LowPassed(run.Log, name, 20, 1)),
        Load("low-pass in the logger", "30 Hz", ["low_passed"], 0, (run, name) => InjectedFaults.LowPassed(run.Log, name, 30, 1)),
        Travel("low-pass in the logger", "8 Hz", ["low_passed"], 0.7, (run, name) => InjectedFaults.LowPassed(run.Log, name, 8, 1.0 / 64)),
        Travel("low-pass in the logger", "20 Hz", ["low_passed"], 0.55, (run, name) => InjectedFaults.LowPassed(run.Log, name, 20, 1.0 / 64)),
        new("time stamps scatter", "0.01 ms of 1 ms", ["clock_jitter"], run => (InjectedFaults.Jittered(run.Log, run.RateHz, 1e-5, run.Seed), "log"), 0),
        new("time stamps scatter", "0.05 ms of 1 ms", ["clock_jitter"], run => (InjectedFaults.Jittered(run.Log, run.RateHz, 5e-5, run.Seed), "log"), 1),
        Of(ChannelRole.Speed, "clock runs fast", "300 parts in a million", ["clock_drift"], 0.95, (run, name) => InjectedFaults.Drifting(run.Log, name, 3e-4)),
        Of(ChannelRole.Speed, "clock runs fast", "1000 parts in a million", ["clock_drift"], 0.95, (run, name) => InjectedFaults.Drifting(run.Log, name, 1e-3)),
        Of(ChannelRole.AccelerationX, "clock runs fast", "1000 parts in a million", ["clock_drift"], 0.95, (run, name) => InjectedFaults.Drifting(run.Log, name, 1e-3)),
        Load("block written twice, all channels", "64 samples", ["repeated_block"], 0.95, (run, _) => InjectedFaults.RepeatedBlock(run.Log, 40 + (run.Seed % 70), 0.064)),
        Load("block written twice, all channels", "100 samples", ["repeated_block"], 0.95, (run, _) => InjectedFaults.RepeatedBlock(run.Log, 40 + (run.Seed % 70), 0.1)),
        Load("block written twice, one channel", "500 samples", ["repeated_block"], 0.95, (run, name) => InjectedFaults.RepeatedBlock(run.Log, name, 40 + (run.Seed % 70), 0.5)),
        Travel("potentiometer at its end", "upper 1 % of the travel's time", ["travel_pinned"], 0.95, (run, name) => InjectedFaults.Pinned(run.Log, name, Quantile(run, name, 0.99), 0.02, 1.0 / 64, run.Seed)),
        Travel("potentiometer at its end", "upper 0.1 % of the travel's time", ["travel_pinned"], 0.5, (run, name) => InjectedFaults.Pinned(run.Log, name, Quantile(run, name, 0.999), 0.02, 1.0 / 64, run.Seed)),
    ];

    /// <summary>Reading of a channel that a share of its samples stays below.</summary>
    public static double Quantile(BenchRun run, string name, double share)
    {
        double[] sorted = [.. run.Log.Find(name)!.Samples.Where(double.IsFinite).Order()];
        return sorted[(int)(share * (sorted.Length - 1))];
    }

    private static RunLog Soft(BenchRun run, string name, double share, double limit)
    {
        double knee = Quantile(run, name, share);
        return InjectedFaults.SoftlyClipped(run.Log, name, knee, limit * knee, 1);
    }

    // The corner goes round with the seed, so that front and rear, left and right are all in the table.
    private static BenchFault Load(string name, string size, string[] kinds, double least, Func<BenchRun, string, RunLog> inject) =>
        new($"load cell: {name}", size, kinds, run => (inject(run, run.Name(ChannelRole.PushrodLoadFL + (run.Seed % 4))), run.Name(ChannelRole.PushrodLoadFL + (run.Seed % 4))), least);

    private static BenchFault Travel(string name, string size, string[] kinds, double least, Func<BenchRun, string, RunLog> inject) =>
        new($"damper: {name}", size, kinds, run => (inject(run, run.Name(ChannelRole.DamperTravelFL + (run.Seed % 4))), run.Name(ChannelRole.DamperTravelFL + (run.Seed % 4))), least);

    private static BenchFault Of(ChannelRole role, string name, string size, string[] kinds, double least, Func<BenchRun, string, RunLog> inject) =>
        new($"{(role == ChannelRole.Speed ? "speed" : "longitudinal acceleration")}: {name}", size, kinds, run => (inject(run, run.Name(role)), run.Name(role)), least);
}
